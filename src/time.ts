/**
 * Time as integers. Every onset and duration in the program is a whole number of ticks, so bars add up
 * exactly and no exporter ever rounds. Nothing here knows words or pitches.
 */

/** A whole number of ticks; 480 to a quarter note. Onsets may be negative only where a docstring says so. */
export type Ticks = number;

export const TICKS_PER_QUARTER = 480;

/** How a beat divides: in two (simple) or in three (compound). */
export type BeatClass = 'simple' | 'compound';

/** Ticks in one felt beat: a quarter note in simple time, a dotted quarter in compound time. */
export function ticksPerBeat(beatClass: BeatClass): Ticks {
  return beatClass === 'simple' ? TICKS_PER_QUARTER : (TICKS_PER_QUARTER * 3) / 2;
}

/**
 * A time signature with its felt beat.
 *
 * `beats`/`beatType` are the printed numbers (2/4, 6/8); in compound time one felt beat is three printed ones,
 * so 6/8 has two felt beats of 720 ticks.
 */
export interface Metre {
  readonly beats: number;
  readonly beatType: number;
  readonly beatClass: BeatClass;
  readonly ticksPerBeat: Ticks;
}

/** The metres that a song may be set in, by their printed name. */
export const METRES: Readonly<Record<MetreName, Metre>> = {
  '2/4': { beats: 2, beatType: 4, beatClass: 'simple', ticksPerBeat: 480 },
  '3/4': { beats: 3, beatType: 4, beatClass: 'simple', ticksPerBeat: 480 },
  '4/4': { beats: 4, beatType: 4, beatClass: 'simple', ticksPerBeat: 480 },
  '6/8': { beats: 6, beatType: 8, beatClass: 'compound', ticksPerBeat: 720 },
  '9/8': { beats: 9, beatType: 8, beatClass: 'compound', ticksPerBeat: 720 },
  '12/8': { beats: 12, beatType: 8, beatClass: 'compound', ticksPerBeat: 720 },
};

export type MetreName = '2/4' | '3/4' | '4/4' | '6/8' | '9/8' | '12/8';

/** Ticks in one whole bar: 960 in 2/4, 1440 in 6/8. */
export function ticksPerBar(metre: Metre): Ticks {
  return (metre.beats * TICKS_PER_QUARTER * 4) / metre.beatType;
}

/** Felt beats in one bar: 2 in 2/4 and in 6/8. */
export function beatsPerBar(metre: Metre): number {
  return ticksPerBar(metre) / metre.ticksPerBeat;
}

/** The printed name of a metre, such as `6/8`. */
export function metreName(metre: Metre): string {
  return `${String(metre.beats)}/${String(metre.beatType)}`;
}

/**
 * How strong a moment is, from its distance to the last bar line (0 or more ticks, less than a bar).
 *
 * 3 is the first beat of the bar, 2 the middle beat of a four-beat bar, 1 any other beat, 0 off the beat.
 */
export type Strength = 0 | 1 | 2 | 3;

export function strengthAt(metre: Metre, ticksIntoBar: Ticks): Strength {
  if (ticksIntoBar === 0) return 3;
  if (ticksIntoBar % metre.ticksPerBeat !== 0) return 0;
  return beatsPerBar(metre) === 4 && ticksIntoBar === ticksPerBar(metre) / 2 ? 2 : 1;
}
