/**
 * Every page of every example on every rung, measured: what a publisher would not print.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { PAGE_KINDS, type PageKind, type PageOptions } from '../../src/pages/index.ts';
import type { Song } from '../../src/song.ts';
import { randomSong } from '../random-song.ts';
import { pageFaults } from './faults.ts';
import { faces } from './fonts.ts';
import { exampleNames, HARD_RHYMES, songsOf } from './songs.ts';
import { make } from './workshop.ts';

const FURNITURE: Partial<PageOptions> = {
  className: 'Class 1B',
  date: '3 June',
  letters: true,
  staff: true,
};

async function faultsOf(song: Song, change: Partial<PageOptions>): Promise<readonly string[]> {
  const named = { song, rhyme: 'x', name: 'x', source: 'Words: Class 1B' };
  const { documents } = await make([named], { ...FURNITURE, ...change });
  expect(documents.length).toBeGreaterThan(0);
  return documents.flatMap(({ name, set }) =>
    set.pages.flatMap((page, i) =>
      pageFaults(page, faces).map((fault) => `${song.rung} ${name} page ${String(i + 1)}: ${fault}`),
    ),
  );
}

describe.each([...exampleNames(), ...Object.keys(HARD_RHYMES)])('%s', (name) => {
  test('has nothing outside the margins and no two words that overlap, on any page at any rung', async () => {
    const faults: string[] = [];
    for (const song of await songsOf(name)) {
      faults.push(...(await faultsOf(song, { kinds: PAGE_KINDS })));
      for (const part of ['rhythm', 'words'] as const) {
        const hide = { part, bars: null, every: null, seed: 1 };
        faults.push(...(await faultsOf(song, { kinds: ['fill', 'dictation'], hide })));
      }
    }
    expect(faults).toEqual([]);
  }, 300_000);

  test('fits letter paper across and large print too', async () => {
    const [song] = await songsOf(name);
    const faults: string[] = [];
    for (const change of [{ paper: 'letter', landscape: true }, { wordSizeMm: 7 }] as const) {
      if (song !== undefined) faults.push(...(await faultsOf(song, { kinds: PAGE_KINDS, ...change })));
    }
    expect(faults).toEqual([]);
  }, 120_000);
});

describe('any song that the program could make', () => {
  // a character that draws boxes on screens reaches from line to line on purpose
  const words = randomSong.filter(
    (song) => !song.phrases.some((phrase) => JSON.stringify(phrase).includes('│')),
  );

  test.each(PAGE_KINDS.filter((kind) => kind !== 'song'))('has a clean %s page', async (kind: PageKind) => {
    await fc.assert(
      fc.asyncProperty(words, fc.constantFrom('tones', 'rhythm', 'words'), async (song, part) => {
        const hide = { part, bars: null, every: null, seed: 3 };
        expect(await faultsOf(song, { kinds: [kind], hide })).toEqual([]);
      }),
      { numRuns: 40, seed: 11 },
    );
  });

  test('has a clean song page', async () => {
    await fc.assert(
      fc.asyncProperty(words, async (song) => {
        expect(await faultsOf(song, { kinds: ['song'] })).toEqual([]);
      }),
      { numRuns: 25, seed: 11 },
    );
  });
});
