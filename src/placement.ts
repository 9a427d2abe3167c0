/**
 * Words on beats: what `placeBeats` gives and `setRhythm` takes. Every syllable has its place; no note values yet.
 */
import type { BeatClass, Ticks } from './time.ts';
import type { EmptySound, Line, Syllable } from './verse.ts';

/** One entry of a cost ledger: a named rule and what it charged, in the integer unit of the search. */
export interface Charge {
  /** Kebab-case name of the rule, each explained in the docs. */
  readonly rule: string;
  /** May be negative: a reward. */
  readonly cost: number;
  /** Index among the line's syllables that the charge is for, or null for the line as a whole. */
  readonly syllable: number | null;
}

export interface PlacedSyllable {
  readonly syllable: Syllable;
  /** Index of its word in the line. */
  readonly word: number;
  readonly division: Division;
  /** Ticks from the line's first beat; rises strictly along the line; negative in the upbeat. */
  readonly at: Ticks;
  /** The beat that it stands on, from 0, or null off the beat. */
  readonly beat: number | null;
}

/** Where a syllable stands in its word, for the hyphens of the lyrics. */
export type Division = 'single' | 'begin' | 'middle' | 'end';

export interface EmptyBeat {
  /** Beat of the line, from 0. */
  readonly beat: number;
  readonly sound: EmptySound;
  /** True when the beat falls inside a word, where it is always held. */
  readonly insideWord: boolean;
}

export interface PlacedLine {
  readonly line: Line;
  /** Beats from this line's first beat to the next line's first beat. */
  readonly beats: number;
  readonly syllables: readonly PlacedSyllable[];
  readonly emptyBeats: readonly EmptyBeat[];
  /** Whether the teacher gave the beats or the search found them. */
  readonly given: boolean;
  /** Sum of the ledger. */
  readonly cost: number;
  readonly ledger: readonly Charge[];
  /** The best other placement of this line, everything else as it is; null when there is none. */
  readonly runnerUp: RunnerUp | null;
}

export interface RunnerUp {
  readonly notation: string;
  readonly cost: number;
  readonly ledger: readonly Charge[];
}

export interface Placement {
  readonly title: string;
  readonly beatClass: BeatClass;
  readonly ticksPerBeat: Ticks;
  /** At least one; stanza numbers rise. */
  readonly lines: readonly PlacedLine[];
}
