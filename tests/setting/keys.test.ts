import { describe, expect, test } from 'vitest';
import { pitchName, readPitch } from '../../src/pitch.ts';
import { chooseKey, usualTempo, VOICES } from '../../src/setting/keys.ts';
import { findRung, lowestRungFor, RUNGS } from '../../src/setting/rungs.ts';
import { keyNumber } from './rules-of-the-rung.ts';

const SEMITONES: Readonly<Record<string, number>> = {
  'm,': -8,
  's,': -5,
  'l,': -3,
  't,': -1,
  d: 0,
  r: 2,
  m: 4,
  f: 5,
  s: 7,
  l: 9,
  t: 11,
  "d'": 12,
};

function doFor(name: string, band: string | null): string {
  const rung = findRung(name);
  if (rung === null) throw new Error(name);
  const voice = VOICES.find((v) => v.name === band) ?? null;
  return pitchName(chooseKey(rung, rung.tones, { do: null, voice }).do);
}

describe('the usual do', () => {
  // The column of the ladder in the project's design, where it fits a band.
  test.each([
    ['so-mi', 'D4'],
    ['so-mi-la', 'D4'],
    ['so-mi-la-do', 'D4'],
    ['mi-re-do', 'D4'],
    ['do-pentatonic', 'D4'],
    ['low-so-low-la', 'F4'],
    // On F high do would be F5, above every band; the nearest key that fits is D.
    ['high-do', 'D4'],
    ['la-pentatonic', 'F4'],
    ['la-pentachord', 'F4'],
    ['do-hexachord', 'D4'],
  ])('of %s is %s', (name, expected) => {
    expect(doFor(name, null)).toBe(expected);
  });

  test.each(VOICES.flatMap((voice) => RUNGS.map((rung) => [rung.name, voice.name] as const)))(
    'of %s for %s keeps the tune at or above A3, and in the range wherever some key does',
    (name, band) => {
      const rung = findRung(name);
      const voice = VOICES.find((v) => v.name === band);
      if (rung === null || voice === undefined) throw new Error(name);
      const key = chooseKey(rung, rung.tones, { do: null, voice });
      const heights = rung.tones.map((tone) => keyNumber(pitchName(key.do)) + (SEMITONES[tone] ?? NaN));
      const [low, high] = [keyNumber(pitchName(voice.low)), keyNumber(pitchName(voice.high))];
      expect(Math.min(...heights)).toBeGreaterThanOrEqual(keyNumber('A3'));
      const span = Math.max(...heights) - Math.min(...heights);
      const fits = Math.min(...heights) >= low && Math.max(...heights) <= high;
      // A band one semitone wider than the tones might still have no natural key; two wider always has one.
      if (span <= high - low - 2) expect(fits).toBe(true);
      expect(key.problems.length === 0).toBe(fits);
    },
  );
});

test('bands and their tempi are those of the design', () => {
  expect(VOICES.map((v) => [v.name, pitchName(v.low), pitchName(v.high), ...v.tempoBpm])).toEqual([
    ['3-5', 'D4', 'A4', 100, 112, 126],
    ['K-1', 'D4', 'B4', 100, 112, 126],
    ['2-3', 'C4', 'D5', 84, 100, 120],
    ['4-5', 'B3', 'E5', 72, 96, 120],
    ['6+', 'A3', 'E5', 60, 92, 132],
  ]);
  expect(usualTempo(null)).toBe(112);
});

test('a do that is asked for in a low octave is raised, octave by octave', () => {
  const rung = findRung('so-mi');
  const asked = readPitch('C2');
  if (rung === null || asked === null) throw new Error('so-mi');
  const key = chooseKey(rung, ['m', 's'], { do: asked, voice: null });
  expect(pitchName(key.do)).toBe('C4');
  expect(key.problems[0]?.message).toContain('below A3');
});

test.each([
  [['s', 'm'], 'so-mi'],
  [['s', 'l'], 'so-mi-la'],
  [['d', 'r'], 'mi-re-do'],
  [['f', 'd'], 'do-pentachord'],
  [["d'", 's,'], 'high-do'],
] as const)('the lowest rung for %j is %s', (tones, name) => {
  expect(lowestRungFor(tones)?.name).toBe(name);
});

test('rungs are in order: each brings a tone that the one before has not, or a new home', () => {
  RUNGS.forEach((rung, i) => {
    const before = RUNGS[i - 1];
    expect(rung.rules.map((rule) => rule.tone)).toEqual(rung.tones);
    if (before === undefined) return;
    expect(rung.newTone !== null && rung.tones.includes(rung.newTone)).toBe(true);
    const isNew = rung.newTone !== null && !before.tones.includes(rung.newTone);
    expect(isNew || rung.home !== before.home).toBe(true);
  });
});
