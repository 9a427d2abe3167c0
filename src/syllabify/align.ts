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
  /** 0 when every letter has its usual sound; each silent letter, odd spelling or unwritten sound adds to it. */
  readonly cost: number;
}

/** Longest spelling of one sound in the tables. */
const LONGEST = 5;

/** What a usual spelling costs by its rank in the list: common ones are nearly free. */
const usual = (rank: number): number => 1 + rank;
const SILENT = 14;
const SILENT_E = 4;
const ODD_VOWEL = 30;
const ODD_CONSONANT = 40;
const UNWRITTEN = 60;

/**
 * Align a word with one of its pronunciations. O(letters x phones) steps.
 *
 * @param letters lower-case letters a to z only.
 */
export function align(letters: string, phones: readonly Phone[]): Alignment {
  const bases = phones.map(bare);
  const width = phones.length + 1;
  const costs = new Array<number>((letters.length + 1) * width).fill(Infinity);
  const from = new Array<number>(costs.length).fill(-1);
  costs[0] = 0;
  for (let i = 0; i <= letters.length; i++) {
    for (let j = 0; j <= phones.length; j++) {
      const here = i * width + j;
      const cost = costs[here] ?? Infinity;
      if (cost === Infinity) continue;
      const reach = (letterCount: number, phoneCount: number, added: number): void => {
        const there = here + letterCount * width + phoneCount;
        if (cost + added >= (costs[there] ?? Infinity)) return;
        costs[there] = cost + added;
        from[there] = here;
      };
      if (i < letters.length) reach(1, 0, silentCost(letters, i));
      if (j === phones.length) continue;
      reach(0, 1, UNWRITTEN);
      for (let count = 1; count <= LONGEST && i + count <= letters.length; count++) {
        const spelling = letters.slice(i, i + count);
        const one = spellingCost(spelling, SPELLINGS[bases[j] ?? '']);
        if (one !== null) reach(count, 1, one);
        else if (count === 1)
          reach(1, 1, isVowel(phones[j] ?? '') === isVowelLetter(letters, i) ? ODD_VOWEL : ODD_CONSONANT);
        if (j + 1 === phones.length) continue;
        const two = spellingCost(spelling, PAIRED_SPELLINGS[`${bases[j] ?? ''} ${bases[j + 1] ?? ''}`]);
        if (two !== null) reach(count, 2, two + 2);
      }
    }
  }
  return { graphemes: trace(from, width), cost: costs[costs.length - 1] ?? Infinity };
}

function trace(from: readonly number[], width: number): readonly Grapheme[] {
  const graphemes: Grapheme[] = [];
  let place = from.length - 1;
  while (place > 0) {
    const before = from[place] ?? 0;
    graphemes.push({
      start: Math.floor(before / width),
      end: Math.floor(place / width),
      first: before % width,
      last: place % width,
    });
    place = before;
  }
  return graphemes.reverse();
}

function spellingCost(spelling: string, list: string | undefined): number | null {
  if (list === undefined) return null;
  const place = ` ${list} `.indexOf(` ${spelling} `);
  if (place < 0) return null;
  return usual(Math.floor(place / 8)) - Math.min(2, spelling.length - 1);
}

function silentCost(letters: string, index: number): number {
  if (letters[index] === 'e') return SILENT_E;
  return letters[index] === letters[index - 1] ? SILENT_E : SILENT;
}

/** Whether a letter writes a vowel: a, e, i, o, u, and y except before one of them. */
export function isVowelLetter(letters: string, index: number): boolean {
  const letter = letters[index] ?? '';
  if (letter === 'y') return !'aeiou'.includes(letters[index + 1] ?? '-');
  return letter !== '' && 'aeiou'.includes(letter);
}

/** Where one vowel sound is written, and its stress. */
export interface Nucleus {
  readonly start: number;
  readonly end: number;
  readonly stress: Stress;
}

/** The vowels of a pronunciation in order, with the letters that write them. */
export function nucleiOf(alignment: Alignment, phones: readonly Phone[]): readonly Nucleus[] {
  return alignment.graphemes.flatMap(({ start, end, first, last }) =>
    phones
      .slice(first, last)
      .flatMap((phone) => (isVowel(phone) ? [{ start, end, stress: stressOf(phone) }] : [])),
  );
}
