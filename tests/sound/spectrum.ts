/** Spectra for the sound tests, by the general-purpose package fft.js; and the level of one tone by Goertzel's method. */
import FFT from 'fft.js';

/** Magnitudes of `samples` under a Hann window, padded to `size` (a power of two): size / 2 bins. */
export function magnitudes(samples: ArrayLike<number>, size: number): Float64Array {
  const fft = new FFT(size);
  const input = new Array<number>(size).fill(0);
  const length = Math.min(samples.length, size);
  for (let n = 0; n < length; n++) {
    input[n] = (samples[n] ?? 0) * (0.5 - 0.5 * Math.cos((2 * Math.PI * n) / length));
  }
  const output = fft.createComplexArray();
  fft.realTransform(output, input);
  const bins = new Float64Array(size / 2);
  for (let k = 0; k < bins.length; k++) bins[k] = Math.hypot(output[2 * k] ?? 0, output[2 * k + 1] ?? 0);
  return bins;
}

/** Hertz of the highest peak between two frequencies, to a fraction of a bin by a parabola through its logarithm. */
export function peakHertz(samples: ArrayLike<number>, rate: number, low: number, high: number): number {
  const size = 1 << 17;
  const bins = magnitudes(samples, size);
  let best = Math.ceil((low * size) / rate);
  for (let k = best; k <= (high * size) / rate; k++) if ((bins[k] ?? 0) > (bins[best] ?? 0)) best = k;
  const [a, b, c] = [best - 1, best, best + 1].map((k) => Math.log((bins[k] ?? 0) + 1e-12)) as [
    number,
    number,
    number,
  ];
  return ((best + (a - c) / (2 * (a - 2 * b + c))) * rate) / size;
}

export function cents(hertz: number, reference: number): number {
  return 1200 * Math.log2(hertz / reference);
}

/** Level of one frequency in a stretch, as the amplitude of a sine of that level. */
export function toneLevel(
  samples: ArrayLike<number>,
  from: number,
  to: number,
  rate: number,
  hertz: number,
): number {
  const length = to - from;
  const window = hann(length);
  const twice = 2 * Math.cos((2 * Math.PI * hertz) / rate);
  let before = 0;
  let last = 0;
  for (let n = 0; n < length; n++) {
    const next = (samples[from + n] ?? 0) * (window[n] ?? 0) + twice * last - before;
    before = last;
    last = next;
  }
  return (2 * Math.sqrt(Math.max(0, last * last + before * before - twice * last * before))) / length;
}

const windows = new Map<number, Float64Array>();

/** A Hann window of mean 1. */
function hann(length: number): Float64Array {
  const known = windows.get(length);
  if (known !== undefined) return known;
  const window = Float64Array.from({ length }, (_, n) => 1 - Math.cos((2 * Math.PI * (n + 0.5)) / length));
  windows.set(length, window);
  return window;
}

export function decibels(level: number): number {
  return 20 * Math.log10(Math.max(level, 1e-9));
}
