/** Pages as the command line makes them, with usual options unless a test says otherwise. */
import { writeMusicXml } from '../../src/export/musicxml.ts';
import { openEngraver, type Engraver } from '../../src/pages/engraver.ts';
import { makePages, type MadePages, type PageOptions, type PageSong } from '../../src/pages/index.ts';
import type { Song } from '../../src/song.ts';
import { faces } from './fonts.ts';

export const USUAL: PageOptions = {
  kinds: ['sticks'],
  paper: 'a4',
  landscape: false,
  margins: { topMm: 15, rightMm: 15, bottomMm: 12, leftMm: 15 },
  wordSizeMm: null,
  title: null,
  className: null,
  date: null,
  language: 'en',
  hide: { part: null, bars: null, every: null, seed: 1 },
  versions: 1,
  letters: false,
  staff: false,
};

let started: Promise<Engraver> | null = null;

/** The engraver, started once for the tests of a file. */
export function engraver(): Promise<Engraver> {
  return (started ??= openEngraver());
}

export function make(songs: readonly (Song | PageSong)[], change: Partial<PageOptions>): Promise<MadePages> {
  const all = songs.map((each, i): PageSong =>
    'song' in each ? each : { song: each, rhyme: each.title, name: `song-${String(i + 1)}`, source: null },
  );
  return makePages(all, { ...USUAL, ...change }, { faces, engraver, writeMusicXml });
}
