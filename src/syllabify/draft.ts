/**
 * A word before its line is known: syllables have lexical stress but no prominence yet. `markProminence` in
 * stress.ts turns a line of draft words into words.
 */
import type { Reading, Stress, Syllable, Word } from '../verse.ts';
import type { Phone } from './phones.ts';

export interface DraftSyllable {
  /** As in `Syllable`: the written part with the punctuation of the word. */
  readonly text: Syllable['text'];
  readonly stress: Stress;
}

export interface DraftReading extends Omit<Reading, 'syllables'> {
  readonly syllables: readonly DraftSyllable[];
  /** Sounds in order, vowels with their stress digits; empty when only the letters are known. */
  readonly phones: readonly Phone[];
}

export interface DraftWord extends Omit<Word, 'readings'> {
  /** Lower-case letters a to z and apostrophes only, as looked up: `dont` stays apart from `don't`. */
  readonly key: string;
  /** As in `Word`: the usual reading first. */
  readonly readings: readonly [DraftReading, ...DraftReading[]];
}
