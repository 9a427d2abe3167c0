/**
 * The rhythm ladder: which rhythms have been taught, and which a song asks for. A rhythm that has not been taught
 * is sung by ear; it never stops the singing.
 *
 * The order is that of published school sequences up to the half note; from the sixteenths on they differ, so the
 * order is data and a teacher's file may replace it.
 */
import type { Problem } from '../problem.ts';
import type { Rhythm, RhythmNote } from '../rhythm.ts';
import { TICKS_PER_QUARTER, type Ticks } from '../time.ts';

/** A rhythm that children learn to read, told by what stands in the beat (or over the beats) that it fills. */
export type RhythmValue =
  | 'quarter'
  | 'paired-eighths'
  | 'quarter-rest'
  | 'half-note'
  | 'dotted-half'
  | 'whole-note'
  | 'four-sixteenths'
  | 'eighth-two-sixteenths'
  | 'two-sixteenths-eighth'
  | 'syncopation'
  | 'dotted-quarter-eighth'
  | 'single-eighth'
  | 'eighth-rest'
  | 'compound'
  | 'dotted-eighth-sixteenth'
  | 'other';

export interface RhythmRung {
  /** Kebab-case: `half-note`. */
  readonly name: string;
  /** What the rung adds. */
  readonly values: readonly RhythmValue[];
}

export const RHYTHM_LADDER: readonly RhythmRung[] = [
  { name: 'quarter-and-eighths', values: ['quarter', 'paired-eighths'] },
  { name: 'quarter-rest', values: ['quarter-rest'] },
  { name: 'half-note', values: ['half-note', 'dotted-half', 'whole-note'] },
  { name: 'four-sixteenths', values: ['four-sixteenths'] },
  { name: 'eighth-and-sixteenths', values: ['eighth-two-sixteenths', 'two-sixteenths-eighth'] },
  { name: 'syncopation', values: ['syncopation'] },
  { name: 'dotted-quarter', values: ['dotted-quarter-eighth', 'single-eighth', 'eighth-rest'] },
  { name: 'compound', values: ['compound'] },
  { name: 'dotted-eighth', values: ['dotted-eighth-sixteenth', 'other'] },
];

/** A value found in a rhythm, with the line that it stands in. */
export interface FoundValue {
  readonly value: RhythmValue;
  readonly line: number;
}

/** Every rhythm value that the song asks for, in order of first use in each line. In compound time that is one: `compound`. */
export function rhythmValues(rhythm: Rhythm): readonly FoundValue[] {
  return rhythm.phrases.flatMap((phrase) => {
    if (rhythm.metre.beatClass === 'compound') return [{ value: 'compound' as const, line: phrase.line }];
    const sounds = joinTies(phrase.notes);
    const found = new Set<RhythmValue>();
    for (let i = 0; i < sounds.length;) {
      const [value, taken] = valueAt(sounds, i, rhythm.upbeatTicks);
      found.add(value);
      i += taken;
    }
    return [...found].map((value) => ({ value, line: phrase.line }));
  });
}

/**
 * A note for each untaught value that the song asks for, with the lines it stands in: `by-ear-only`.
 *
 * `taught` are the rungs of the ladder that the class can read.
 */
export function byEarOnly(rhythm: Rhythm, taught: readonly RhythmRung[]): readonly Problem[] {
  const readable = new Set(taught.flatMap((rung) => rung.values));
  const linesOf = new Map<RhythmValue, number[]>();
  for (const { value, line } of rhythmValues(rhythm)) {
    if (!readable.has(value)) linesOf.set(value, [...(linesOf.get(value) ?? []), line]);
  }
  return [...linesOf].map(([value, lines]): Problem => {
    const where = `${lines.length === 1 ? 'line' : 'lines'} ${lines.join(', ')}`;
    return {
      code: 'by-ear-only',
      severity: 'note',
      message: `${VALUE_LABELS[value]} in ${where}: not taught yet, so by ear only.`,
      line: lines[0] ?? 1,
    };
  });
}

/** How a teacher calls each value. */
export const VALUE_LABELS: Readonly<Record<RhythmValue, string>> = {
  quarter: 'Quarter note',
  'paired-eighths': 'Paired eighths',
  'quarter-rest': 'Quarter rest',
  'half-note': 'Half note',
  'dotted-half': 'Dotted half note',
  'whole-note': 'Whole note',
  'four-sixteenths': 'Four sixteenths',
  'eighth-two-sixteenths': 'Eighth and two sixteenths',
  'two-sixteenths-eighth': 'Two sixteenths and eighth',
  syncopation: 'Syncopation (eighth, quarter, eighth)',
  'dotted-quarter-eighth': 'Dotted quarter and eighth',
  'single-eighth': 'Single eighth',
  'eighth-rest': 'Eighth rest',
  compound: 'Compound (6/8) values',
  'dotted-eighth-sixteenth': 'Dotted eighth and sixteenth',
  other: 'A rarer rhythm',
};

interface Sound {
  readonly onset: Ticks;
  readonly duration: Ticks;
  readonly rest: boolean;
}

/** Notes tied together are one sound to the ear. */
function joinTies(notes: readonly RhythmNote[]): readonly Sound[] {
  const sounds: Sound[] = [];
  for (const note of notes) {
    const before = sounds.at(-1);
    if (before !== undefined && (note.tie === 'stop' || note.tie === 'both')) {
      sounds[sounds.length - 1] = { ...before, duration: before.duration + note.duration };
    } else {
      sounds.push({ onset: note.onset, duration: note.duration, rest: note.rest });
    }
  }
  return sounds;
}

/** Patterns of durations that start on a beat, longest first; a rest is written as a negative duration. */
const ON_BEAT_PATTERNS: readonly (readonly [RhythmValue, readonly number[]])[] = [
  ['four-sixteenths', [120, 120, 120, 120]],
  ['syncopation', [240, 480, 240]],
  ['eighth-two-sixteenths', [240, 120, 120]],
  ['two-sixteenths-eighth', [120, 120, 240]],
  ['paired-eighths', [240, 240]],
  ['dotted-quarter-eighth', [720, 240]],
  ['dotted-eighth-sixteenth', [360, 120]],
  ['quarter-rest', [-480]],
  ['quarter', [480]],
  ['half-note', [960]],
  ['dotted-half', [1440]],
  ['whole-note', [1920]],
];

/** The value that starts at sound `i`, and how many sounds it takes up. */
function valueAt(sounds: readonly Sound[], i: number, upbeatTicks: Ticks): readonly [RhythmValue, number] {
  const first = sounds[i];
  const signed = (sound: Sound | undefined): number =>
    (sound?.rest === true ? -1 : 1) * (sound?.duration ?? 0);
  if (first !== undefined && (first.onset - upbeatTicks) % TICKS_PER_QUARTER === 0) {
    for (const [value, durations] of ON_BEAT_PATTERNS) {
      if (durations.every((duration, k) => signed(sounds[i + k]) === duration))
        return [value, durations.length];
    }
  }
  const alone = signed(first);
  if (alone === 240) return ['single-eighth', 1];
  if (alone === -240) return ['eighth-rest', 1];
  return ['other', 1];
}
