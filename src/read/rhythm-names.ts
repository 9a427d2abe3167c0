/**
 * A teacher's own family of rhythm names, from plain values (unknown) as YAML or JSON gave them.
 */
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import type { PlaceNames, RhythmNames, ValueNames, ValueWords } from '../rhythm-names.ts';

/** What each name of a value family stands for, in the order of the docs. */
const WORDS: readonly (keyof ValueWords)[] = [
  'whole',
  'dottedHalf',
  'half',
  'dottedQuarter',
  'quarter',
  'dottedEighth',
  'eighth',
  'sixteenth',
  'twoEighths',
  'twoSixteenths',
  'compoundTwo',
  'compoundFour',
  'beatRest',
];
const OPTIONAL: readonly (keyof ValueWords)[] = ['twoEighths', 'twoSixteenths'];

/**
 * Read a family: `name`, `kind` (`value` or `place`), then `words` with a name for each value, or `places` with four
 * names for a simple beat and six for a compound one. The families built in have the same shape.
 *
 * A score must read back what it was written with, so no two names may be alike, and a word that only goes on (the `a`
 * of `ta-a`) may not begin another name. Problem: `bad-value`, one for each fault, named by its path.
 */
export function readRhythmNames(value: unknown): Outcome<RhythmNames> {
  if (typeof value !== 'object' || value === null)
    return failed(wrong('A family of rhythm names is a list of settings.'));
  const { name, kind, words, places } = value as Readonly<Record<string, unknown>>;
  const problems: Problem[] = [];
  if (typeof name !== 'string' || !/^[a-z][a-z0-9-]*$/.test(name)) {
    problems.push(wrong(`name is ${shown(name)}; it is small letters and hyphens, such as our-school.`));
  }
  if (kind !== 'value' && kind !== 'place') {
    problems.push(wrong(`kind is ${shown(kind)}; it is value (ta, ti-ti) or place (takadimi, counting).`));
  }
  const title = String(name);
  const family = kind === 'place' ? placeNames(title, places, problems) : valueNames(title, words, problems);
  return problems.length > 0 ? failed(...problems) : made(family);
}

function valueNames(name: string, words: unknown, problems: Problem[]): ValueNames {
  const given = (typeof words === 'object' && words !== null ? words : {}) as Readonly<
    Record<string, unknown>
  >;
  const said: Partial<Record<keyof ValueWords, string | null>> = {};
  for (const key of WORDS) {
    const word = given[key] ?? null;
    const isMissing = word === null && OPTIONAL.includes(key);
    if (!isMissing && !isName(word, true))
      problems.push(wrong(`words.${key} is ${shown(word)}; ${NAME_RULE}.`));
    said[key] = typeof word === 'string' ? word : null;
  }
  for (const key of Object.keys(given)) {
    if (!WORDS.some((known) => known === key))
      problems.push(wrong(`words.${key} names no value; values are ${WORDS.join(', ')}.`));
  }
  const all = WORDS.flatMap((key) => said[key] ?? []);
  // a dotted half is two compound beats: one name may serve both
  addTwins(
    WORDS.flatMap((key) => (key === 'compoundTwo' && said[key] === said.dottedHalf ? [] : (said[key] ?? []))),
    'words',
    problems,
  );
  const openings = new Set(all.map((word) => word.split('-')[0]));
  for (const word of all) {
    const going = word
      .split('-')
      .slice(1)
      .find((part) => openings.has(part));
    if (going !== undefined)
      problems.push(
        wrong(`"${going}" goes on in "${word}" and begins another name; a reader could not tell which.`),
      );
  }
  const text = (key: keyof ValueWords): string => said[key] ?? '';
  return {
    kind: 'value',
    name,
    words: {
      whole: text('whole'),
      dottedHalf: text('dottedHalf'),
      half: text('half'),
      dottedQuarter: text('dottedQuarter'),
      quarter: text('quarter'),
      dottedEighth: text('dottedEighth'),
      eighth: text('eighth'),
      sixteenth: text('sixteenth'),
      twoEighths: said.twoEighths ?? null,
      twoSixteenths: said.twoSixteenths ?? null,
      compoundTwo: text('compoundTwo'),
      compoundFour: text('compoundFour'),
      beatRest: text('beatRest'),
    },
  };
}

function placeNames(name: string, places: unknown, problems: Problem[]): PlaceNames {
  const given = (typeof places === 'object' && places !== null ? places : {}) as Readonly<
    Record<string, unknown>
  >;
  const read = (key: 'simple' | 'compound', count: number): readonly string[] => {
    const list: unknown = given[key];
    const names = Array.isArray(list)
      ? list.filter((each, i) => isName(each, false) || (each === '#' && i === 0))
      : [];
    if (!Array.isArray(list) || list.length !== count || names.length !== count) {
      problems.push(
        wrong(
          `places.${key} is ${shown(list)}; it is ${String(count)} names, # for the number of the beat in the first place. ${NAME_RULE}.`,
        ),
      );
    }
    const texts = names.map(String);
    addTwins(texts, `places.${key}`, problems);
    return texts;
  };
  return { kind: 'place', name, places: { simple: read('simple', 4), compound: read('compound', 6) } };
}

const NAME_RULE = 'a name is letters without spaces, commas, brackets, bar lines or figures';

/** Letters and signs that a score does not use for itself; hyphens only inside. */
function isName(value: unknown, hyphens: boolean): value is string {
  if (typeof value !== 'string' || /[\s,()|\\#\u2502\u2551\d]/.test(value)) return false;
  return hyphens ? /^[^-]+(?:-[^-]+)*$/.test(value) : /^[^-]+$/.test(value);
}

function addTwins(names: readonly string[], path: string, problems: Problem[]): void {
  const folded = names.map((name) => name.toLowerCase());
  const twin = names.find((_, i) => folded.indexOf(folded[i] ?? '') < i);
  if (twin !== undefined) problems.push(wrong(`${path} has "${twin}" twice; each has a name of its own.`));
}

function shown(value: unknown): string {
  return value === undefined || value === null ? 'missing' : JSON.stringify(value);
}

function wrong(message: string): Problem {
  return { code: 'bad-value', severity: 'error', message };
}
