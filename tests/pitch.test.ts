import { Interval, Key, Note } from 'tonal';
import { describe, expect, test } from 'vitest';
import {
  isTone,
  keyFifths,
  midiNumber,
  pitchName,
  pitchOf,
  readPitch,
  toneSemitones,
  toneStep,
  type Tone,
} from '../src/pitch.ts';

const TONES: readonly Tone[] = [
  'd,',
  'r,',
  'm,',
  'f,',
  's,',
  'l,',
  't,',
  'd',
  'r',
  'm',
  'f',
  's',
  'l',
  't',
  "d'",
  "r'",
  "m'",
  "f'",
  "s'",
  "l'",
  "t'",
];
const KEYS = ['C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb', 'Cb'];

function pitch(name: string) {
  const read = readPitch(name);
  if (read === null) throw new Error(name);
  return read;
}

describe('beside a general music library (tonal)', () => {
  test.each(KEYS)('every tone on do = %s is spelled as that major scale spells it', (key) => {
    const scale = Key.majorKey(key).scale;
    for (const tone of TONES) {
      const step = toneStep(tone);
      const octave = Math.floor(step / 7);
      const interval = ['1P', '2M', '3M', '4P', '5P', '6M', '7M'][step - 7 * octave] ?? '';
      const expected = Note.transpose(
        Note.transpose(`${key}4`, interval),
        Interval.fromSemitones(12 * octave),
      );
      const got = pitchName(pitchOf(tone, pitch(`${key}4`)));
      expect(got).toBe(expected);
      expect(midiNumber(pitch(got))).toBe(Note.midi(got));
      expect(scale).toContain(got.replace(/-?\d+$/, ''));
    }
  });

  test.each(KEYS)('the key signature of %s', (key) => {
    expect(keyFifths(pitch(`${key}4`))).toBe(Key.majorKey(key).alteration);
  });
});

describe('beside published tables', () => {
  test('MIDI note numbers (MIDI 1.0: middle C is 60, A above it 69; piano 21 to 108)', () => {
    const table = {
      A0: 21,
      C1: 24,
      C4: 60,
      'C#4': 61,
      Eb4: 63,
      'F#4': 66,
      A4: 69,
      B4: 71,
      C5: 72,
      C8: 108,
      Cb4: 59,
      'B#3': 60,
    };
    for (const [name, number] of Object.entries(table)) expect(midiNumber(pitch(name))).toBe(number);
  });

  test('signatures by the circle of fifths', () => {
    const table = {
      C: 0,
      G: 1,
      D: 2,
      A: 3,
      E: 4,
      B: 5,
      'F#': 6,
      'C#': 7,
      F: -1,
      Bb: -2,
      Eb: -3,
      Ab: -4,
      Db: -5,
      Gb: -6,
      Cb: -7,
    };
    for (const [name, fifths] of Object.entries(table)) expect(keyFifths(pitch(`${name}4`))).toBe(fifths);
  });

  test('movable do: with do on F, so la so mi is C5 D5 C5 A4; with do on D, so mi is A4 F#4 (school placements)', () => {
    const sung = (tones: readonly Tone[], key: string): string =>
      tones.map((tone) => pitchName(pitchOf(tone, pitch(key)))).join(' ');
    expect(sung(['s', 'l', 's', 'm'], 'F4')).toBe('C5 D5 C5 A4');
    expect(sung(['s', 'm'], 'D4')).toBe('A4 F#4');
    expect(sung(['d', 'm', 's', 'l'], 'D4')).toBe('D4 F#4 A4 B4');
    expect(sung(['s,', 'l,', 'd', "d'"], 'F4')).toBe('C4 D4 F4 F5');
  });

  test('semitones of the major scale from do: 0 2 4 5 7 9 11', () => {
    expect((['d', 'r', 'm', 'f', 's', 'l', 't', "d'"] as const).map(toneSemitones)).toEqual([
      0, 2, 4, 5, 7, 9, 11, 12,
    ]);
    expect((['t,', 'l,', 's,', 'm,'] as const).map(toneSemitones)).toEqual([-1, -3, -5, -8]);
  });
});

test.each(['H4', 'D', '', 'd#b4', 'D44', 'do'])('%j is no pitch', (text) => {
  expect(readPitch(text)).toBeNull();
});

test.each(['F♯4', 'f#4', ' F#4 '])('%j is F sharp', (text) => {
  expect(pitchName(pitch(text))).toBe('F#4');
});

test.each([
  ['s', true],
  ['s,', true],
  ["d'", true],
  ['x', false],
  ['s,,', false],
  ['', false],
] as const)('%j as a tone: %s', (text, is) => {
  expect(isTone(text)).toBe(is);
});
