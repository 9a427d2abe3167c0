/**
 * Traditional rhymes that no weight was fitted to, with the beats of common practice (traditional.txt, from memory;
 * public domain). The rate is one that is really reached; lines that differ are named in the bench, not left out:
 * `npm run bench:beats -- tests/setting/traditional.txt`.
 */
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { placeBeats } from '../../src/setting/placement.ts';
import { readCases } from '../bench/beats-data.ts';
import { scoreCase } from '../bench/beats-score.ts';
import { verseOf } from './chant.ts';

const cases = readCases([fileURLToPath(new URL('traditional.txt', import.meta.url))]);
const figures = cases.map((known) => {
  const outcome = placeBeats(verseOf(known.text), { beatClass: null, beats: null });
  if (!outcome.ok) throw new Error(known.id);
  return scoreCase(known, outcome.value);
});
const lines = figures.flatMap((figure) => figure.lines);

describe('traditional rhymes', () => {
  test('are 40 lines at least', () => {
    expect(lines.length).toBeGreaterThanOrEqual(40);
  });

  test('have 84 of 100 lines wholly right', () => {
    expect(lines.filter((line) => line.right).length / lines.length).toBeGreaterThan(0.84);
  });

  test('have 96 of 100 syllables on or off the beat as children say them', () => {
    const agreeing = lines.reduce((sum, line) => sum + line.agreeing, 0);
    expect(agreeing / lines.reduce((sum, line) => sum + line.syllables, 0)).toBeGreaterThan(0.96);
  });

  test('are told simple or compound, nine in ten of those that are clear', () => {
    const clear = figures.filter((figure) => figure.metre !== null);
    expect(clear.filter((figure) => figure.metre === true).length / clear.length).toBeGreaterThan(0.9);
  });
});
