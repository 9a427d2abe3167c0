import { expect, test } from 'vitest';
import { seededRandom, xoshiro128 } from '../src/random.ts';

const draw = (next: () => number, count: number): number[] => Array.from({ length: count }, () => next());

test('the generator gives the published values of xoshiro128** on the state 1, 2, 3, 4', () => {
  // Source: reference values of the public-domain C code (Blackman and Vigna), as printed in the tests of the
  // Rust crate rand_xoshiro.
  expect(draw(xoshiro128([1, 2, 3, 4]), 10)).toEqual([
    11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
  ]);
});

test('a seed always gives the same draws, and another seed gives others', () => {
  expect(draw(seededRandom(7), 20)).toEqual(draw(seededRandom(7), 20));
  expect(draw(seededRandom(7), 20)).not.toEqual(draw(seededRandom(8), 20));
});

test('draws fill the range evenly: each of sixteen equal parts gets about a sixteenth', () => {
  const counts = new Array<number>(16).fill(0);
  for (const value of draw(seededRandom(1), 16_000)) counts[value >>> 28] = (counts[value >>> 28] ?? 0) + 1;
  const chiSquare = counts.reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0);
  expect(chiSquare).toBeLessThan(37.7); // 15 degrees of freedom, one in a thousand
});
