/**
 * Lengths that a notation gives as a whole, cut into notes that can be printed.
 */
import { NOTE_VALUES, noteValue } from '../note-value.ts';
import { ticksPerBar, type Metre, type Ticks } from '../time.ts';

/**
 * Lengths of the notes (to be tied) or rests for a sound that begins `into` ticks behind a bar line: cut at bar lines,
 * then, where one note cannot show it, at beats. Rests take a beat each. Null when it is no whole number of sixteenths.
 *
 * @example cutLength(METRES['2/4'], 480, 960, false) // => [480, 480]
 */
export function cutLength(
  metre: Metre,
  into: Ticks,
  duration: Ticks,
  rest: boolean,
): readonly Ticks[] | null {
  if (duration <= 0 || duration % 120 !== 0) return null;
  const bar = ticksPerBar(metre);
  const lengths: Ticks[] = [];
  let [at, left] = [into, duration];
  while (left > 0) {
    const room = Math.min(left, bar - (at % bar));
    const toBeat = metre.ticksPerBeat - (at % metre.ticksPerBeat);
    const fits = !rest && noteValue(room) !== null;
    const most = fits ? room : rest || at % metre.ticksPerBeat !== 0 ? Math.min(room, toBeat) : room;
    const length = NOTE_VALUES.find((value) => value.ticks <= most)?.ticks ?? 120;
    lengths.push(length);
    at += length;
    left -= length;
  }
  return lengths;
}
