/**
 * Where a word divides under the notes. The pronunciation says how many parts; the printing rules say where to cut:
 * doubled consonants part, letters that write one sound stay together, a short stressed vowel keeps the consonant
 * after it, any other vowel leaves it to the next part, and a part begins as an English word may begin.
 */
import type { Grapheme, Nucleus } from './align.ts';

/** A word with its letters shared out to its sounds. */
export interface Spelled {
  /** Lower-case letters a to z. */
  readonly letters: string;
  readonly nuclei: readonly (Nucleus & { readonly short: boolean })[];
  readonly graphemes: readonly Pick<Grapheme, 'start' | 'end'>[];
}

/** Groups of two or three consonants that may begin an English word. */
const ONSETS =
  ' bl br ch cl cr dr dw fl fr gh gl gn gr kn ph pl pr qu rh sc sch scr sh shr sk sl sm sn sp spl spr squ st str sw th thr tr tw wh wr ';

/**
 * The places where a word is cut: one fewer than its syllables, rising, each inside the word.
 *
 * @param seams places where parts of the word's build meet (compound, prefix, suffix); they are taken first.
 */
export function divide(word: Spelled, seams: readonly number[]): readonly number[] {
  const cuts: number[] = [];
  for (let i = 1; i < word.nuclei.length; i++) {
    const left = word.nuclei[i - 1];
    const right = word.nuclei[i];
    if (left === undefined || right === undefined) continue;
    const low = Math.max((cuts.at(-1) ?? 0) + 1, left.start + 1);
    const cut = cutBetween(word, left, right, seams, low);
    const spare = word.nuclei.length - i;
    cuts.push(Math.max(low, Math.min(cut, word.letters.length - spare)));
  }
  return cuts;
}

function cutBetween(
  word: Spelled,
  left: Spelled['nuclei'][number],
  right: Spelled['nuclei'][number],
  seams: readonly number[],
  low: number,
): number {
  const seam = seams.find((place) => place >= Math.max(low, left.end) && place <= right.start);
  if (seam !== undefined) return seam;
  if (right.start < left.end || left.start === right.start) return sharedVowels(word.letters, right, low);
  const between = word.graphemes.filter(({ start, end }) => start >= left.end && end <= right.start);
  const units = between.flatMap(({ start, end }) => splitDoubled(word.letters, start, end));
  if (units.length === 0) return right.start;
  if (units.length === 1) {
    const [only] = units;
    const text = word.letters.slice(only?.start, only?.end);
    const closes = text === 'ck' || text === 'x' || (left.short && left.stress > 0);
    return closes ? right.start : left.end;
  }
  const first = left.short && left.stress > 0 ? 1 : 0;
  for (let i = first; i < units.length; i++) {
    const from = units[i]?.start ?? right.start;
    const onset = word.letters.slice(from, right.start);
    if (i === units.length - 1 || ONSETS.includes(` ${onset} `)) return from;
  }
  return right.start;
}

/** A doubled consonant counts as two letters, so that it may part. */
function splitDoubled(
  letters: string,
  start: number,
  end: number,
): readonly { start: number; end: number }[] {
  const text = letters.slice(start, end);
  if (text.length === 2 && text[0] === text[1])
    return [
      { start, end: start + 1 },
      { start: start + 1, end },
    ];
  return [{ start, end }];
}

/** Two vowels written by one group of letters: the second part takes the last of them. */
function sharedVowels(letters: string, right: Nucleus, low: number): number {
  for (let place = right.end - 1; place > low; place--) {
    if ('aeiouy'.includes(letters[place] ?? '-')) return place;
  }
  return low;
}
