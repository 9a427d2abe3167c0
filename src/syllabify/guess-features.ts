/**
 * What the model for unknown words looks at, as hashed features. The training script and the guess both use this file,
 * so that they agree; a change here asks for the model to be trained again.
 */
import type { KnownParts, Part } from './known-parts.ts';

/** A word to guess: its letters a to z and the known words in it. */
export interface Unknown {
  readonly letters: string;
  readonly parts: KnownParts;
}

/** Collects feature numbers below a power of two; reused from letter to letter to spare memory. */
export interface Features {
  readonly numbers: Int32Array;
  count: number;
  readonly mask: number;
}

/** An empty collection for tables of 2 to the power of `bits` weights. */
export function newFeatures(bits: number): Features {
  return { numbers: new Int32Array(512), count: 0, mask: 2 ** bits - 1 };
}

function add(features: Features, hash: number): void {
  let mixed = hash ^ (hash >>> 15);
  mixed = Math.imul(mixed, 0x2c1b3c6d);
  mixed ^= mixed >>> 13;
  features.numbers[features.count++] = mixed & features.mask;
}

/** FNV-1a (Fowler, Noll and Vo) over a text. */
function addText(features: Features, text: string): void {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  add(features, hash);
}

const clamp = (value: number, low: number, high: number): number => Math.max(low, Math.min(high, value));

/** How far to each side a letter's neighbours count, and the longest run of letters taken as one feature. */
const REACH = 5;
const LONGEST = 7;

/** Features of one letter for "a vowel sound is written from here", before anything is known of the letters before. */
export function letterFeatures(features: Features, word: Unknown, at: number): void {
  features.count = 0;
  const text = `^${word.letters}$`;
  const centre = at + 1;
  for (let offset = -REACH; offset <= REACH; offset++) {
    const start = centre + offset;
    if (start < 0) continue;
    let hash = Math.imul(0x9e3779b1, offset + 17);
    const most = Math.min(LONGEST, text.length - start, REACH - offset + 1);
    for (let length = 1; length <= most; length++) {
      hash = Math.imul(hash ^ text.charCodeAt(start + length - 1), 0x01000193);
      const apart = offset > 1 || offset + length - 1 < -1;
      if (!apart || length <= 4) add(features, hash);
    }
  }
  knownLetterFeatures(features, word, at);
}

function knownLetterFeatures(features: Features, { letters, parts }: Unknown, at: number): void {
  const { left, right, pair } = parts;
  const letter = letters[at] ?? '';
  const says = (part: Part | null): string => {
    if (part === null) return 'n';
    if (at >= part.to) return `x${String(at - part.to)}`;
    if (at < part.from) return `x${String(part.from - at)}`;
    return part.vowels.includes(at - part.from) ? '1' : '0';
  };
  const one = says(left);
  const other = says(right);
  const leftGap = left === null ? 'n' : String(Math.min(6, left.to - at));
  const rightGap = right === null ? 'n' : String(Math.min(6, at - right.from));
  addText(features, `a${one}|${String(left === null ? 9 : Math.min(5, letters.length - left.to))}`);
  addText(features, `b${other}|${String(right === null ? 9 : Math.min(5, right.from))}`);
  addText(features, `c${one}${other}|${left && right ? String(clamp(right.from - left.to, -3, 3)) : ''}`);
  addText(features, `d${one}${leftGap}${letter}|${left === null ? '' : letters.slice(left.to, left.to + 4)}`);
  addText(
    features,
    `e${other}${rightGap}${letter}|${right === null ? '' : letters.slice(Math.max(0, right.from - 4), right.from)}`,
  );
  addText(features, `f${one}${leftGap}${letter}${letters[at - 1] ?? ''}`);
  if (pair === null) return;
  const [first, second] = pair;
  const half = Math.min(first.to, letters.length - first.to);
  const said = says(at < first.to ? first : second);
  const gap = first.to - at;
  addText(features, `g${said}${String(half)}`);
  addText(features, `h${said}${letter}${String(gap === 1)}${String(half)}`);
  addText(features, `i${said}${gap === 1 || gap === 2 ? String(gap) : ''}${letter}`);
}

/** How the letters before were marked: the last two, and how many have passed since a vowel (at most 5). */
export interface Before {
  readonly last: 0 | 1;
  readonly lastButOne: 0 | 1;
  readonly since: number;
}

/** Features that join a letter with the marks before it; added to those of the letter. */
export function beforeFeatures(features: Features, word: Unknown, at: number, before: Before): void {
  const text = `^${word.letters}$`;
  const i = at + 1;
  const marks = `${String(before.last)}${String(before.lastButOne)}`;
  const since = String(before.since);
  const here = text[i] ?? '';
  const next = text[i + 1] ?? '';
  const then = text[i + 2] ?? '';
  addText(features, `A${marks}`);
  addText(features, `B${since}`);
  addText(features, `C${marks}${here}`);
  addText(features, `D${String(before.last)}${text[i - 1] ?? ''}${here}${next}`);
  addText(features, `E${marks}${text[i - 2] ?? ''}${text[i - 1] ?? ''}${here}`);
  addText(features, `F${since}${here}${next}${then}`);
  addText(features, `G${marks}${here}${next}${then}${text[i + 3] ?? ''}`);
}

/** Endings that leave the stress of what they are put to. */
const ENDING =
  /(?:ness|less|fully|ful|ingly|edly|ings|ing|ies|ied|ier|iest|ily|iness|ers|er|est|ed|ly|es|s|y|e)$/;

/** A word less its usual endings, as letters only: `restored` gives `restor`. */
export function baseOf(letters: string): string {
  let base = letters;
  for (let round = 0; round < 3; round++) {
    const ending = ENDING.exec(base)?.[0];
    if (ending === undefined) break;
    const rest = base.slice(0, -ending.length);
    if (rest.length < 3 || !/[aeiouy]/.test(rest) || (ending === 's' && /[suio]$/.test(rest))) break;
    base = rest;
    if (ending === 'e') break;
  }
  return base.replace(/([bdgklmnprtvz])\1$/, '$1');
}

/** A word whose vowels are marked, with what all its stress features share. */
export interface Voiced extends Unknown {
  /** Letter indexes of its vowels, rising. */
  readonly vowels: readonly number[];
  readonly base: string;
  /** How many of the vowels lie in the base. */
  readonly baseCount: number;
  /** Each syllable's letters from its vowel to the next. */
  readonly stretches: readonly string[];
  /** Each syllable's shape: short or long vowel letters and 0, 1 or 2 consonants; with and without its vowel letter. */
  readonly shape: string;
  readonly vowelShape: string;
  readonly baseShape: string;
}

/** Work out what the stress features share. */
export function voiced(word: Unknown, vowels: readonly number[]): Voiced {
  const base = baseOf(word.letters);
  const baseCount = vowels.filter((vowel) => vowel < base.length).length;
  const cutAt = (letters: string, index: number): string => letters.slice(vowels[index], vowels[index + 1]);
  const shapeOf = (stretch: string, named: boolean): string => {
    const head = /^[aeiouy]*/.exec(stretch)?.[0] ?? '';
    const tail = String(Math.min(2, stretch.length - head.length));
    return (head.length > 1 ? 'L' : named && head !== '' ? head : 'S') + tail;
  };
  const stretches = vowels.map((_, index) => cutAt(word.letters, index));
  return {
    ...word,
    vowels,
    base,
    baseCount,
    stretches,
    shape: stretches.map((stretch) => shapeOf(stretch, false)).join(''),
    vowelShape: stretches.map((stretch) => shapeOf(stretch, true)).join(''),
    baseShape: vowels
      .slice(0, baseCount)
      .map((_, index) => shapeOf(cutAt(base, index), false))
      .join(''),
  };
}

/** Longest runs of letters at the end and the beginning of a word that count for its stress. */
const LONGEST_END = 7;
const LONGEST_BEGINNING = 5;

/** Features of "the primary stress lies on this vowel", an index into the word's vowels. */
export function stressFeatures(features: Features, word: Voiced, at: number): void {
  features.count = 0;
  const count = word.vowels.length;
  const fromEnd = Math.min(6, count - 1 - at);
  const fromBase = clamp(word.baseCount - 1 - at, -2, 5);
  const place = Math.min(at, 6);
  edgeFeatures(features, word, { count, fromEnd, fromBase, place });
  nearFeatures(features, word, at, { fromBase, place });
  const before = word.stretches[at - 1] ?? '';
  const here = word.stretches[at] ?? '';
  const after = word.stretches[at + 1] ?? '';
  const end = String(fromEnd);
  addText(features, `A${here}|${end}`);
  addText(features, `B${before}|${here}|${end}`);
  addText(features, `C${here}|${after}|${end}`);
  addText(features, `D${after}|${end}`);
  addText(features, `E${word.stretches[at + 2] ?? ''}|${end}`);
  addText(features, `F${before}|${end}`);
  const tail = word.letters.slice(-3);
  addText(features, `P${word.vowelShape}|${String(at)}`);
  addText(features, `Q${word.shape}|${String(at)}`);
  addText(features, `R${word.shape.slice(-6)}|${end}`);
  addText(features, `S${word.vowelShape.slice(-6)}|${end}`);
  addText(features, `T${word.vowelShape.slice(-4)}|${end}|${String(count)}`);
  addText(features, `U${tail}${word.shape.slice(-6)}|${end}`);
  addText(features, `V${tail.slice(-2)}${word.shape.slice(-6)}|${end}`);
  addText(features, `W${word.baseShape}|${String(at)}`);
  addText(features, `X${word.baseShape.slice(-4)}|${String(fromBase)}`);
  addText(features, `Y${word.baseShape}${word.letters.slice(0, 2)}|${String(at)}`);
  knownStressFeatures(features, word, at, fromEnd, place);
}

function edgeFeatures(
  features: Features,
  word: Voiced,
  at: { readonly count: number; readonly fromEnd: number; readonly fromBase: number; readonly place: number },
): void {
  const count = at.count + 500;
  const baseCount = word.baseCount + 500;
  let hash = Math.imul(1000 + at.fromEnd * 8, 0x9e3779b1);
  for (let i = word.letters.length - 1, n = 0; i >= -1 && n < LONGEST_END; i--, n++) {
    hash = Math.imul(hash ^ (i < 0 ? 94 : word.letters.charCodeAt(i)), 0x01000193);
    add(features, hash);
    add(features, Math.imul(hash ^ count, 0x01000193));
  }
  hash = Math.imul(3000 + at.fromBase * 8, 0x9e3779b1);
  for (let i = word.base.length - 1, n = 0; i >= -1 && n < LONGEST_END; i--, n++) {
    hash = Math.imul(hash ^ (i < 0 ? 94 : word.base.charCodeAt(i)), 0x01000193);
    add(features, hash);
    add(features, Math.imul(hash ^ baseCount, 0x01000193));
  }
  hash = Math.imul(5000 + at.place * 8, 0x9e3779b1);
  for (let i = 0; i <= word.letters.length && i < LONGEST_BEGINNING; i++) {
    hash = Math.imul(hash ^ (word.letters.charCodeAt(i) || 36), 0x01000193);
    add(features, hash);
    add(features, Math.imul(hash ^ count, 0x01000193));
    add(features, Math.imul(hash ^ (baseCount + 100), 0x01000193));
  }
  const shared = `${String(at.fromBase)}${String(word.baseCount)}`;
  const { base, letters } = word;
  addText(features, `0${String(at.fromEnd)}|${String(at.count)}`);
  addText(features, `1${shared}`);
  addText(features, `2${shared}${letters.slice(base.length)}`);
  addText(features, `3${shared}${letters.slice(0, 2)}${base.slice(-2)}`);
  addText(features, `4${shared}${letters.slice(0, 2)}${base.slice(-3)}`);
  addText(features, `5${shared}${letters.slice(0, 3)}${base.slice(-2)}`);
}

/** How far letters around a vowel count for its stress. */
const NEAR = 3;

function nearFeatures(
  features: Features,
  word: Voiced,
  at: number,
  { fromBase, place }: { readonly fromBase: number; readonly place: number },
): void {
  const text = `^${word.letters}$`;
  const centre = (word.vowels[at] ?? 0) + 1;
  for (let offset = -NEAR; offset <= NEAR; offset++) {
    const start = centre + offset;
    if (start < 0) continue;
    let hash = Math.imul(9000 + offset, 0x9e3779b1);
    const most = Math.min(5, text.length - start, NEAR - offset + 1);
    for (let length = 1; length <= most; length++) {
      hash = Math.imul(hash ^ text.charCodeAt(start + length - 1), 0x01000193);
      add(features, Math.imul(hash ^ (fromBase + 1300), 0x01000193));
      if (length <= 3) add(features, Math.imul(hash ^ (place + 900), 0x01000193));
    }
  }
}

function knownStressFeatures(
  features: Features,
  word: Voiced,
  at: number,
  fromEnd: number,
  place: number,
): void {
  const { left, right, pair } = word.parts;
  const count = word.vowels.length;
  const off = (value: number): string => String(clamp(value, -2, 2));
  const fromRight = (part: Part): number => at - (count - part.vowels.length + part.primary);
  const rest = left === null ? '' : word.letters.slice(left.to);
  const head = right === null ? '' : word.letters.slice(0, right.from);
  if (left === null) addText(features, `j${String(fromEnd)}`);
  else {
    const d = off(at - left.primary);
    addText(features, `k${d}${rest}`);
    addText(features, `l${d}|${String(Math.min(6, rest.length))}|${String(count - left.vowels.length)}`);
    addText(features, `m${d}${rest}${String(left.vowels.length)}${String(count)}`);
    addText(features, `n${d}${String(left.vowels.length)}${String(left.primary)}${String(count)}`);
    addText(features, `o${d}${rest.slice(-3)}`);
  }
  if (right === null) addText(features, `p${String(fromEnd)}`);
  else {
    const d = off(fromRight(right));
    addText(features, `q${d}${head}`);
    addText(features, `r${d}|${String(Math.min(6, head.length))}|${String(count - right.vowels.length)}`);
    addText(features, `s${d}${head}${String(right.vowels.length)}${String(count)}${String(place)}`);
    addText(
      features,
      `t${d}${String(right.vowels.length)}${String(right.primary)}${String(count)}${String(place)}`,
    );
  }
  if (left !== null && right !== null) {
    const both = off(at - left.primary) + off(fromRight(right));
    addText(features, `u${both}${String(Math.min(4, rest.length))}${String(Math.min(4, head.length))}`);
    addText(features, `v${both}${String(count)}${String(left.vowels.length)}${String(right.vowels.length)}`);
  }
  if (pair === null) return;
  const [first, second] = pair;
  const both = off(at - first.primary) + off(fromRight(second));
  addText(features, `w${both}${String(Math.min(first.to, word.letters.length - first.to))}`);
  addText(features, `x${both}${word.letters.slice(0, first.to)}`);
  addText(features, `y${both}${word.letters.slice(first.to)}`);
  addText(features, `z${both}${String(first.vowels.length)}${String(second.vowels.length)}${String(count)}`);
}
