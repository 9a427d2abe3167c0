/**
 * Sines and ramps made by +, -, * and / alone. IEEE 754 fixes those four to the last bit, while the language leaves
 * the last digits of Math.sin to each engine; so the sound has the same bytes on every machine.
 */

/** Samples in one turn of every table; a power of two, for integer phases. */
export const TABLE_SIZE = 2048;

const PI = 3.141592653589793;

/** sin(x) for x from -pi/2 to pi/2: the Taylor polynomial to x^17, off by less than 1e-13 there. */
function sineOf(x: number): number {
  const square = x * x;
  let sum = 1;
  for (let n = 16; n >= 2; n -= 2) sum = 1 - (square / (n * (n + 1))) * sum;
  return x * sum;
}

/**
 * One turn of a sine in TABLE_SIZE samples, each from -1 to 1.
 *
 * @example sineTable()[TABLE_SIZE / 4] // => 1
 */
export function sineTable(): Float64Array {
  const table = new Float64Array(TABLE_SIZE);
  const quarter = TABLE_SIZE / 4;
  for (let i = 0; i <= quarter; i++) {
    const value = sineOf((PI / 2) * (i / quarter));
    table[i] = value;
    table[2 * quarter - i] = value;
    table[(2 * quarter + i) % TABLE_SIZE] = -value;
    table[(TABLE_SIZE - i) % TABLE_SIZE] = i === 0 ? 0 : -value;
  }
  table[2 * quarter] = 0;
  return table;
}

/** A rise from 0 towards 1 in `length` samples along half a raised cosine; played backwards, a fall. */
export function ramp(length: number): Float64Array {
  const rise = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    const half = sineOf((PI / 2) * ((i + 0.5) / length));
    rise[i] = half * half;
  }
  return rise;
}

/** Frequencies of the twelve keys from A4 (MIDI 69, 440 Hz: ISO 16) up, equal temperament: 440 times 2^(n/12). */
const OCTAVE_HZ = [
  440, 466.1637615180899, 493.8833012561241, 523.2511306011972, 554.3652619537442, 587.3295358348151,
  622.2539674441618, 659.2551138257398, 698.4564628660078, 739.9888454232688, 783.9908719634986,
  830.6093951598903,
] as const;

/** Hertz of a MIDI key number, equal temperament, A4 = 440. */
export function hertzOf(key: number): number {
  const steps = key - 69;
  const octave = Math.floor(steps / 12);
  let hertz = OCTAVE_HZ[steps - 12 * octave] ?? 440;
  for (let i = 0; i < octave; i++) hertz *= 2;
  for (let i = 0; i > octave; i--) hertz /= 2;
  return hertz;
}

/** What a 32-bit phase grows by at each sample. Off by less than 0.00001 Hz at 44,100 samples a second. */
export function phaseStep(hertz: number, sampleRate: number): number {
  return Math.round((hertz / sampleRate) * 4294967296);
}
