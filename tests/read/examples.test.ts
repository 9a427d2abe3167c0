/** Every example rhyme on every rung, written and read back in each form. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { compose } from '../../src/compose.ts';
import { problemRecord, writeJson } from '../../src/export/json.ts';
import { writeMusicXml } from '../../src/export/musicxml.ts';
import { writeScore } from '../../src/export/score.ts';
import { writeTonicSolfa } from '../../src/export/tonic-solfa.ts';
import { made, type Outcome } from '../../src/problem.ts';
import { readMusicXml } from '../../src/read/musicxml.ts';
import { readScore } from '../../src/read/score.ts';
import { readSongJson } from '../../src/read/song-json.ts';
import { readTonicSolfa } from '../../src/read/tonic-solfa.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import type { Song } from '../../src/song.ts';
import { openLexicon } from '../../src/syllabify/index.ts';
import { scoreFile } from './score-file.ts';

const path = (name: string): string => fileURLToPath(new URL(`../../${name}`, import.meta.url));
const RHYMES = readdirSync(path('examples')).filter((name) => name.endsWith('.txt'));

/** Problems travel without their place in the rhyme. */
const travelled = (song: Song): object => ({ ...song, problems: song.problems.map(problemRecord) });
const readBack = (outcome: Outcome<Song>): object => {
  if (!outcome.ok) throw new Error(outcome.problems.map((problem) => problem.message).join('\n'));
  expect(outcome).toEqual(made(outcome.value));
  return outcome.value;
};

describe('songs of the examples', () => {
  const songs: Song[] = [];

  beforeAll(async () => {
    const lexicon = openLexicon(readFileSync(path('dist/pronunciations.bin')));
    for (const name of RHYMES) {
      const text = readFileSync(path(`examples/${name}`), 'utf8');
      const composed = await compose(text, lexicon, { rung: RUNGS });
      if (!composed.ok) throw new Error(name);
      songs.push(...composed.value.songs);
    }
  });

  test('are many', () => {
    expect(songs.length).toBeGreaterThan(RHYMES.length * 10);
  });

  test('come back whole from a score, from JSON and from MusicXML', () => {
    for (const song of songs) {
      expect(readBack(readScore(scoreFile(writeScore(song))))).toEqual(travelled(song));
      expect(readBack(readSongJson(writeJson(song)))).toEqual(travelled(song));
      expect(readBack(readMusicXml(writeMusicXml(song)))).toEqual(travelled(song));
    }
  });

  test('come back from tonic sol-fa letters with all their tones, lengths and words', () => {
    const heard = (song: Song): object[] =>
      song.phrases.map(({ notes }) => ({
        sung: notes
          .filter((note) => note.tone !== null)
          .map(({ tone, pitch, duration, syllable, slur, tie }) => ({
            tone,
            pitch,
            duration,
            syllable,
            slur,
            tie,
          })),
      }));
    for (const song of songs)
      expect(heard(readBack(readTonicSolfa(writeTonicSolfa(song))) as Song)).toEqual(heard(song));
  });

  test('stay within the width of an e-mail', () => {
    const widths = songs
      .flatMap((song) => writeScore(song).split('\n---\n')[1]?.split('\n') ?? [])
      .map((line) => line.length);
    expect(Math.max(...widths)).toBeLessThanOrEqual(78);
  });
});
