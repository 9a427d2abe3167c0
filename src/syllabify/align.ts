/**
 * Which letters spell which sounds: the cheapest alignment of a word's letters with its phones, by dynamic
 * programming over the usual English spellings. The division of a word needs to know where each vowel is written.
 */
import { bare, isVowel, stressOf } from './phones.ts';
import type { Phone } from './phones.ts';
import { PAIRED_SPELLINGS, SPELLINGS } from './spellings.data.ts';
import type { Stress } from '../verse.ts';

/** A stretch of letters that spells one or two sounds, or none (a silent letter). Ends are exclusive. */
export interface Grapheme {
  readonly start: number;
  readonly end: number;
  /** Indexes of the phones it spells: `first` to `last`, exclusive. Equal when it is silent. */
  readonly first: number;
  readonly last: number;
}

export interface Alignment {
  /** In order; together they cover every letter and every phone. */
  readonly graphemes: readonly Grapheme[];
  /** Small when every letter has a usual sound; silent letters, odd spellings and unwritten sounds add to it. */
  readonly cost: number;
}

/** Where one vowel sound is written, and its stress. `start` rises strictly along a word. */
export interface Nucleus {
  readonly start: number;
  readonly end: number;
  readonly stress: Stress;
}

interface Spelling {
  readonly letters: string;
  readonly cost: number;
}

/** The spelling tables by sound and first letter, filled as sounds are met; make one for each run of alignments. */
export type SpellingIndex = Map<string, readonly (readonly Spelling[])[]>;

/** Costs, lower for likelier: the ranks of the spelling tables, and what lies outside them. */
const SILENT = 14;
const SILENT_E = 4;
const SILENT_DOUBLE = 4;
const ODD_VOWEL = 30;
const ODD_CONSONANT = 40;
const UNWRITTEN = 60;
const PAIR = 2;

/**
 * Align a word with one of its pronunciations. O(letters x phones) steps, each over a few spellings.
 *
 * @param letters lower-case letters a to z only.
 * @example align('bee', ['B', 'IY1'], new Map()).graphemes.length // => 2
 */
export function align(letters: string, phones: readonly Phone[], index: SpellingIndex): Alignment {
  const bases = phones.map(bare);
  const ones = bases.map((base) => spellings(index, SPELLINGS, base));
  const twos = bases.map((base, j) => spellings(index, PAIRED_SPELLINGS, `${base} ${bases[j + 1] ?? ''}`));
  const vowels = phones.map(isVowel);
  const width = phones.length + 1;
  const costs = new Int32Array((letters.length + 1) * width).fill(1e9);
  const from = new Int32Array(costs.length);
  costs[0] = 0;
  const reach = (here: number, there: number, cost: number): void => {
    if (cost >= (costs[there] ?? 0)) return;
    costs[there] = cost;
    from[there] = here;
  };
  for (let i = 0; i <= letters.length; i++) {
    const letter = letters.charCodeAt(i) - 97;
    for (let j = 0; j <= phones.length; j++) {
      const here = i * width + j;
      const cost = costs[here] ?? 0;
      if (i < letters.length) reach(here, here + width, cost + silentCost(letters, i));
      if (j === phones.length) continue;
      reach(here, here + 1, cost + UNWRITTEN);
      if (i === letters.length) continue;
      const odd = vowels[j] === isVowelLetter(letters, i) ? ODD_VOWEL : ODD_CONSONANT;
      reach(here, here + width + 1, cost + odd);
      for (const spelling of ones[j]?.[letter] ?? NONE) {
        if (!letters.startsWith(spelling.letters, i)) continue;
        reach(here, here + spelling.letters.length * width + 1, cost + spelling.cost);
      }
      for (const spelling of twos[j]?.[letter] ?? NONE) {
        if (!letters.startsWith(spelling.letters, i)) continue;
        reach(here, here + spelling.letters.length * width + 2, cost + spelling.cost + PAIR);
      }
    }
  }
  return { graphemes: trace(from, width), cost: costs[costs.length - 1] ?? 0 };
}

const NONE: readonly Spelling[] = [];

/** The spellings of a sound (or of two) by their first letter, counted from a. */
function spellings(
  index: SpellingIndex,
  table: Readonly<Record<string, string>>,
  sound: string,
): readonly (readonly Spelling[])[] {
  let byLetter = index.get(sound);
  if (byLetter === undefined) {
    const made: Spelling[][] = [];
    (table[sound] ?? '').split(' ').forEach((text, rank) => {
      if (text === '') return;
      // A longer spelling is the better explanation of its letters.
      const cost = 1 + Math.min(12, rank >> 1) - Math.min(2, text.length - 1);
      (made[text.charCodeAt(0) - 97] ??= []).push({ letters: text, cost: Math.max(0, cost) });
    });
    byLetter = made;
    index.set(sound, byLetter);
  }
  return byLetter;
}

function trace(from: Int32Array, width: number): readonly Grapheme[] {
  const graphemes: Grapheme[] = [];
  let place = from.length - 1;
  while (place > 0) {
    const before = from[place] ?? 0;
    const start = Math.floor(before / width);
    graphemes.push({ start, end: Math.floor(place / width), first: before % width, last: place % width });
    place = before;
  }
  return graphemes.reverse();
}

function silentCost(letters: string, index: number): number {
  if (letters[index] === 'e') return SILENT_E;
  return letters[index] === letters[index - 1] ? SILENT_DOUBLE : SILENT;
}

/** Whether a letter writes a vowel: a, e, i, o, u, and y except before one of them. */
export function isVowelLetter(letters: string, index: number): boolean {
  const letter = letters[index] ?? '';
  if (letter === 'y') return !'aeiou'.includes(letters[index + 1] ?? '-');
  return letter !== '' && 'aeiou'.includes(letter);
}

/**
 * The vowels of a pronunciation in order, with the letters that write them. Two vowels written by the same letters
 * (the `ire` of fire) share them out. Null when there are more vowels than places for them: letters said by name.
 */
export function nucleiOf(
  alignment: Alignment,
  phones: readonly Phone[],
  letters: string,
): readonly Nucleus[] | null {
  const nuclei: Nucleus[] = [];
  for (const { start, end, first, last } of alignment.graphemes) {
    for (let j = first; j < last; j++) {
      const phone = phones[j] ?? '';
      if (!isVowel(phone)) continue;
      const before = nuclei.at(-1)?.start ?? -1;
      const shared = before >= start;
      const at = shared ? lastVowel(letters, before + 1, end) : start;
      if (at <= before || at >= letters.length) return null;
      if (shared) nuclei.push({ ...(nuclei.pop() ?? { start, stress: 0 }), end: at });
      nuclei.push({ start: at, end: Math.max(at + 1, end), stress: stressOf(phone) });
    }
  }
  return nuclei;
}

/** The last vowel letter in a stretch, or its first letter when it has none. */
function lastVowel(letters: string, start: number, end: number): number {
  for (let at = end - 1; at > start; at--) if ('aeiouy'.includes(letters[at] ?? '-')) return at;
  return start;
}
