/**
 * Words that no dictionary has: where their vowels are written and which is stressed, from the letters alone, by two
 * log-linear models trained on the dictionary (build/unknown-words.mjs tells how). Letters are marked one after another
 * by an exact search over the marks; then each marked vowel bids for the stress.
 */
import type { Grapheme, Nucleus } from './align.ts';
import { beforeFeatures, letterFeatures, newFeatures, stressFeatures, voiced } from './guess-features.ts';
import type { Before, Features, Unknown } from './guess-features.ts';
import { knownParts } from './known-parts.ts';
import type { KnownWords } from './known-parts.ts';
import type { Stress } from '../verse.ts';

/** The weights of the two models, each a table of 2 to the power of `bits` small integers. */
export interface GuessModel {
  readonly letters: Int8Array;
  readonly letterBits: number;
  /** What one unit of a letter weight is worth, in natural logarithms. */
  readonly letterScale: number;
  readonly stresses: Int8Array;
  readonly stressBits: number;
}

/** A guess: where the vowels are written, and which letters write one consonant together. */
export interface Guess {
  /** At least one; exactly one of primary stress. */
  readonly nuclei: readonly Nucleus[];
  readonly graphemes: readonly Pick<Grapheme, 'start' | 'end'>[];
}

/** Bytes before the tables in a stored model: "CWM1", two table sizes in bits, and the letter scale as a float. */
export const MODEL_HEAD = 12;

/**
 * Open a stored model in place.
 *
 * @throws RangeError when the bytes are not one.
 */
export function openModel(bytes: Uint8Array): GuessModel {
  if (String.fromCharCode(...bytes.subarray(0, 4)) !== 'CWM1') {
    throw new RangeError('These bytes are not a model for unknown words.');
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const letterBits = view.getUint8(4);
  const stressBits = view.getUint8(5);
  const table = (start: number, bits: number): Int8Array =>
    new Int8Array(bytes.buffer, bytes.byteOffset + start, 2 ** bits);
  return {
    letterBits,
    stressBits,
    letterScale: view.getFloat32(8, true),
    letters: table(MODEL_HEAD, letterBits),
    stresses: table(MODEL_HEAD + 2 ** letterBits, stressBits),
  };
}

/** Guess a word of letters a to z. */
export function guess(model: GuessModel, letters: string, known: KnownWords): Guess {
  const word: Unknown = { letters, parts: knownParts(letters, known) };
  const marked = guessVowels(model, word);
  // A part needs a letter to sing it on.
  const sung = marked.filter((start, index) => /[aeiouy]/.test(letters.slice(start, marked[index + 1])));
  const vowels = sung.length > 0 ? sung : marked.slice(0, 1);
  const primary = guessStress(model, word, vowels);
  const nuclei = vowels.map((start, index): Nucleus => {
    const limit = vowels[index + 1] ?? letters.length;
    return { start, end: vowelEnd(letters, start, limit), stress: stressAt(index, primary) };
  });
  return { nuclei, graphemes: consonants(letters, nuclei) };
}

/** Primary where it was guessed; secondary two syllables before it, as English words alternate. */
function stressAt(index: number, primary: number): Stress {
  return index === primary ? 2 : index === primary - 2 ? 1 : 0;
}

/** States of the search: how many letters since the last vowel (5: five or more, or none yet); 6: two vowels running. */
const STATES = 7;

function beforeOf(state: number): Before {
  if (state === 6) return { last: 1, lastButOne: 1, since: 0 };
  if (state === 0) return { last: 1, lastButOne: 0, since: 0 };
  return { last: 0, lastButOne: state === 1 ? 1 : 0, since: state };
}

/**
 * Mark the letters that begin a vowel sound: at least one. Exact for the model: the best sequence of marks.
 * O(letters x states) bids.
 */
export function guessVowels(model: GuessModel, word: Unknown): readonly number[] {
  const features = newFeatures(model.letterBits);
  const { length } = word.letters;
  let costs = new Array<number>(STATES).fill(Infinity);
  let paths: readonly number[][] = Array.from({ length: STATES }, () => []);
  costs[5] = 0;
  for (let at = 0; at < length; at++) {
    letterFeatures(features, word, at);
    const shared = features.count;
    const base = sum(model.letters, features, 0);
    const nextCosts = new Array<number>(STATES).fill(Infinity);
    const nextPaths: number[][] = Array.from({ length: STATES }, () => []);
    costs.forEach((cost, state) => {
      if (cost === Infinity) return;
      features.count = shared;
      beforeFeatures(features, word, at, beforeOf(state));
      const bid = (base + sum(model.letters, features, shared)) * model.letterScale;
      const reach = (to: number, added: number, path: number[]): void => {
        if (cost + added >= (nextCosts[to] ?? 0)) return;
        nextCosts[to] = cost + added;
        nextPaths[to] = path;
      };
      const path = paths[state] ?? [];
      reach(state === 0 || state === 6 ? 6 : 0, softplus(-bid), [...path, at]);
      reach(state === 6 ? 1 : Math.min(5, state + 1), softplus(bid), path);
    });
    costs = nextCosts;
    paths = nextPaths;
  }
  const order = costs.map((_, state) => state).sort((a, b) => (costs[a] ?? 0) - (costs[b] ?? 0));
  const best = order.map((state) => paths[state] ?? []).find((path) => path.length > 0);
  return best ?? [Math.max(0, word.letters.search(/[aeiouy]/))];
}

/** The vowel with the highest bid for the primary stress; the first of equals. */
export function guessStress(model: GuessModel, word: Unknown, vowels: readonly number[]): number {
  if (vowels.length < 2) return 0;
  const features = newFeatures(model.stressBits);
  const shared = voiced(word, vowels);
  const bids = vowels.map((_, index) => {
    stressFeatures(features, shared, index);
    return sum(model.stresses, features, 0);
  });
  return bids.indexOf(Math.max(...bids));
}

function sum(table: Int8Array, features: Features, from: number): number {
  let total = 0;
  for (let i = from; i < features.count; i++) total += table[features.numbers[i] ?? 0] ?? 0;
  return total;
}

/** Close to the logarithm of 1 + e^x, from plain arithmetic alone, so that every machine agrees to the last bit. */
function softplus(x: number): number {
  const a = Math.abs(x);
  return Math.max(0, x) + 0.6931 / (1 + 0.72 * a + 0.25 * a * a + 0.09 * a * a * a);
}

/** The letters that write the vowel with its first: ea, ow, ay, igh. */
function vowelEnd(letters: string, start: number, limit: number): number {
  let end = start + 1;
  while (
    end < limit &&
    'aeiou'.includes(letters[end] ?? '-') &&
    !(letters[end] === 'e' && end + 1 === letters.length)
  )
    end++;
  const glide = letters[end] ?? '';
  const before = letters[end - 1] ?? '';
  if ((glide === 'w' && 'aeo'.includes(before)) || (glide === 'y' && 'aeou'.includes(before))) {
    if (end < limit && !'aeiou'.includes(letters[end + 1] ?? '-')) end++;
  }
  return Math.min(end, limit);
}

const DIGRAPHS = ['tch', 'dge', 'ch', 'ck', 'gh', 'kn', 'ng', 'ph', 'qu', 'sh', 'th', 'wh', 'wr'];

/** Every letter in its group: each vowel's letters, consonants that write one sound, doubled consonants. */
export function consonants(
  letters: string,
  vowels: readonly { readonly start: number; readonly end: number }[],
): readonly Pick<Grapheme, 'start' | 'end'>[] {
  const units: { start: number; end: number }[] = [];
  for (let i = 0; i < letters.length;) {
    const vowel = vowels.find(({ start, end }) => start <= i && i < end);
    const digraph = DIGRAPHS.find(
      (group) =>
        letters.startsWith(group, i) && !(group === 'ng' && vowels.some(({ start }) => start === i + 2)),
    );
    const doubled = letters[i] === letters[i + 1] && !'aeiou'.includes(letters[i] ?? '');
    const end = vowel !== undefined ? vowel.end : i + (digraph?.length ?? (doubled ? 2 : 1));
    units.push({ start: i, end: Math.max(i + 1, end) });
    i = Math.max(i + 1, end);
  }
  return units;
}
