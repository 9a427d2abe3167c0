/**
 * What one event sounds like: small machines that add their samples to a chunk. Every sound begins and ends in
 * silence along half a raised cosine, so that no edge clicks.
 */
import type { Vowel } from '../lesson.ts';
import { phaseStep, ramp, TABLE_SIZE } from './sine.ts';

export const SAMPLE_RATE = 44_100;

/** Bits of a 32-bit phase that are not the index into a table. */
const FRACTION_BITS = 21;
const FRACTION = 1 << FRACTION_BITS;

/**
 * Adds samples `from` to `to` (exclusive, counted from the sound's own start) to `into`, the first one at `at`. Asked
 * for stretch after stretch, from 0 on, none left out.
 */
export type Sounding = (into: Float64Array, at: number, from: number, to: number) => void;

/** Tables that many sounds share; made once for a rendering. */
export interface SoundTables {
  readonly sine: Float64Array;
  readonly vowel: (vowel: Vowel, key: number, dark: boolean) => Float64Array;
  readonly ramp: (length: number) => Float64Array;
}

function seconds(s: number): number {
  return Math.round(s * SAMPLE_RATE);
}

/**
 * Times of the voice in samples: how long it takes to begin (35 ms), to open the mouth (90 ms), to settle (180 ms), to
 * end (70 ms), and to move under a slur (30 ms).
 */
const VOICE = { attack: 1544, open: 3969, settle: 7938, release: 3087, glide: 1323 };
/** Level that a sung tone settles on, its beginning being 1. */
const SETTLED = 0.82;

export interface SungTone {
  readonly hertz: number;
  readonly key: number;
  readonly vowel: Vowel;
  readonly level: number;
  /** Samples from its onset to the next event. */
  readonly length: number;
  /** Slurred from the tone before; slurred on to the next, which it then overlaps by the glide. */
  readonly joinedBefore: boolean;
  readonly joinedAfter: boolean;
}

/** Samples of a sung tone, the overlap under a slur included. */
export function sungLength(tone: SungTone): number {
  return tone.length + (tone.joinedAfter ? Math.min(VOICE.glide, tone.length) : 0);
}

/** A tone of the voice: soft beginning, the vowel opening, a steady tone without vibrato, a soft end. */
export function sungTone(tone: SungTone, tables: SoundTables): Sounding {
  const dark = tables.vowel(tone.vowel, tone.key, true);
  const open = tables.vowel(tone.vowel, tone.key, false);
  const step = phaseStep(tone.hertz, SAMPLE_RATE);
  const whole = sungLength(tone);
  const third = Math.max(1, Math.floor(tone.length / 3));
  const rise = tables.ramp(Math.min(tone.joinedBefore ? VOICE.glide : VOICE.attack, third));
  const fall = tables.ramp(tone.joinedAfter ? whole - tone.length : Math.min(VOICE.release, third));
  const opening = tables.ramp(VOICE.open);
  const settling = tables.ramp(VOICE.settle);
  const settleFrom = rise.length;
  const fallFrom = whole - fall.length;
  let phase = 0;
  return (into, at, from, to) => {
    for (let n = from; n < to; n++) {
      const index = phase >>> FRACTION_BITS;
      const next = (index + 1) & (TABLE_SIZE - 1);
      const part = (phase & (FRACTION - 1)) / FRACTION;
      phase = (phase + step) >>> 0;
      let level = tone.level;
      if (n < rise.length) level *= rise[n] ?? 0;
      if (n >= settleFrom) level *= 1 - (1 - SETTLED) * (settling[n - settleFrom] ?? 1);
      if (n >= fallFrom) level *= fall[whole - 1 - n] ?? 0;
      const a = open[index] ?? 0;
      let value = a + ((open[next] ?? 0) - a) * part;
      const mouth = tone.joinedBefore ? 1 : (opening[n] ?? 1);
      if (mouth < 1) {
        const b = dark[index] ?? 0;
        value = value * mouth + (b + ((dark[next] ?? 0) - b) * part) * (1 - mouth);
      }
      into[at + n - from] = (into[at + n - from] ?? 0) + level * value;
    }
  };
}

/** One partial of something struck: its place above the lowest, its level, and when it has fallen to 37 %. */
export interface Partial {
  readonly ratio: number;
  readonly level: number;
  readonly decaySeconds: number;
}

/** Something struck; the levels of its partials add up to 1 or less. */
export interface Struck {
  readonly partials: readonly Partial[];
  readonly attackSeconds: number;
  /** It is damped when its event is over, or after this time. */
  readonly longestSeconds: number;
}

/** 50 ms. */
const DAMP = 2205;

/** Samples that something struck sounds in an event of `length` samples. */
export function struckLength(struck: Struck, length: number): number {
  return Math.min(length, seconds(struck.longestSeconds));
}

/** A stroke: partials that die away, each by the same factor at every sample. */
export function stroke(
  struck: Struck,
  sound: { readonly hertz: number; readonly level: number; readonly length: number },
  tables: SoundTables,
): Sounding {
  const { sine } = tables;
  const whole = struckLength(struck, sound.length);
  const half = Math.max(1, Math.floor(whole / 2));
  const rise = tables.ramp(Math.min(seconds(struck.attackSeconds), half));
  const fall = tables.ramp(Math.min(DAMP, half));
  const fallFrom = whole - fall.length;
  const partials = struck.partials
    .filter((partial) => partial.ratio * sound.hertz < SAMPLE_RATE / 3)
    .map(({ ratio, level, decaySeconds }) => ({
      step: phaseStep(ratio * sound.hertz, SAMPLE_RATE),
      factor: 1 - 1 / (decaySeconds * SAMPLE_RATE),
      level: level * sound.level,
      phase: 0,
    }));
  return (into, at, from, to) => {
    for (const partial of partials) {
      let { level, phase } = partial;
      const { step, factor } = partial;
      for (let n = from; n < to; n++) {
        const index = phase >>> FRACTION_BITS;
        const a = sine[index] ?? 0;
        const b = sine[(index + 1) & (TABLE_SIZE - 1)] ?? 0;
        let edge = 1;
        if (n < rise.length) edge = rise[n] ?? 0;
        if (n >= fallFrom) edge *= fall[whole - 1 - n] ?? 0;
        const value = a + ((b - a) * (phase & (FRACTION - 1))) / FRACTION;
        into[at + n - from] = (into[at + n - from] ?? 0) + edge * level * value;
        phase = (phase + step) >>> 0;
        level *= factor;
      }
      partial.level = level;
      partial.phase = phase;
    }
  };
}

/** Tables that grow as they are needed: at most one for each vowel and key, and one for each length of ramp. */
export function soundTables(
  sine: Float64Array,
  makeVowel: (vowel: Vowel, key: number, dark: boolean) => Float64Array,
): SoundTables {
  const vowels = new Map<string, Float64Array>();
  const ramps = new Map<number, Float64Array>();
  return {
    sine,
    vowel: (vowel, key, dark) => {
      const name = `${vowel}${String(key)}${dark ? 'd' : 'o'}`;
      const table = vowels.get(name) ?? makeVowel(vowel, key, dark);
      vowels.set(name, table);
      return table;
    },
    ramp: (length) => {
      const table = ramps.get(length) ?? ramp(length);
      ramps.set(length, table);
      return table;
    },
  };
}
