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
  let re = 0;
  let im = 0;
  const length = to - from;
  for (let n = 0; n < length; n++) {
    const window = 1 - Math.cos((2 * Math.PI * (n + 0.5)) / length);
    const value = (samples[from + n] ?? 0) * window;
    re += value * Math.cos((2 * Math.PI * hertz * n) / rate);
    im += value * Math.sin((2 * Math.PI * hertz * n) / rate);
  }
  return (2 * Math.hypot(re, im)) / length;
}

export function decibels(level: number): number {
  return 20 * Math.log10(Math.max(level, 1e-9));
}
