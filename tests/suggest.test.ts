import { describe, expect, test } from 'vitest';
import { nearest, slipsBetween } from '../src/suggest.ts';

describe('the distance between two names', () => {
  // Worked examples: kitten/sitting is the one of Wagner and Fischer's textbook tables (distance 3); "ca" to "abc" is 3
  // in the optimal string alignment distance, against 2 in the unrestricted one (Boytsov 2011).
  test.each([
    ['kitten', 'sitting', 3],
    ['ca', 'abc', 3],
    ['tempo', 'tepmo', 1],
    ['rung', 'rung', 0],
    ['', 'do', 2],
    ['metre', 'meter', 1],
  ])('%s and %s differ by %i slips', (a, b, slips) => {
    expect(slipsBetween(a, b)).toBe(slips);
    expect(slipsBetween(b, a)).toBe(slips);
  });
});

describe('the nearest name', () => {
  test.each([
    ['so-me', ['so-mi', 'so-mi-la'], 'so-mi'],
    ['So-Mi', ['so-mi-la', 'so-mi'], 'so-mi'],
    ['tmepo', ['title', 'tempo', 'take'], 'tempo'],
    ['meter', ['metre', 'beats'], 'metre'],
    ['music', ['midi', 'musicxml', 'score'], 'musicxml'],
    ['xylophone', ['score', 'json', 'midi'], null],
    ['', ['do'], null],
  ])('for %s among %j is %s', (name, candidates, expected) => {
    expect(nearest(name, candidates)).toBe(expected);
  });

  test('is the first of equals', () => {
    expect(nearest('bat', ['cat', 'hat'])).toBe('cat');
  });
});
