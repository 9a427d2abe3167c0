/**
 * Where a word divides under the notes. The pronunciation says how many parts; the usual printing rules say where to
 * cut: the build of the word first (compound, prefix, suffix), doubled consonants part, letters that write one sound
 * stay together, a short stressed vowel keeps the consonant after it, any other vowel leaves it to the next part, and
 * a part begins as an English word may begin (common practice of dictionaries and song books).
 */
import type { Grapheme, Nucleus } from './align.ts';

/** A word with its letters shared out to its sounds. */
export interface Spelled {
  /** Lower-case letters a to z. */
  readonly letters: string;
  /** At least one. */
  readonly nuclei: readonly SungVowel[];
  /** Every letter, in groups that write one sound (or none). */
  readonly graphemes: readonly Pick<Grapheme, 'start' | 'end'>[];
}

export interface SungVowel extends Nucleus {
  /** Short as in hat, pet, sit, hot, cup: stressed, it wants a consonant after it. */
  readonly short: boolean;
}

/** Consonants of two letters or more that may begin a part. */
const ONSETS =
  ' bl br ch cl cr dr dw fl fr gh gl gn gr kn ph phr pl pr qu rh sc sch scr sh shr sk sl sm sn sp sph spl spr squ st str sw th thr tr tw wh wr chr ';
/** Prefixes that end in a vowel and so leave a whole cluster to the next part: be-stow, a-stray. */
const OPEN_PREFIX = /^(?:a|be|de|re|pre|pro)$/;

/**
 * The places where a word is cut: one fewer than its syllables, rising, each inside the word.
 *
 * @param seams places where parts of the word's build meet; they are taken first.
 */
export function divide(word: Spelled, seams: readonly number[]): readonly number[] {
  const cuts: number[] = [];
  for (let i = 1; i < word.nuclei.length; i++) {
    const left = word.nuclei[i - 1];
    const right = word.nuclei[i];
    if (left === undefined || right === undefined) continue;
    const from = cuts.at(-1) ?? 0;
    const low = Math.max(from + 1, left.start + 1);
    const cut = cutBetween(word, left, right, seams, from);
    const spare = word.nuclei.length - i;
    cuts.push(Math.max(low, Math.min(cut, right.start, word.letters.length - spare)));
  }
  return cuts;
}

function cutBetween(
  word: Spelled,
  left: SungVowel,
  right: SungVowel,
  seams: readonly number[],
  from: number,
): number {
  const seam = seams.find((place) => place > left.start && place >= left.end - 1 && place <= right.start);
  if (seam !== undefined) return seam;
  const { letters } = word;
  const units = unitsBetween(word, left.end, right.start);
  if (units.length === 0) return afterR(letters, left, right);
  const last = units.at(-1);
  // -le takes the consonant before it: ta-ble, dou-ble, but tick-le.
  if (
    /^le?$/.test(letters.slice(right.start, right.end)) &&
    last !== undefined &&
    !/^(?:ck|x)$/.test(last.sound)
  ) {
    return last.start;
  }
  if (units.length === 1) {
    const text = letters.slice(units[0]?.start, right.start);
    const closes = text === 'ck' || text === 'x' || text === 'ng' || (left.short && left.stress > 0);
    return closes ? right.start : (units[0]?.start ?? right.start);
  }
  const open = OPEN_PREFIX.test(letters.slice(from, left.end)) && from === 0 && left.stress < 2;
  const first = left.short && left.stress > 0 ? 1 : 0;
  for (let i = first; i < units.length; i++) {
    const start = units[i]?.start ?? right.start;
    const onset = units
      .slice(i)
      .map((unit) => unit.sound)
      .join('');
    if (i === units.length - 1) return start;
    if (!ONSETS.includes(` ${onset} `)) continue;
    if (i === 0 && /^s[ptkc]/.test(onset) && !onset.startsWith('sch') && !open) continue;
    return start;
  }
  return right.start;
}

/** A consonant between two vowels, with the silent letters that go with it. */
interface Unit {
  readonly start: number;
  /** Its letters without silent vowels. */
  readonly sound: string;
}

/**
 * The consonants between two vowels. A doubled consonant counts as two. A silent e or i goes with the consonant
 * before it (love-ly, busi-ness), but one before r, and any other silent vowel, with the consonant after it (ev-ery).
 */
function unitsBetween(word: Spelled, start: number, end: number): readonly Unit[] {
  const units: Unit[] = [];
  let waiting = -1;
  for (const grapheme of word.graphemes.flatMap((each) => apartFromE(word.letters, each))) {
    if (grapheme.start < start || grapheme.end > end) continue;
    const text = word.letters.slice(grapheme.start, grapheme.end);
    if (/^[aeiou]+$/.test(text)) {
      const back = /^[ei]$/.test(text) && word.letters[grapheme.end] !== 'r';
      if (!back && waiting < 0) waiting = grapheme.start;
      continue;
    }
    const doubled = text.length === 2 && text[0] === text[1];
    const from = waiting < 0 ? grapheme.start : waiting;
    waiting = -1;
    units.push({ start: from, sound: doubled ? text.slice(1) : text.replace(/[aeiou]+$/, '') });
    if (doubled) units.push({ start: grapheme.start + 1, sound: text.slice(1) });
  }
  return units;
}

/** A consonant written with a silent e (`ve`, `se`) as the consonant and the e. */
function apartFromE(
  letters: string,
  { start, end }: Pick<Grapheme, 'start' | 'end'>,
): readonly Pick<Grapheme, 'start' | 'end'>[] {
  if (!/^[^aeiou]+e$/.test(letters.slice(start, end)) || letters[start] === 'l') return [{ start, end }];
  return [
    { start, end: end - 1 },
    { start: end - 1, end },
  ];
}

/** Two vowels with no consonant between: the r of er stays (ev-er-y), that of or, ar and ur goes on (hick-o-ry). */
function afterR(letters: string, left: SungVowel, right: SungVowel): number {
  const spelled = letters.slice(left.start, right.start);
  if (spelled.endsWith('rr')) return right.start - 1;
  return /^[aiou]r$/.test(spelled) && left.stress === 0 ? right.start - 1 : right.start;
}
