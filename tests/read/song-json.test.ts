import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeJson } from '../../src/export/json.ts';
import type { ProblemCode } from '../../src/problem.ts';
import { readSongDraftJson, readSongJson, songLines } from '../../src/read/song-json.ts';
import type { Song } from '../../src/song.ts';
import { FERRY, KETTLE, SONGS } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';

const readBack = (text: string): Song => {
  const outcome = readSongJson(text);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
};

describe('a song as JSON', () => {
  test.each(SONGS)('is one line, and reads back to the same song: %s', (_, song) => {
    expect(writeJson(song)).toMatch(/^\{.*\}\n$/);
    expect(readBack(writeJson(song))).toEqual(song);
  });

  test('has its keys in the stated order', () => {
    const json = JSON.parse(writeJson(KETTLE)) as {
      metre: object;
      phrases: { notes: { syllable: object | null }[] }[];
    };
    expect(Object.keys(json).join(' ')).toBe(
      'format version title rung tones newTone home seed take do tempoBpm ticksPerQuarter metre upbeatTicks phrases problems',
    );
    expect(Object.keys(json.metre).join(' ')).toBe('beats beatType beatClass ticksPerBeat');
    expect(Object.keys(json.phrases[0] ?? {}).join(' ')).toBe('line stanza text form cadence notes');
    const note = json.phrases[0]?.notes[0];
    expect(Object.keys(note ?? {}).join(' ')).toBe('onset duration tone pitch syllable slur tie breath');
    expect(Object.keys(note?.syllable ?? {}).join(' ')).toBe('text word division');
  });

  test('reads back to the same song, whatever the song', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        expect(readBack(writeJson(song))).toEqual(song);
      }),
      { numRuns: 2000 },
    );
  });

  test('several stand one to a line', () => {
    const text = writeJson(KETTLE) + writeJson(FERRY);
    expect(songLines(text).map((line) => readBack(line.text))).toEqual([KETTLE, FERRY]);
    expect(songLines(JSON.stringify(JSON.parse(writeJson(KETTLE)), null, 2))).toHaveLength(1);
  });
});

type Edit = (song: Record<string, unknown> & { phrases: { notes: Record<string, unknown>[] }[] }) => void;

/** The note at an index of the first phrase. */
const note = (song: Parameters<Edit>[0], i: number, phrase = 0): Record<string, unknown> =>
  song.phrases[phrase]?.notes[i] ?? {};

const FAULTS: readonly (readonly [what: string, edit: Edit, code: ProblemCode, says: RegExp])[] = [
  ['another form', (song) => (song['format'] = 'song'), 'not-a-song', /format is "song"; it is "chantwright-song"/],
  ['another version', (song) => (song['version'] = 2), 'not-a-song', /version is 2; it is 1/],
  ['a missing title', (song) => delete song['title'], 'not-a-song', /title is missing; it is text/],
  ['a tempo of none', (song) => (song['tempoBpm'] = 0), 'not-a-song', /tempoBpm is 0; it is beats a minute/],
  ['a metre of none', (song) => (song['metre'] = { beats: 5, beatType: 4 }), 'not-a-song', /metre is .* is one of 2\/4/],
  ['a wrong letter', (song) => (note(song, 2)['tone'] = 'x'), 'not-a-song', /phrases\[0\]\.notes\[2\]\.tone is "x"/],
  ['a pitch that is not its tone', (song) => (note(song, 0)['pitch'] = 'G4'), 'not-a-song', /In line 1, bar 1, beat 1, s is A4 when do is D4, not G4/],
  ['a gap', (song) => (note(song, 1)['onset'] = 500), 'bar-length', /begins at tick 500, but the one before ends at 480/],
  ['a note too long', (song) => (note(song, 3)['duration'] = 960), 'bar-length', /bar 2, beat 2, the note goes over the bar line/],
  ['a length that is no note', (song) => (note(song, 0)['duration'] = 600), 'note-value', /600 ticks are no single note value/],
  ['words on a rest', (song) => (note(song, 5, 1)['syllable'] = { text: 'a', word: 9, division: 'single' }), 'syllables-count', /"a" stands on a rest/],
  ['a tie to another tone', (song) => { note(song, 0)['tie'] = 'start'; note(song, 1)['tie'] = 'stop'; note(song, 1)['syllable'] = null; }, 'broken-tie', /two different tones/],
  ['a tie to nowhere', (song) => (note(song, 0)['tie'] = 'start'), 'broken-tie', /does not end here/],
  ['a slur that does not end', (song) => (note(song, 0)['slur'] = 'start'), 'broken-slur', /begins that does not end/],
  ['a slur that did not begin', (song) => (note(song, 1)['slur'] = 'stop'), 'broken-slur', /ends that did not begin/],
  ['a word inside a word', (song) => (note(song, 1)['syllable'] = { text: 'a', word: 0, division: 'single' }), 'broken-word', /begins a word inside another/],
  ['a tone that is open', (song) => { note(song, 0)['tone'] = '?'; note(song, 0)['pitch'] = null; }, 'tone-not-set', /Line 1 has a tone that is still open/],
  ['an upbeat of a bar', (song) => (song['upbeatTicks'] = 960), 'upbeat-length', /not shorter than a bar/],
  ['no notes', (song) => (song['phrases'] = []), 'nothing-to-sing', /no notes/],
  ['a bar not filled',
    (song) => (note(song, 4, 3)['duration'] = 480),
    'bar-length', /no whole number of bars/],
]; // prettier-ignore

describe('a song as JSON with a fault', () => {
  test.each(FAULTS)('%s: is named by its path or its bar and beat', (_, edit, code, says) => {
    const song = JSON.parse(writeJson(KETTLE)) as Parameters<Edit>[0];
    edit(song);
    const outcome = readSongJson(JSON.stringify(song));
    expect(outcome.ok).toBe(false);
    expect(outcome.problems[0]?.message).toMatch(says);
    expect(outcome.problems[0]?.code).toBe(code);
  });

  test('no JSON at all', () => {
    expect(readSongJson('{"format": ').problems).toMatchObject([
      { code: 'not-a-song', message: expect.stringContaining('not JSON') },
    ]);
  });

  test('open tones are kept in a draft', () => {
    const text = writeJson(KETTLE).replace('"tone":"s","pitch":"A4"', '"tone":"?","pitch":null');
    const draft = readSongDraftJson(text);
    expect(draft.ok && draft.value.phrases[0]?.notes[0]?.tone).toBe('?');
  });
});
