/**
 * A rung: one step of the teaching order. The rungs themselves are data in `setting/rungs.data.ts` or in a teacher's
 * file. Everything that the search must obey or weigh for a tone set is here; nothing here acts.
 */
import type { Tone } from './pitch.ts';

/** What it costs a tone to stand somewhere, in the unit of the search: 100 is one natural-log unit; 0 is free. */
export interface PlaceCosts {
  /** On the first beat of the bar, and on the middle beat of a four-beat bar. */
  readonly strong: number;
  /** On any other beat. */
  readonly weak: number;
  /** Off the beat. */
  readonly off: number;
}

/** One tone of a rung and what the rung says about it. */
export interface ToneRule {
  readonly tone: Tone;
  readonly place: PlaceCosts;
  /** Tones from which it may be reached within a phrase (itself always); null: any. A hard rule. */
  readonly from: readonly Tone[] | null;
  /** Tones to which it may be left within a phrase (itself always); null: any. A hard rule. */
  readonly to: readonly Tone[] | null;
  /** Cost of beginning a phrase on it; null: never. */
  readonly start: number | null;
  /** Cost of ending a phrase on it that is not the last of its strophe; null: never. */
  readonly open: number | null;
}

export interface Rung {
  /** Kebab-case: `so-mi-la`. */
  readonly name: string;
  /** From low to high. */
  readonly tones: readonly Tone[];
  /** The tone of rest; it may lie outside `tones` (unheard), as do does for so-mi. */
  readonly home: Tone;
  /** What this rung adds to the one before; null on the first. */
  readonly newTone: Tone | null;
  /** Pitch names without octave that do usually has, the first preferred: `['D', 'F']`. */
  readonly usualDo: readonly string[];
  /** One rule for each of `tones`, in the same order. */
  readonly rules: readonly ToneRule[];
  /** The last phrase of a strophe ends on one of these. A hard rule. */
  readonly closes: readonly Tone[];
  /** Tones from which the closing tone may be reached at the last close; null: any. A hard rule. */
  readonly closeFrom: readonly Tone[] | null;
  /** True when the closing tones sound nowhere but at the last close of each strophe. A hard rule. */
  readonly closesOnly: boolean;
  /** What a repeated tone costs by the place of the second note. */
  readonly repeats: PlaceCosts;
  /** The two tones of the slur that the rung brings by default, or null. */
  readonly slur: readonly [Tone, Tone] | null;
  /** The widest leap inside a phrase, in semitones. A hard rule. */
  readonly widestLeap: number;
}
