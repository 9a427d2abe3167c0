/**
 * Printable note values: how a length in ticks is drawn as one note. Lengths that need a tie are not here; the
 * rhythm has already divided them.
 */
import type { Ticks } from './time.ts';

/** A note value by its usual English name, with 0 or 1 dots. */
export interface NoteValue {
  readonly ticks: Ticks;
  /** Names as MusicXML spells them. */
  readonly type: 'whole' | 'half' | 'quarter' | 'eighth' | '16th';
  readonly dots: 0 | 1;
}

/** Every value that a song may hold, from long to short; 480 ticks to a quarter note. */
export const NOTE_VALUES: readonly NoteValue[] = [
  { ticks: 2880, type: 'whole', dots: 1 },
  { ticks: 1920, type: 'whole', dots: 0 },
  { ticks: 1440, type: 'half', dots: 1 },
  { ticks: 960, type: 'half', dots: 0 },
  { ticks: 720, type: 'quarter', dots: 1 },
  { ticks: 480, type: 'quarter', dots: 0 },
  { ticks: 360, type: 'eighth', dots: 1 },
  { ticks: 240, type: 'eighth', dots: 0 },
  { ticks: 120, type: '16th', dots: 0 },
];

/**
 * The note value that lasts so many ticks, or null when it takes more than one note to write.
 *
 * @example noteValue(720) // => { ticks: 720, type: 'quarter', dots: 1 }
 */
export function noteValue(ticks: Ticks): NoteValue | null {
  return NOTE_VALUES.find((value) => value.ticks === ticks) ?? null;
}
