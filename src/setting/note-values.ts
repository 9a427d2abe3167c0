/**
 * Which lengths can be printed as one note, and how longer or awkward ones are cut and tied.
 *
 * The rule of the trade: the eye must find every beat. A note that starts on a beat may last any plain or dotted
 * value up to the bar line; one that starts off the beat stops at the next beat, but for the quarter of a
 * syncopation (eighth, quarter, eighth). Common practice; see for instance G. Read, "Music Notation" (1979), on
 * beat grouping (from memory).
 */
import { ticksPerBar, type Metre, type Ticks } from '../time.ts';

/** A part of a stretch: `offset` from its start. */
export interface Piece {
  readonly offset: Ticks;
  readonly duration: Ticks;
}

/** Plain and dotted values that start on a beat, longest first, in ticks. */
const ON_BEAT: Readonly<Record<Metre['beatClass'], readonly Ticks[]>> = {
  simple: [1920, 1440, 960, 720, 480, 360, 240, 120],
  compound: [2880, 1440, 720, 480, 360, 240, 120],
};
/** Values inside one beat, longest first. */
const INSIDE_BEAT: readonly Ticks[] = [480, 360, 240, 120];
/** Rests stay undotted inside the beat, where the eye counts them. */
const REST_INSIDE_BEAT: readonly Ticks[] = [480, 240, 120];

/**
 * Cut a sound into note values that can be printed, to be tied.
 *
 * `fromBarLine` is where it starts in its bar (0 to less than a bar). The durations sum to `duration`, which must
 * be a positive multiple of 120 ticks (a sixteenth).
 * @throws RangeError when it is not.
 */
export function splitSound(metre: Metre, fromBarLine: Ticks, duration: Ticks): readonly Piece[] {
  return split(metre, fromBarLine, duration, (inBar, room) => {
    const beat = metre.ticksPerBeat;
    if (inBar % beat === 0) return largest(ON_BEAT[metre.beatClass], room);
    const toNextBeat = beat - (inBar % beat);
    if (isSyncopation(metre, inBar, room)) return 480;
    return largest(INSIDE_BEAT, Math.min(room, toNextBeat));
  });
}

/**
 * Cut a silence into rests, one to each empty beat so that the class can tap them, then what is left inside the
 * beat. Otherwise as `splitSound`.
 */
export function splitRest(metre: Metre, fromBarLine: Ticks, duration: Ticks): readonly Piece[] {
  return split(metre, fromBarLine, duration, (inBar, room) => {
    const beat = metre.ticksPerBeat;
    if (inBar % beat !== 0) return largest(REST_INSIDE_BEAT, Math.min(room, beat - (inBar % beat)));
    return room >= beat ? beat : largest(REST_INSIDE_BEAT, room);
  });
}

/** An off-beat quarter in simple time that ends half-way through the next beat, not across the middle of a bar of four. */
function isSyncopation(metre: Metre, inBar: Ticks, room: Ticks): boolean {
  const half = ticksPerBar(metre) / 2;
  return (
    metre.beatClass === 'simple' &&
    room === 480 &&
    inBar % 480 === 240 &&
    !(metre.beats === 4 && inBar < half && inBar + 480 > half)
  );
}

type Choose = (inBar: Ticks, room: Ticks) => Ticks;

function split(metre: Metre, fromBarLine: Ticks, duration: Ticks, choose: Choose): readonly Piece[] {
  if (duration <= 0 || duration % 120 !== 0) {
    throw new RangeError(`A length of ${String(duration)} ticks is not a whole number of sixteenths.`);
  }
  const bar = ticksPerBar(metre);
  const pieces: Piece[] = [];
  let offset = 0;
  while (offset < duration) {
    const inBar = (fromBarLine + offset) % bar;
    const value = choose(inBar, Math.min(duration - offset, bar - inBar));
    pieces.push({ offset, duration: value });
    offset += value;
  }
  return pieces;
}

function largest(values: readonly Ticks[], room: Ticks): Ticks {
  return values.find((value) => value <= room) ?? 120;
}
