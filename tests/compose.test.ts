import { describe, expect, test } from 'vitest';
import { compose, placeRhyme } from '../src/compose.ts';
import { settle } from '../src/options.ts';
import { RUNGS } from '../src/setting/rungs.ts';
import type { Song } from '../src/song.ts';
import { openLexicon } from '../src/syllabify/index.ts';
import { METRES } from '../src/time.ts';
import type { Wishes } from '../src/wishes.ts';
import { pronunciations } from './cli/world.ts';

const lexicon = openLexicon(pronunciations());
const DOOR =
  'Pack the basket, tie the string,\nHear the little doorbell ring.\nWho is there? A bear, a bear.\nHear the little doorbell ring.\n';

async function songsOf(text: string, asked: Wishes = {}): Promise<readonly Song[]> {
  const outcome = await compose(text, lexicon, asked);
  if (!outcome.ok) throw new Error(outcome.problems[0]?.message);
  return outcome.value.songs;
}

const tonesOf = (song: Song | undefined): string =>
  song?.phrases.flatMap((phrase) => phrase.notes.map((note) => note.tone ?? 'z')).join(' ') ?? '';

describe('composing', () => {
  test('gives rung after rung, take after take', async () => {
    const songs = await songsOf(DOOR, { rung: RUNGS.slice(0, 3), take: { first: 1, last: 2 } });
    expect(songs.map(({ rung, take }) => `${rung} ${String(take)}`)).toEqual(
      ['so-mi', 'so-mi-la', 'so-mi-la-do'].flatMap((rung) => [`${rung} 1`, `${rung} 2`]),
    );
  });

  test('gives the same take whether it is asked for alone or with others', async () => {
    for (const rung of [RUNGS.slice(1, 2), RUNGS.slice(0, 3)]) {
      const all = await songsOf(DOOR, { rung, take: { first: 1, last: 4 } });
      const alone = await songsOf(DOOR, { rung, take: { first: 3, last: 3 } });
      expect(alone.map(tonesOf)).toEqual(all.filter((song) => song.take === 3).map(tonesOf));
    }
  });

  test('draws takes that differ', async () => {
    const songs = await songsOf(DOOR, { rung: RUNGS.slice(2, 3), take: { first: 1, last: 8 } });
    expect(new Set(songs.map(tonesOf)).size).toBe(8);
  });

  test('gives songs that nobody can change', async () => {
    const [song] = await songsOf(DOOR);
    expect(Object.isFrozen(song)).toBe(true);
    expect(Object.isFrozen(song?.phrases[0]?.notes[0])).toBe(true);
    expect(Object.isFrozen(song?.problems)).toBe(true);
  });

  test('sings by the words of the front matter, and keeps places in the text as typed', async () => {
    const text = `---\ntitle: Door\nmetre: 2/4\nbeats: 4\n---\n# remark\n${DOOR}`;
    const rhyme = await placeRhyme(text, lexicon);
    expect(rhyme.ok && rhyme.value.placement.title).toBe('Door');
    const line = rhyme.ok ? rhyme.value.placement.lines[1]?.line : undefined;
    expect(text.slice(line?.span.start, line?.span.end)).toBe('Hear the little doorbell ring.');
    const [word] = line?.words ?? [];
    expect(text.slice(word?.span.start, word?.span.end)).toBe('Hear');
  });
});

describe('trouble on the way', () => {
  test.each([
    ['', 'nothing-to-sing', null],
    [`${'la '.repeat(2000)}\n`, 'line-too-long', 'la la'],
    ['Bee,\n|Bee ||bee\n', 'bad-beat-mark', '|'],
    ['---\nwords:\n  bee: WA-sp\n---\nBee\n', 'words-mismatch', null],
    ['---\nbeats: 1\n---\nThe wonderful hippopotamus went in\n', 'no-placement', 'The wonderful'],
    ['---\nbeats: 3\n---\nBee\n|Bee |bee |bum-ble|bee\n', 'beats-contradict', '|Bee |bee'],
    ['---\ntempo: fast\n---\nBee\n', 'bad-value', 'fast'],
  ])('in %j is told as %s, at its place', async (text, code, place) => {
    const outcome = await compose(text, lexicon);
    expect(outcome.ok).toBe(false);
    const problem = outcome.problems.find((each) => each.code === code);
    expect(problem?.severity).toBe('error');
    if (place === null) return;
    expect(text.slice(problem?.span?.start).startsWith(place)).toBe(true);
  });

  test('that a rung alone has leaves the other rungs to be sung', async () => {
    const [rung] = RUNGS;
    if (rung === undefined) throw new Error('no rung');
    const closed = { ...rung, name: 'closed', closes: [] };
    const outcome = await compose(DOOR, lexicon, { rung: [rung, closed] });
    expect(outcome.ok && [outcome.value.asked, outcome.value.songs.map((song) => song.rung)]).toEqual([
      2,
      ['so-mi'],
    ]);
    expect(outcome.problems.map((problem) => problem.code)).toContain('no-melody');
  });

  test('of a stage stands in each song as well, and once in the outcome', async () => {
    const rhythms = settle({}, {}).rhythms ?? [{ name: 'none', values: [] }];
    const outcome = await compose(DOOR, lexicon, { rhythms, rung: RUNGS.slice(0, 2), metre: METRES['2/4'] });
    const byEar = (problems: readonly { code: string; message: string }[]): string[] =>
      problems.filter((problem) => problem.code === 'by-ear-only').map((problem) => problem.message);
    const once = byEar(outcome.problems);
    expect(once.length).toBeGreaterThan(0);
    expect(new Set(once).size).toBe(once.length);
    if (outcome.ok) for (const song of outcome.value.songs) expect(byEar(song.problems)).toEqual(once);
  });
});
