/**
 * The rhyme file's front matter and the flags (unknown) -> Options. Everything is checked here, once; the stages
 * trust what they get.
 */
import {
  divideText,
  matterProblem,
  readEntries,
  readYaml,
  type Entry,
  type EntryValue,
} from './front-matter.ts';
import type { Pitch } from './pitch.ts';
import { failed, made, type Outcome, type Problem } from './problem.ts';
import type { Rung } from './rung.ts';
import { readFixedTones, type FixedLine } from './setting/fixed-tones.ts';
import type { VoiceBand } from './setting/keys.ts';
import type { Ladder } from './setting/ladder-file.ts';
import type { RhythmRung } from './setting/rhythm-ladder.ts';
import { nearest } from './suggest.ts';
import type { Metre } from './time.ts';
import type { Span } from './verse.ts';
import {
  inWords,
  USUAL_LADDER,
  WISH_NAMES,
  WISH_READERS,
  type Takes,
  type TextWishName,
  type Wishes,
} from './wishes.ts';

/** All that the stages need to know, names resolved to values, nothing left open but by `null`. */
export interface Options {
  /** Null: the first line of the rhyme. */
  readonly title: string | null;
  readonly source: string | null;
  /** Null: the rung's usual do that fits. */
  readonly do: Pitch | null;
  /** Felt beats a minute; null: what is usual for the voices. */
  readonly tempoBpm: number | null;
  /** Null: worked out from the words. */
  readonly metre: Metre | null;
  /** Beats of every line; null: worked out from the words. */
  readonly beats: number | null;
  readonly words: Readonly<Record<string, string>>;
  /** At least one. */
  readonly rungs: readonly Rung[];
  /** Rhythms that the class can read, easiest first; null when not said. */
  readonly rhythms: readonly RhythmRung[] | null;
  readonly seed: number;
  readonly takes: Takes;
  readonly slur: boolean;
  /** False: each rung's song is made on its own. */
  readonly family: boolean;
  /** Null: any class. */
  readonly voice: VoiceBand | null;
  readonly fixed: readonly FixedLine[];
  /** Beats between the voices of a canon that the tune must make; null: none. */
  readonly canon: number | null;
}

/** A rhyme file taken apart. */
export interface RhymeFile {
  /** The lines between the `---` lines, as typed; null when there are none. */
  readonly matter: string | null;
  readonly wishes: Wishes;
  /** The rhyme itself. */
  readonly body: string;
  /** Where the body begins in the text as typed. */
  readonly offset: number;
}

/**
 * Wishes settled: what is asked for now goes before what the file says, and that before what is usual.
 *
 * Usual are the first rung of the ladder, so that a song never has a tone that the class may not know yet; seed 1;
 * take 1; slurs; families.
 */
export function settle(asked: Wishes, written: Wishes): Options {
  const wishes: Wishes = { ...written, ...asked };
  return {
    title: wishes.title ?? null,
    source: wishes.source ?? null,
    do: wishes.do ?? null,
    tempoBpm: wishes.tempo ?? null,
    metre: wishes.metre ?? null,
    beats: wishes.beats ?? null,
    words: wishes.words ?? {},
    rungs: wishes.rung ?? (wishes.ladder ?? USUAL_LADDER).tones.slice(0, 1),
    rhythms: wishes.rhythms ?? null,
    seed: wishes.seed ?? 1,
    takes: wishes.take ?? { first: 1, last: 1 },
    slur: wishes.slur ?? true,
    family: wishes.family ?? true,
    voice: wishes.age ?? null,
    fixed: wishes.fixed ?? [],
    canon: wishes.canon ?? null,
  };
}

/**
 * Read one wish from its text. Spans of problems count from `base`, where the text stands in what was typed.
 * Problems: `bad-value`, `unknown-rung`, `unknown-key`.
 *
 * @example readWish('tempo', '104', 0) // => { ok: true, value: { tempo: 104 }, problems: [] }
 */
export function readWish(
  name: TextWishName,
  text: string,
  base: number,
  ladder: Ladder = USUAL_LADDER,
): Outcome<Wishes> {
  const reading = WISH_READERS[name](text, ladder);
  if (reading.ok) return made({ [name]: reading.value });
  const part = reading.part ?? { start: 0, end: text.length };
  return failed({
    code: reading.code,
    severity: 'error',
    message: reading.message,
    span: { start: base + part.start, end: base + part.end },
    ...(reading.hint === undefined ? {} : { hint: reading.hint }),
  });
}

/**
 * Take a rhyme file apart and read its front matter. Without front matter nothing is loaded.
 *
 * Problems: `front-matter` where it is not closed or not YAML, `unknown-option` for a key that nobody knows,
 * `bad-value`, `unknown-rung` and `unknown-key` for values; all at once, each with its span in the text as typed.
 */
export async function readRhymeFile(
  text: string,
  ladder: Ladder = USUAL_LADDER,
): Promise<Outcome<RhymeFile>> {
  const divided = divideText(text);
  if (!divided.ok) return divided;
  const { matter, start, body, offset } = divided.value;
  if (matter === null) return made({ matter, wishes: {}, body, offset });
  const entries = await readEntries(matter, start);
  if (!entries.ok) return entries;
  const score = entries.value.find((entry) => entry.name === 'score');
  if (score !== undefined) {
    const message = 'This is a score, a song that is made already. Give the rhyme that it was made from.';
    return failed(matterProblem(message, score.nameSpan));
  }
  const outcomes = entries.value.map((entry) => readEntry(entry, ladder));
  const problems = outcomes.flatMap((outcome) => outcome.problems);
  if (outcomes.some((outcome) => !outcome.ok)) return failed(...problems);
  const wishes = outcomes.reduce<Wishes>((all, each) => (each.ok ? { ...all, ...each.value } : all), {});
  return made({ matter, wishes, body, offset }, problems);
}

/** A ladder file in YAML. Problems: `front-matter` where it is not YAML, `bad-value` for each fault, at its place. */
export async function readLadderFile(text: string): Promise<Outcome<Ladder>> {
  const yaml = await readYaml(text);
  if (!yaml.ok) return yaml;
  const { readLadder } = await import('./setting/ladder-file.ts');
  const reading = readLadder(yaml.value.value);
  if (reading.ok) return made(reading.ladder);
  return failed(...reading.faults.map(({ path, message }) => badValue(message, yaml.value.spanAt(path))));
}

function readEntry({ name, nameSpan, value }: Entry, ladder: Ladder): Outcome<Wishes> {
  const known = WISH_NAMES.find((each) => each === name);
  if (known === undefined) {
    const near = nearest(name, WISH_NAMES);
    return failed({
      code: 'unknown-option',
      severity: 'error',
      message: `There is no setting "${name}". Settings are ${inWords(WISH_NAMES)}.`,
      span: nameSpan,
      ...(near === null ? {} : { hint: `Did you mean ${near}?` }),
    });
  }
  if (known === 'words') return readWords(value, nameSpan);
  if (known === 'fixed') return readFixed(value, nameSpan);
  if (value === null || value.text === '') {
    const message = `${known} has no value here. Write one behind the colon, or leave the line out.`;
    return failed(badValue(message, nameSpan));
  }
  if (value.text === null)
    return failed(badValue(`${known} is one value on its line; this is more.`, value.span));
  return readWish(known, value.text, value.textStart, ladder);
}

/** The map of `words:`: each word with its syllables. */
function readWords(value: EntryValue | null, span: Span): Outcome<Wishes> {
  const example = 'words is a list, one word a line, indented, each with its syllables: banbury: BAN-bu-ry';
  if (value === null || value.entries === null) return failed(badValue(`${example}.`, value?.span ?? span));
  const words: Record<string, string> = {};
  const problems: Problem[] = [];
  for (const entry of value.entries) {
    const syllables = entry.value?.text ?? '';
    if (entry.name === '' || syllables === '') problems.push(badValue(`${example}.`, entry.nameSpan));
    else words[entry.name] = syllables;
  }
  return problems.length > 0 ? failed(...problems) : made({ words });
}

/** The map of `fixed:`: the number of each line with its tones. */
function readFixed(value: EntryValue | null, span: Span): Outcome<Wishes> {
  const example = 'fixed is a list, the number of a line with its tones, indented: 2: s s l l s m';
  if (value === null || value.entries === null) return failed(badValue(`${example}.`, value?.span ?? span));
  const fixed: FixedLine[] = [];
  const problems: Problem[] = [];
  for (const { name, nameSpan, value: tones } of value.entries) {
    const line = /^[1-9]\d{0,5}$/.test(name) ? Number(name) : null;
    if (line === null || tones === null || (tones.text ?? '').trim() === '') {
      problems.push(badValue(`${example}.`, nameSpan));
      continue;
    }
    const read = readFixedTones(tones.text ?? '');
    if ('message' in read) {
      const { start, end } = read.part;
      problems.push(badValue(read.message, { start: tones.textStart + start, end: tones.textStart + end }));
    } else fixed.push({ ...read, line, span: tones.span });
  }
  return problems.length > 0 ? failed(...problems) : made({ fixed });
}

function badValue(message: string, span: Span): Problem {
  return { code: 'bad-value', severity: 'error', message, span };
}
