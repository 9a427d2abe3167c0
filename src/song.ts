/**
 * The song: what `setMelody` gives and every exporter takes. Its shape is the JSON form less its two header fields.
 */
import type { Division } from './placement.ts';
import type { Problem } from './problem.ts';
import type { Tone } from './pitch.ts';
import { ticksPerBar, type Metre, type Ticks } from './time.ts';

export interface NoteSyllable {
  /** As printed under the note, punctuation attached, no hyphen. */
  readonly text: string;
  /** Index of its word in the line, from 0. */
  readonly word: number;
  readonly division: Division;
}

export interface SongNote {
  /** Ticks from the start of the upbeat bar, or of bar 1 when there is no upbeat. 0 or more. */
  readonly onset: Ticks;
  /** More than 0; a printable note value; never crosses a bar line. */
  readonly duration: Ticks;
  /** Null for a rest. */
  readonly tone: Tone | null;
  /** Scientific pitch name such as `F#4` or `Bb4` (C4 is middle C); null for a rest. */
  readonly pitch: string | null;
  /** On the first note of a syllable; null on rests and on notes that a slur or tie continues. */
  readonly syllable: NoteSyllable | null;
  readonly slur: 'start' | 'stop' | null;
  readonly tie: 'start' | 'stop' | 'both' | null;
  /** True where the singers breathe after this note with no rest to do it in; null on rests. */
  readonly breath: boolean | null;
}

export type Cadence = 'open' | 'closed';

export interface SongPhrase {
  readonly line: number;
  readonly stanza: number;
  readonly text: string;
  /** Form letter: `a`, `b`, and `a'` for a return with a changed ending. */
  readonly form: string;
  readonly cadence: Cadence;
  readonly notes: readonly SongNote[];
}

export interface Song {
  readonly title: string;
  /** Name of the rung, such as `so-mi-la`. */
  readonly rung: string;
  /** The rung's tones from low to high, divided by spaces: `m s l`. */
  readonly tones: string;
  readonly newTone: Tone | null;
  readonly home: Tone;
  readonly seed: number;
  /** Counts from 1; take 1 is the best song. */
  readonly take: number;
  /** Pitch of do: `D4`. */
  readonly do: string;
  /** Felt beats a minute. */
  readonly tempoBpm: number;
  readonly ticksPerQuarter: number;
  readonly metre: Metre;
  /** Length of the upbeat bar; onsets count from its start. The last bar completes it. */
  readonly upbeatTicks: Ticks;
  readonly phrases: readonly SongPhrase[];
  readonly problems: readonly Problem[];
}

/**
 * The song, checked and deeply frozen.
 *
 * Throws a RangeError when notes overlap or leave a gap, when the whole does not fill its bars (the last bar
 * completes the upbeat bar), when a rest carries a tone or a syllable, or when a tied note changes its tone.
 */
export function makeSong(song: Song): Song {
  let at = 0;
  let tied: Tone | null = null;
  for (const phrase of song.phrases) {
    for (const note of phrase.notes) {
      const where = `line ${String(phrase.line)}, tick ${String(note.onset)}`;
      if (note.onset !== at || note.duration <= 0) throw new RangeError(`Notes do not join at ${where}.`);
      if ((note.tone === null) !== (note.pitch === null))
        throw new RangeError(`Tone without pitch at ${where}.`);
      if (note.tone === null && note.syllable !== null) throw new RangeError(`A rest has words at ${where}.`);
      const goesOn = note.tie === 'stop' || note.tie === 'both';
      if (goesOn && note.tone !== tied) throw new RangeError(`A tie changes its tone at ${where}.`);
      tied = note.tie === 'start' || note.tie === 'both' ? note.tone : null;
      at += note.duration;
    }
  }
  if (at % ticksPerBar(song.metre) !== 0)
    throw new RangeError(`${String(at)} ticks fill no whole number of bars.`);
  return deepFreeze(song);
}

/** Freeze a plain record with all that it holds; what is frozen already is taken as done. */
function deepFreeze<T>(value: T): T {
  if (typeof value !== 'object' || value === null || Object.isFrozen(value)) return value;
  Object.freeze(value);
  for (const part of Object.values(value)) deepFreeze(part);
  return value;
}
