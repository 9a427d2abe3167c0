import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeScore } from '../../src/export/score.ts';
import { readScore } from '../../src/read/score.ts';
import { findRhythmNames, rhythmFamilyNames } from '../../src/rhythm-names.ts';
import { showProblem } from '../../src/show-problem.ts';
import type { Song } from '../../src/song.ts';
import { SONGS } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { scoreFile } from './score-file.ts';

function readBack(text: string): Song {
  const outcome = readScore(scoreFile(text));
  if (!outcome.ok)
    throw new Error(outcome.problems.map((p) => showProblem(p, { name: 'score', text })).join('\n'));
  return outcome.value;
}

describe('a score that is written and read back', () => {
  test.each(SONGS)('is the same song: %s', (_, song) => {
    expect(readBack(writeScore(song))).toEqual(song);
  });

  test.each(rhythmFamilyNames())('is the same song in the names of %s', (name) => {
    const names = findRhythmNames(name);
    if (names === null) throw new Error(name);
    fc.assert(
      fc.property(randomSong, (song) => {
        expect(readBack(writeScore(song, { names }))).toEqual(song);
      }),
      { numRuns: 150 },
    );
  });

  test('is the same song for any song, and writes the same score again', () => {
    fc.assert(
      fc.property(randomSong, fc.boolean(), fc.constantFrom(30, 76, 1000), (song, unicode, width) => {
        const text = writeScore(song, { unicode, width });
        const back = readBack(text);
        expect(back).toEqual(song);
        expect(writeScore(back, { unicode, width })).toBe(text);
      }),
      { numRuns: 2000 },
    );
  });

  test('does not depend on columns: any run of spaces may be another', () => {
    fc.assert(
      fc.property(randomSong, fc.constantFrom(' ', '     ', '\t'), (song, space) => {
        const text = writeScore(song);
        const body = text.slice(text.indexOf('\n---\n') + 5);
        const squeezed = body.replace(/^(?!Line|Stanza)(.+)$/gm, (line) =>
          line.replace(/(?<![\\ ]) +/g, space),
        );
        expect(readBack(text.slice(0, text.length - body.length) + squeezed)).toEqual(song);
      }),
      { numRuns: 100 },
    );
  });
});
