import { createHash } from 'node:crypto';
import { Midi } from 'tonal';
import { describe, expect, test } from 'vitest';
import decoder from 'wav-decoder';
import type { Lesson, LessonEvent, Track, Vowel } from '../../src/lesson.ts';
import { makeLesson } from '../../src/practice/make-lesson.ts';
import { planNamed } from '../../src/practice/plan.ts';
import { BAR, CEILING, CLICK, DRUM } from '../../src/sound/instruments.data.ts';
import { frameCount, mixScale, renderLesson } from '../../src/sound/render.ts';
import { hertzOf, phaseStep, ramp, sineTable, TABLE_SIZE } from '../../src/sound/sine.ts';
import { vowelTable } from '../../src/sound/vowels.ts';
import { wavPieces } from '../../src/sound/wav.ts';
import { METRES } from '../../src/time.ts';
import { FERRY, KETTLE, SPARROW } from '../export/songs.ts';
import { cents, decibels, magnitudes, peakHertz } from './spectrum.ts';

const RATE = 44100;
const VOWELS: readonly Vowel[] = ['a', 'e', 'i', 'o', 'u'];
/** The keys that a song may use and an octave around them: A2 to A5. */
const KEYS = Array.from({ length: 37 }, (_, i) => 45 + i);

/** A lesson of one span with the events given; a beat is a second. */
function lessonWith(tracks: readonly Track[], events: readonly LessonEvent[], beats = 4): Lesson {
  const length = beats * 480;
  const span = { kind: 'listen', start: 0, length, cue: '', ask: null, events } as const;
  const step = { number: 1, name: 'listen', title: '', tempoBpm: 60, start: 0, length, spans: [span] };
  const metre = METRES['2/4'];
  return { title: '', plan: '', rung: '', do: 'D4', home: 'd', metre, tracks, steps: [step] };
}

const VOICE: Track = { name: 'leader', role: 'leader', instrument: 'voice' };
const MALLET: Track = { name: 'tuning', role: 'tuning', instrument: 'mallet' };

function event(more: Partial<LessonEvent>): LessonEvent {
  return {
    track: 0,
    onset: 480,
    duration: 480,
    pitch: 69,
    vowel: 'u',
    text: null,
    joined: false,
    strong: true,
    ...more,
  };
}

/** All samples of a lesson, one channel, full scale being 1. */
function samplesOf(lesson: Lesson): Float64Array {
  const all: number[] = [];
  for (const chunk of renderLesson(lesson)) for (const sample of chunk) all.push(sample / 32768);
  return Float64Array.from(all);
}

function peakOf(samples: Float64Array): number {
  return samples.reduce((peak, sample) => Math.max(peak, Math.abs(sample)), 0);
}

describe('sines by the four operations', () => {
  test('agree with the library', () => {
    const table = sineTable();
    table.forEach((value, n) => expect(value).toBeCloseTo(Math.sin((2 * Math.PI * n) / TABLE_SIZE), 12));
    ramp(1000).forEach((value, n) =>
      expect(value).toBeCloseTo(0.5 - 0.5 * Math.cos((Math.PI * (n + 0.5)) / 1000), 12),
    );
  });

  test('keys have the frequencies of equal temperament, A4 = 440 (the package tonal)', () => {
    for (let key = 0; key <= 127; key++) expect(hertzOf(key)).toBeCloseTo(Midi.midiToFreq(key), 9);
  });

  test('a phase is exact to less than a hundredth of a cent', () => {
    for (const key of KEYS) {
      const heard = (phaseStep(hertzOf(key), RATE) * RATE) / 2 ** 32;
      expect(Math.abs(cents(heard, 440 * 2 ** ((key - 69) / 12)))).toBeLessThan(0.01);
    }
  });
});

describe('a vowel', () => {
  test.each(VOWELS)('%s is as loud as the others on every key and stays within full scale', (vowel) => {
    const sine = sineTable();
    for (const key of KEYS) {
      for (const dark of [false, true]) {
        const table = vowelTable(sine, vowel, hertzOf(key), dark);
        const square = table.reduce((sum, value) => sum + value * value, 0) / TABLE_SIZE;
        expect(Math.sqrt(square)).toBeCloseTo(0.33, 6);
        expect(peakOf(table)).toBeLessThan(1);
      }
    }
  });

  test('has its first resonance where the mouth has it: i, u lowest, then e and o, a highest', () => {
    // Peterson and Barney 1952, women: 310, 370, 610, 590, 850 Hz. On A2 the overtones lie close enough to see.
    const sine = sineTable();
    const centre = (vowel: Vowel): number => {
      const bins = magnitudes(vowelTable(sine, vowel, 110, false), TABLE_SIZE);
      let weight = 0;
      let sum = 0;
      for (let k = 1; k * 110 < 1100; k++) {
        const power = (bins[k] ?? 0) ** 2 * k * k;
        weight += power;
        sum += power * k * 110;
      }
      return sum / weight;
    };
    const [a, e, i, o, u] = VOWELS.map(centre) as [number, number, number, number, number];
    expect(Math.max(i, u)).toBeLessThan(Math.min(e, o));
    expect(Math.max(e, o)).toBeLessThan(a);
  });
});

describe('every tone', () => {
  test.each([...VOWELS, 'mallet'] as const)(
    'on %s is within 5 cents of equal temperament, measured in its spectrum',
    (kind) => {
      const track = kind === 'mallet' ? MALLET : VOICE;
      for (const key of KEYS) {
        // an eighth note at 112 beats a minute is 129 ticks of this lesson: 0.268 seconds
        const tone = event({ pitch: key, vowel: kind === 'mallet' ? null : kind, duration: 129 });
        const samples = samplesOf(lessonWith([track], [tone], 2)).slice(
          RATE,
          RATE + Math.round(0.268 * RATE),
        );
        const reference = 440 * 2 ** ((key - 69) / 12);
        const heard = peakHertz(samples, RATE, reference * 0.94, reference * 1.06);
        expect(Math.abs(cents(heard, reference)), `key ${String(key)}`).toBeLessThan(5);
      }
    },
  );

  test('begins and ends in silence, at its ticks exactly', () => {
    for (const track of [VOICE, MALLET]) {
      const samples = samplesOf(lessonWith([track], [event({})]));
      const sounding = [...samples.keys()].filter((n) => samples[n] !== 0);
      expect(sounding[0]).toBeGreaterThanOrEqual(RATE);
      expect(sounding[0]).toBeLessThan(RATE + 0.002 * RATE);
      expect(sounding.at(-1)).toBeLessThan(2 * RATE);
      expect(sounding.at(-1)).toBeGreaterThan(2 * RATE - 0.01 * RATE);
    }
  });

  test('of the voice comes within 40 ms and without a bump', () => {
    const samples = samplesOf(lessonWith([VOICE], [event({})]));
    const level = (from: number, to: number): number =>
      Math.sqrt(
        samples.slice(RATE + from * RATE, RATE + to * RATE).reduce((s, x) => s + x * x, 0) /
          ((to - from) * RATE),
      );
    expect(level(0, 0.01)).toBeLessThan(0.2 * level(0.05, 0.15));
    expect(level(0.04, 0.06)).toBeGreaterThan(0.8 * level(0.05, 0.15));
    expect(level(0.7, 0.9)).toBeGreaterThan(0.7 * level(0.05, 0.15));
  });
});

describe('edges', () => {
  /** Highest level above 8 kHz in any stretch of 512 samples (12 ms), in decibels of full scale. */
  function hiss(samples: Float64Array): number {
    let most = 0;
    for (let at = 0; at + 512 <= samples.length; at += 128) {
      const bins = magnitudes(samples.subarray(at, at + 512), 512);
      let power = 0;
      for (let k = Math.ceil((8000 * 512) / RATE); k < 256; k++) power += (bins[k] ?? 0) ** 2;
      // a sine of amplitude 1 gives a peak of 128 under this window
      most = Math.max(most, Math.sqrt(power) / 128);
    }
    return decibels(most);
  }

  test.each([
    ['sung tones that follow one another', VOICE, { duration: 240 }],
    ['sung tones as short as sixteenths', VOICE, { duration: 64 }],
    ['strokes on bars', MALLET, { duration: 240 }],
    ['strokes that are damped at once', MALLET, { duration: 64 }],
    ['clicks', { name: 'beat', role: 'beat', instrument: 'click' }, { pitch: null }],
    ['the drum', { name: 'words', role: 'chant', instrument: 'drum' }, { pitch: null, duration: 200 }],
  ] as const)('of %s do not click: nothing above 8 kHz is louder than -60 dBFS', (_, track, more) => {
    const tone = { ...event(more) };
    const row = Array.from({ length: 6 }, (_each, i) => ({
      ...tone,
      onset: 200 + i * tone.duration,
      pitch: tone.pitch === null ? null : 62 + ((i * 7) % 12),
    }));
    expect(hiss(samplesOf(lessonWith([track], row, 6)))).toBeLessThan(-60);
  });

  test('of slurred tones are joined: the level never falls by more than a third between them', () => {
    const row = [event({ onset: 480, joined: true }), event({ onset: 960, pitch: 71 })];
    const samples = samplesOf(lessonWith([VOICE], row));
    const levels = Array.from({ length: 12 }, (_, i) => {
      const from = Math.round(RATE * (1.94 + i * 0.01));
      return Math.sqrt(samples.slice(from, from + 882).reduce((s, x) => s + x * x, 0) / 882);
    });
    expect(Math.min(...levels)).toBeGreaterThan(0.66 * Math.max(...levels));
  });

  test('of tones that are not slurred are apart', () => {
    const row = [event({ onset: 480 }), event({ onset: 960 })];
    const samples = samplesOf(lessonWith([VOICE], row));
    expect(peakOf(samples.slice(2 * RATE - 200, 2 * RATE + 200))).toBeLessThan(0.02);
  });
});

describe('levels', () => {
  test('of partials add up to 1 or less', () => {
    for (const { partials } of [BAR, DRUM, CLICK]) {
      expect(partials.reduce((sum, partial) => sum + partial.level, 0)).toBeLessThanOrEqual(1 + 1e-12);
    }
  });

  test.each([1, 3, 8])('never reach -1 dBFS with %i parts in unison on one moment', (count) => {
    const tracks: Track[] = [VOICE, ...Array.from({ length: count }, (_, i) => part(`part ${String(i)}`))];
    const events = tracks.flatMap((_, track) => [
      event({ track, pitch: 57, vowel: 'u' }),
      event({ track, pitch: 69, vowel: 'a' }),
    ]);
    const lesson = lessonWith(tracks, events);
    const peak = peakOf(samplesOf(lesson));
    expect(decibels(peak)).toBeLessThan(-1);
    expect(decibels(peak)).toBeLessThan(decibels(CEILING) + 0.01);
    expect(mixScale(lesson)).toBeLessThan(1);
  });

  function part(name: string): Track {
    return { name, role: 'part', instrument: 'voice' };
  }

  test.each([
    ['kettle', KETTLE],
    ['ferry', FERRY],
    ['sparrow', SPARROW],
  ])('of a whole lesson on %s stay below -1 dBFS and lie in the middle', (_, song) => {
    const lesson = makeLesson(song, planNamed('all'));
    if (!lesson.ok) throw new Error('no lesson');
    let peak = 0;
    let sum = 0;
    for (const chunk of renderLesson(lesson.value)) {
      for (const sample of chunk) {
        peak = Math.max(peak, Math.abs(sample));
        sum += sample;
      }
    }
    expect(decibels(peak / 32768)).toBeLessThan(-1);
    expect(decibels(peak / 32768)).toBeGreaterThan(-9);
    expect(Math.abs(sum / frameCount(lesson.value))).toBeLessThan(10);
  });
});

describe('a WAV file', () => {
  const lesson = makeLesson(KETTLE, planNamed('echo'));
  const value = lesson.ok ? lesson.value : null;
  if (value === null) throw new Error('no lesson');
  const one = Buffer.concat([...wavPieces(value)]);
  const two = Buffer.concat([...wavPieces(value, { sides: 'apart' })]);

  test('is 16-bit PCM at 44,100 a second, and as long as it says (read by wav-decoder and by hand)', () => {
    const { sampleRate, channelData } = decoder.decode.sync(one);
    expect(sampleRate).toBe(44100);
    expect(channelData.map((side) => side.length)).toEqual([frameCount(value)]);
    expect(one.length).toBe(44 + 2 * frameCount(value));
    expect(one.readUInt32LE(4)).toBe(one.length - 8);
    expect([20, 22, 32, 34].map((at) => one.readUInt16LE(at))).toEqual([1, 1, 2, 16]);
    expect([24, 28].map((at) => one.readUInt32LE(at))).toEqual([44100, 88200]);
  });

  test('has the samples that were rendered', () => {
    let at = 44;
    let wrong = 0;
    for (const chunk of renderLesson(value)) {
      for (const sample of chunk) {
        if (one.readInt16LE(at) !== sample) wrong += 1;
        at += 2;
      }
    }
    expect([at, wrong]).toEqual([one.length, 0]);
  });

  test('on two sides has the leader on the left only, the beat on both', () => {
    const [left = [], right = []] = decoder.decode.sync(two).channelData;
    const spans = value.steps.flatMap((step) => step.spans);
    const stretch = (side: ArrayLike<number>, kind: string): number[] => {
      const start = spans.find((span) => span.kind === kind)?.start ?? 0;
      const at = Math.round((start / 480) * (60 / 112) * RATE);
      return Array.from(side).slice(at, at + RATE);
    };
    const level = (side: ArrayLike<number>, low: number, high: number): number => {
      const bins = magnitudes(side, 1 << 16);
      let power = 0;
      for (let k = Math.ceil((low * 65536) / RATE); k < (high * 65536) / RATE; k++)
        power += (bins[k] ?? 0) ** 2;
      return Math.sqrt(power);
    };
    // A4 of the tune is 440 Hz
    const call = [left, right].map((side) => level(stretch(side, 'listen'), 430, 450));
    expect(call[1]).toBeLessThan(0.001 * (call[0] ?? 0));
    expect(stretch(right, 'your-turn')).toEqual(stretch(left, 'your-turn'));
    expect(level(stretch(right, 'your-turn'), 1000, 1400)).toBeGreaterThan(1);
  });

  test('has the same bytes on every machine and in every version of the language’s library', () => {
    const sum = createHash('sha256').update(one).update(two).digest('hex');
    expect(sum).toBe('f3b5b4289a216773519defe08f86a003979a93f6a8552bfbd54e0f8f2d25a830');
  });
});
