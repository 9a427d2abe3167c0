/**
 * A rung: one step of the teaching order. The rungs themselves are data in `setting/rungs.ts` or in a teacher's file.
 */
import type { Tone } from './pitch.ts';

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
}
