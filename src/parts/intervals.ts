/**
 * Intervals between two tones, and which of them may stand on a strong beat.
 *
 * Unison, third, fourth, fifth, sixth and octave fit; a second or a seventh rubs, wider by octaves too; so does the
 * tritone of fa and ti (common practice; the rule of two-part reading books).
 */
import { toneSemitones, toneStep, type Tone } from '../pitch.ts';

/** By diatonic steps, octaves taken away. */
const NAMES = ['unison', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh'] as const;
export type IntervalName = (typeof NAMES)[number] | 'octave' | 'tritone';

/** @example intervalName('r', 'd') // => 'second' */
export function intervalName(a: Tone, b: Tone): IntervalName {
  const steps = Math.abs(toneStep(a) - toneStep(b));
  if (isTritone(a, b)) return 'tritone';
  if (steps > 0 && steps % 7 === 0) return 'octave';
  return NAMES[steps % 7] ?? 'unison';
}

/** True when the two should not stand together on a strong beat. */
export function rubs(a: Tone, b: Tone): boolean {
  const name = intervalName(a, b);
  return name === 'second' || name === 'seventh' || name === 'tritone';
}

function isTritone(a: Tone, b: Tone): boolean {
  return Math.abs(toneSemitones(a) - toneSemitones(b)) % 12 === 6;
}
