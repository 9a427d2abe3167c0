/**
 * Train the model for unknown words on a pronunciation dictionary. Two log-linear models with hashed features:
 * logistic regression for "a vowel sound is written from this letter" (with the true marks before it), and a softmax over
 * a word's vowels for the primary stress. Trained by AdaGrad (Duchi, Hazan and Singer 2011) with features dropped at
 * random, which keeps long runs of letters from learning single words by heart. Seeded: the same dictionary, the same model.
 */
import { dictionary as cmu } from 'cmu-pronouncing-dictionary';
import { align, nucleiOf } from '../../src/syllabify/align.ts';
import type { SpellingIndex } from '../../src/syllabify/align.ts';
import {
  beforeFeatures,
  letterFeatures,
  newFeatures,
  stressFeatures,
  voiced,
} from '../../src/syllabify/guess-features.ts';
import type { Features, Unknown } from '../../src/syllabify/guess-features.ts';
import { MODEL_HEAD } from '../../src/syllabify/guess.ts';
import type { GuessModel } from '../../src/syllabify/guess.ts';
import { knownParts } from '../../src/syllabify/known-parts.ts';
import type { Known } from '../../src/syllabify/known-parts.ts';
import { isVowel, stressOf } from '../../src/syllabify/phones.ts';
import { seededRandom } from '../../src/random.ts';

/** A headword of letters a to z, what it teaches, and what counts as right. */
export interface Entry {
  readonly word: string;
  /** Words of one stem stand or fall together. */
  readonly stem: string;
  /** Vowel letters and primary stress of the form that fits its letters best; null when none fits. */
  readonly taught: Known | null;
  /** For each listed pronunciation its number of vowels and which of them have primary stress. */
  readonly listed: readonly { readonly count: number; readonly primaries: readonly number[] }[];
}

/** The headwords of the dictionary with their pronunciations. */
export function readDictionary(): ReadonlyMap<string, readonly (readonly string[])[]> {
  const words = new Map<string, string[][]>();
  for (const [entry, value] of Object.entries(cmu)) {
    const headword = entry.replace(/\(\d+\)$/, '');
    const phones = value.replace(/#.*/, '').trim().split(/\s+/);
    words.set(headword, [...(words.get(headword) ?? []), phones]);
  }
  return words;
}

/** Alignments dearer than this join letters with sounds that they do not write: abbreviations and the like. */
const FITS = 60;

export function readEntries(words: ReadonlyMap<string, readonly (readonly string[])[]>): readonly Entry[] {
  const index: SpellingIndex = new Map();
  const entries: Entry[] = [];
  for (const [word, pronunciations] of words) {
    if (!/^[a-z]+$/.test(word)) continue;
    let taught: Known | null = null;
    let best = FITS;
    for (const phones of pronunciations) {
      const alignment = align(word, phones, index);
      if (alignment.cost >= best) continue;
      const nuclei = nucleiOf(alignment, phones, word);
      if (nuclei === null || nuclei.length === 0) continue;
      best = alignment.cost;
      const primary = nuclei.findLastIndex((nucleus) => nucleus.stress === 2);
      taught = { vowels: nuclei.map((nucleus) => nucleus.start), primary: Math.max(0, primary) };
    }
    const listed = pronunciations.map((phones) => {
      const vowels = phones.filter(isVowel);
      return {
        count: vowels.length,
        primaries: vowels.flatMap((vowel, i) => (stressOf(vowel) === 2 ? [i] : [])),
      };
    });
    entries.push({ word, stem: stemOf(word), taught, listed });
  }
  return entries;
}

/** A rough stem that all inflections of a word share (and some derived words and neighbours with them). */
export function stemOf(word: string): string {
  let stem = word;
  for (let round = 0; round < 3; round++) {
    const match =
      /(nesses|ness|lessly|less|fully|ful|ings|ing|edly|ers|er|est|ed|ly|ies|ied|ier|iest|es|s|y|ie)$/.exec(
        stem,
      );
    if (match === null || match.index < 3) break;
    stem = stem.slice(0, match.index);
  }
  return stem.replace(/([^aeiou])\1$/, '$1').replace(/[eiy]$/, '');
}

/** A number from a text, for sharing stems out to folds (FNV-1a). */
export function foldOf(stem: string, folds: number): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < stem.length; i++) hash = Math.imul(hash ^ stem.charCodeAt(i), 0x01000193);
  hash ^= hash >>> 15;
  hash = Math.imul(hash, 0x2c1b3c6d);
  return ((hash ^ (hash >>> 13)) >>> 0) % folds;
}

/** The known words of a dictionary for one word: never one of its own stem. */
export function knownFor(
  entry: Entry,
  dictionary: ReadonlyMap<string, Entry>,
): (word: string) => Known | null {
  return (word) => {
    const found = dictionary.get(word);
    return found === undefined || found.stem === entry.stem ? null : found.taught;
  };
}

export interface TrainOptions {
  readonly letterBits: number;
  readonly stressBits: number;
  readonly letterRounds: number;
  readonly stressRounds: number;
  readonly letterDrop: number;
  readonly stressDrop: number;
}

export const TRAINING: TrainOptions = {
  letterBits: 18,
  stressBits: 18,
  letterRounds: 5,
  stressRounds: 5,
  letterDrop: 0.2,
  stressDrop: 0.5,
};

const RATE = 0.1;
/** What one unit of a stored weight is worth. */
const UNIT = 0.025;

interface Learner {
  readonly weights: Float32Array;
  readonly squares: Float32Array;
}

const newLearner = (bits: number): Learner => ({
  weights: new Float32Array(2 ** bits),
  squares: new Float32Array(2 ** bits).fill(0.3),
});

function sum({ weights }: Learner, numbers: Int32Array, count: number): number {
  let total = 0;
  for (let i = 0; i < count; i++) total += weights[numbers[i] ?? 0] ?? 0;
  return total;
}

function learn(
  { weights, squares }: Learner,
  numbers: Int32Array,
  count: number,
  slope: number,
  rate: number,
): void {
  for (let i = 0; i < count; i++) {
    const at = numbers[i] ?? 0;
    const square = (squares[at] ?? 0) + slope * slope;
    squares[at] = square;
    weights[at] = (weights[at] ?? 0) + (rate * slope) / Math.sqrt(square);
  }
}

/** Train both models on the entries that have something to teach. */
export function train(entries: readonly Entry[], options: TrainOptions): GuessModel {
  const dictionary = new Map(entries.map((entry) => [entry.word, entry]));
  const words = entries.flatMap((entry) =>
    entry.taught === null
      ? []
      : [
          {
            word: { letters: entry.word, parts: knownParts(entry.word, knownFor(entry, dictionary)) },
            taught: entry.taught,
          },
        ],
  );
  const letters = trainLetters(words, options);
  const stresses = trainStresses(
    words.filter(({ taught }) => taught.vowels.length > 1),
    options,
  );
  return {
    letters: stored(letters),
    letterBits: options.letterBits,
    letterScale: UNIT,
    stresses: stored(stresses),
    stressBits: options.stressBits,
  };
}

interface Lesson {
  readonly word: Unknown;
  readonly taught: Known;
}

function trainLetters(lessons: readonly Lesson[], options: TrainOptions): Learner {
  const learner = newLearner(options.letterBits);
  const features = newFeatures(options.letterBits);
  const random = seededRandom(1);
  rounds(lessons, options.letterRounds, random, ({ word, taught }, rate) => {
    let last: 0 | 1 = 0;
    let lastButOne: 0 | 1 = 0;
    let since = 5;
    for (let at = 0; at < word.letters.length; at++) {
      letterFeatures(features, word, at);
      beforeFeatures(features, word, at, { last, lastButOne, since });
      drop(features, options.letterDrop, random);
      const mark = taught.vowels.includes(at) ? 1 : 0;
      const slope = mark - 1 / (1 + Math.exp(-sum(learner, features.numbers, features.count)));
      if (Math.abs(slope) > 0.001) learn(learner, features.numbers, features.count, slope, rate);
      lastButOne = last;
      last = mark;
      since = mark === 1 ? 0 : Math.min(5, since + 1);
    }
  });
  return learner;
}

function trainStresses(lessons: readonly Lesson[], options: TrainOptions): Learner {
  const learner = newLearner(options.stressBits);
  const features = newFeatures(options.stressBits);
  const random = seededRandom(2);
  const kept: Int32Array[] = Array.from({ length: 32 }, () => new Int32Array(512));
  rounds(lessons, options.stressRounds, random, ({ word, taught }, rate) => {
    const shared = voiced(word, taught.vowels);
    const counts: number[] = [];
    const bids = taught.vowels.map((_, index) => {
      stressFeatures(features, shared, index);
      drop(features, options.stressDrop, random);
      kept[index]?.set(features.numbers);
      counts.push(features.count);
      return sum(learner, features.numbers, features.count);
    });
    const top = Math.max(...bids);
    const shares = bids.map((bid) => Math.exp(bid - top));
    const total = shares.reduce((a, b) => a + b, 0);
    shares.forEach((share, index) => {
      const slope = (index === taught.primary ? 1 : 0) - share / total;
      const numbers = kept[index];
      if (numbers !== undefined && Math.abs(slope) > 0.001)
        learn(learner, numbers, counts[index] ?? 0, slope, rate);
    });
  });
  return learner;
}

function rounds(
  lessons: readonly Lesson[],
  count: number,
  random: () => number,
  teach: (lesson: Lesson, rate: number) => void,
): void {
  const order = [...lessons];
  for (let round = 0; round < count; round++) {
    for (let i = order.length - 1; i > 0; i--) {
      const j = random() % (i + 1);
      const [a, b] = [order[i], order[j]];
      if (a === undefined || b === undefined) continue;
      order[i] = b;
      order[j] = a;
    }
    const rate = RATE * (1 - round / (count + 1));
    for (const lesson of order) teach(lesson, rate);
  }
}

function drop(features: Features, share: number, random: () => number): void {
  const limit = share * 2 ** 32;
  let count = 0;
  for (let i = 0; i < features.count; i++) {
    if (random() >= limit) features.numbers[count++] = features.numbers[i] ?? 0;
  }
  features.count = count;
}

function stored({ weights }: Learner): Int8Array {
  return Int8Array.from(weights, (weight) => Math.max(-127, Math.min(127, Math.round(weight / UNIT))));
}

/** The bytes of a model, as `openModel` reads them. */
export function modelBytes(model: GuessModel): Uint8Array {
  const bytes = new Uint8Array(MODEL_HEAD + model.letters.length + model.stresses.length);
  bytes.set([0x43, 0x57, 0x4d, 0x31, model.letterBits, model.stressBits, 0, 0]);
  new DataView(bytes.buffer).setFloat32(8, model.letterScale, true);
  bytes.set(new Uint8Array(model.letters.buffer), MODEL_HEAD);
  bytes.set(new Uint8Array(model.stresses.buffer), MODEL_HEAD + model.letters.length);
  return bytes;
}
