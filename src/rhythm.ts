/**
 * Notes without pitches: what `setRhythm` gives and `setMelody` takes. Bars add up from here on.
 */
import type { Division } from './placement.ts';
import type { Metre, Ticks } from './time.ts';
import type { Stress } from './verse.ts';

export interface SungSyllable {
  /** As printed under the note, punctuation attached, no hyphen. */
  readonly text: string;
  /** Index of its word in the line. */
  readonly word: number;
  readonly division: Division;
  readonly stress: Stress;
  readonly prominence: number;
}

/** A note or a rest. Notes and rests of a rhythm follow one another without gap or overlap. */
export interface RhythmNote {
  /** Ticks from the start of the upbeat bar, or of the first bar when there is no upbeat. 0 or more. */
  readonly onset: Ticks;
  /** More than 0; one printable note value; never crosses a bar line (longer sounds are tied). */
  readonly duration: Ticks;
  readonly rest: boolean;
  /** On the first note of a syllable; null on rests and on notes tied to the one before. */
  readonly syllable: SungSyllable | null;
  readonly tie: 'start' | 'stop' | 'both' | null;
  /** True where the singers breathe after this note with no rest to do it in. */
  readonly breath: boolean;
}

/** One line of the rhyme as notes and rests. */
export interface RhythmPhrase {
  /** Number of the line in the rhyme, from 1. */
  readonly line: number;
  readonly stanza: number;
  readonly text: string;
  /** Upbeat notes of the line first. At least one of them sounds. */
  readonly notes: readonly RhythmNote[];
  /** Sounds from the last stressed vowel of the line on, or empty. Lines with the same string rhyme. */
  readonly rhyme: string;
  /** The words folded for comparison (lower case, no punctuation): two lines with equal lists return. */
  readonly wordKeys: readonly string[];
}

export interface Rhythm {
  readonly title: string;
  readonly metre: Metre;
  /** Length of the upbeat bar; 0 when the song starts on a bar line. Less than a bar. */
  readonly upbeatTicks: Ticks;
  readonly phrases: readonly RhythmPhrase[];
}
