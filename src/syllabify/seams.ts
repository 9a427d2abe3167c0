/**
 * Where a word is built of parts that stand in the dictionary too: compounds, prefixes, suffixes. A seam counts only
 * when the parts sound in the word as they sound alone, so that `fa-ther` is not a fat her.
 */
import { bare } from './phones.ts';
import type { Phone } from './phones.ts';

/** Finds the pronunciations of a headword; empty when there are none. */
export type LookUp = (key: string) => readonly (readonly Phone[])[];

/** Suffixes that stay whole, with their sounds. */
const SUFFIXES: readonly (readonly [string, string])[] = [
  ['ing', 'IH NG'],
  ['ings', 'IH NG Z'],
  ['ingly', 'IH NG L IY'],
  ['ed', 'AH D|IH D'],
  ['est', 'AH S T|IH S T'],
  ['er', 'ER'],
  ['ers', 'ER Z'],
  ['y', 'IY'],
  ['en', 'AH N'],
  ['ens', 'AH N Z'],
  ['ened', 'AH N D'],
  ['ly', 'L IY'],
  ['ness', 'N AH S'],
  ['less', 'L AH S'],
  ['ful', 'F AH L'],
  ['ment', 'M AH N T'],
  ['some', 'S AH M'],
  ['let', 'L AH T'],
  ['ling', 'L IH NG'],
  ['ward', 'W ER D'],
  ['wards', 'W ER D Z'],
  ['ship', 'SH IH P'],
  ['hood', 'HH UH D'],
  ['es', 'AH Z|IH Z'],
];
/** Prefixes too short to count as halves of a compound. */
const PREFIXES = ['un', 'dis', 'mis', 'out', 'up', 'in', 're'];
/** Suffixes before which the stem's last e is dropped without moving the cut: mak-ing. */
const DROPS_E = new Set(['ing', 'ings', 'ingly', 'est']);
/** Suffixes that count only on a stem of one syllable with one last consonant: read-er, but mas-ter, fros-ty. */
const LIGHT = new Set(['er', 'ers', 'y', 'en', 'ens', 'ened']);
/** Doubled letters that end a stem (fall, miss, puff, buzz); other doubles come from the suffix (run-ning). */
const OWN_DOUBLES = /(?:ll|ss|ff|zz)$/;

/**
 * The seams of a word of letters a to z in a pronunciation, rising. Suffixes go before compounds, and a short suffix
 * before a longer one (crawl-ing, not craw-ling); a stem may have seams of its own (care-ful-ly).
 *
 * @param lookUp the dictionary.
 */
export function seamsOf(letters: string, phones: readonly Phone[], lookUp: LookUp): readonly number[] {
  return letters.length < 4 ? [] : soundSeams(letters, phones.map(bare).join(' '), lookUp);
}

function soundSeams(letters: string, sounds: string, lookUp: LookUp): readonly number[] {
  for (const [suffix, endings] of SUFFIXES) {
    const stem = letters.slice(0, -suffix.length);
    if (stem.length < 2 || !letters.endsWith(suffix) || !mayEnd(stem, suffix)) continue;
    const ending = endings.split('|').find((candidate) => sounds.endsWith(` ${candidate}`));
    if (ending === undefined) continue;
    const stemSounds = sounds.slice(0, -ending.length - 1);
    const found = (key: string): boolean =>
      lookUp(key).some((each) => each.map(bare).join(' ') === stemSounds);
    if (!found(stem) && !(DROPS_E.has(suffix) && found(`${stem}e`))) continue;
    return [...soundSeams(stem, stemSounds, lookUp), stem.length];
  }
  const compound = letters.length < 4 ? -1 : compoundSeam(letters, sounds, lookUp);
  return compound > 0 ? [compound] : [];
}

/** Whether a stem may take a suffix in this spelling without a letter changed. */
function mayEnd(stem: string, suffix: string): boolean {
  const doubled = /([^aeiou])\1$/.test(stem);
  if (LIGHT.has(suffix)) {
    const cluster = /[^aeiouwy][^aeiouwy]$/.test(stem) && !/(?:ng|sh|ch|th|ck|ght)$/.test(stem);
    // One vowel and one consonant would double before the suffix: wa-ter is no wat-er.
    const doubles = /(?:^|[^aeiou])[aeiou][^aeiouwxy]$/.test(stem);
    return !cluster && !doubled && !doubles && !/[aeiouy][^aeiouy]+[aeiouy]/.test(stem);
  }
  return !doubled || OWN_DOUBLES.test(stem);
}

/** The most even of the places where the word falls into two known words; a known prefix goes first. */
function compoundSeam(letters: string, sounds: string, lookUp: LookUp): number {
  const prefix = PREFIXES.find((text) => letters.startsWith(text));
  if (
    prefix !== undefined &&
    letters.length >= prefix.length + 2 &&
    meet(letters, sounds, prefix.length, lookUp)
  ) {
    return prefix.length;
  }
  for (let half = letters.length >> 1; half >= 3; half--) {
    if (meet(letters, sounds, half, lookUp)) return half;
    const other = letters.length - half;
    if (other !== half && meet(letters, sounds, other, lookUp)) return other;
  }
  return -1;
}

/** Whether two known words meet at a place of a word and sound in it as they sound alone. */
function meet(letters: string, sounds: string, at: number, lookUp: LookUp): boolean {
  const second = letters.slice(at);
  // What may be a suffix was refused as one.
  if (SUFFIXES.some(([suffix]) => suffix === second)) return false;
  return lookUp(letters.slice(0, at)).some((left) => {
    const start = `${left.map(bare).join(' ')} `;
    if (!sounds.startsWith(start)) return false;
    const rest = sounds.slice(start.length);
    return lookUp(second).some((right) => right.map(bare).join(' ') === rest);
  });
}
