/** Rows of beats: the grid on which words, sticks and marks stand. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { beatRows, columnsOf, longestPhrase } from '../../src/pages/beat-rows.ts';
import { randomSong } from '../random-song.ts';
import { songOf } from './songs.ts';

describe('rows of beats', () => {
  test('are one a phrase when there is room, upbeat before the first beat', async () => {
    const song = await songOf('goose-in-the-basket.txt', 'so-mi');
    const rows = beatRows(song, longestPhrase(song));
    expect(rows).toHaveLength(song.phrases.length);
    expect(rows.map((row) => row.firstBeat - row.start)).toEqual(rows.map(() => 240));
    expect(rows.map((row) => row.beats.length)).toEqual([4, 4, 4, 4]);
  });

  test('are cut at bar lines when there is not', async () => {
    const song = await songOf('goose-in-the-basket.txt', 'so-mi');
    const rows = beatRows(song, 2);
    expect(rows).toHaveLength(8);
    expect(rows.map((row) => row.startsPhrase)).toEqual([true, false, true, false, true, false, true, false]);
  });

  test('hold every note once, in order, and never more columns than asked but for a bar that is longer', () => {
    fc.assert(
      fc.property(randomSong, fc.integer({ min: 1, max: 9 }), (song, most) => {
        const rows = beatRows(song, most);
        const notes = song.phrases.flatMap((phrase) => phrase.notes);
        expect(rows.flatMap((row) => row.notes)).toEqual(notes);
        const perBar = (song.metre.beats * 1920) / song.metre.beatType / song.metre.ticksPerBeat;
        for (const row of rows) expect(columnsOf(song)(row)).toBeLessThanOrEqual(Math.max(most, perBar));
      }),
      { numRuns: 60, seed: 2 },
    );
  });
});
