import { describe, expect, test } from 'vitest';
import { byEarOnly, RHYTHM_LADDER, rhythmValues } from '../../src/setting/rhythm-ladder.ts';
import { setRhythm } from '../../src/setting/rhythm.ts';
import type { BeatClass } from '../../src/time.ts';
import { placementOf, type LineSketch } from '../placement-of.ts';

const rhythmOf = (
  lines: readonly LineSketch[],
  beatClass: BeatClass = 'simple',
  emptyBeats: 'rest' | 'held' = 'rest',
) => {
  const outcome = setRhythm(placementOf(beatClass, lines), { metre: null, emptyBeats });
  if (!outcome.ok) throw new Error(outcome.problems[0]?.message);
  return outcome.value;
};
const at = (beats: number, ...places: number[]): LineSketch => ({
  beats,
  syllables: places.map((place, i) => [`la${String(i)}`, place]),
});
const valuesOf = (...args: Parameters<typeof rhythmOf>) =>
  rhythmValues(rhythmOf(...args)).map((found) => found.value);

describe('which rhythms a line asks for', () => {
  test.each([
    [at(2, 0, 480), ['quarter']],
    [at(2, 0, 240, 480), ['paired-eighths', 'quarter']],
    [at(2, 0), ['quarter', 'quarter-rest']],
    [at(2, 0, 120, 240, 360, 480), ['four-sixteenths', 'quarter']],
    [at(2, 0, 240, 360, 480), ['eighth-two-sixteenths', 'quarter']],
    [at(2, 0, 120, 240, 480), ['two-sixteenths-eighth', 'quarter']],
    [at(2, 0, 360, 480), ['dotted-eighth-sixteenth', 'quarter']],
    [at(2, -240, 0, 480), ['single-eighth', 'quarter']],
  ])('%j', (line, expected) => {
    expect(valuesOf([line])).toEqual(expected);
  });

  test('held beats', () => {
    expect(valuesOf([at(2, 0)], 'simple', 'held')).toEqual(['half-note']);
    expect(valuesOf([at(2, 0, 720)], 'simple', 'held')).toEqual(['dotted-quarter-eighth']);
    expect(valuesOf([at(2, 0, 240, 720)], 'simple', 'held')).toEqual(['syncopation']);
    expect(valuesOf([at(4, 0)], 'simple', 'held')).toEqual(['whole-note']);
  });

  test('compound time is one step of the ladder', () => {
    expect(valuesOf([at(2, 0, 480, 720)], 'compound')).toEqual(['compound']);
  });

  test('every value has its place on the ladder, once', () => {
    const placed = RHYTHM_LADDER.flatMap((rung) => rung.values);
    expect(new Set(placed).size).toBe(placed.length);
  });
});

test('a rhythm that has not been taught is reported by ear only, with its lines', () => {
  const rhythm = rhythmOf([at(2, 0, 480), at(2, 0, 120, 240, 360, 480), at(2, 0, 120, 240, 360, 480)]);
  const problems = byEarOnly(rhythm, RHYTHM_LADDER.slice(0, 2));
  expect(problems).toMatchObject([{ code: 'by-ear-only', severity: 'note', line: 2 }]);
  expect(problems[0]?.message).toBe('Four sixteenths in lines 2, 3: not taught yet, so by ear only.');
  expect(byEarOnly(rhythm, RHYTHM_LADDER)).toEqual([]);
});
