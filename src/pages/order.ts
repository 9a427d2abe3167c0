/**
 * What pages are ordered, what they are made with and what comes back: the words that `makePages` and its parts share.
 */
import type { HideWishes } from './blanks.ts';
import type { Engraver } from './engraver.ts';
import type { Faces } from './faces.ts';
import type { Margins, PageSet } from './page.ts';
import type { PaperSize } from './sheet.ts';
import type { Problem } from '../problem.ts';
import type { Song } from '../song.ts';

/** What pages there are, in the order in which they are bound. */
export const PAGE_KINDS = [
  'song',
  'sticks',
  'beats',
  'ladder',
  'words',
  'heights',
  'family',
  'fill',
  'dictation',
] as const;
export type PageKind = (typeof PAGE_KINDS)[number];

/** A song with what its pages are made for. */
export interface PageSong {
  readonly song: Song;
  /** Songs of one rhyme share it; the family page shows them together. */
  readonly rhyme: string;
  /** What a file of this song alone is called, less its kind: `bee.so-mi`. */
  readonly name: string;
  /** Where the rhyme comes from, printed at the foot; null for none. */
  readonly source: string | null;
}

export interface PageOptions {
  readonly kinds: readonly PageKind[];
  readonly paper: PaperSize;
  readonly landscape: boolean;
  readonly margins: Margins;
  /** Size of the words in millimetres; null: as large as suits the page. */
  readonly wordSizeMm: number | null;
  /** Of the booklet, or of the only song; null: the song's own. */
  readonly title: string | null;
  readonly className: string | null;
  readonly date: string | null;
  /** BCP 47 language of the words. */
  readonly language: string;
  readonly hide: HideWishes;
  /** How many different pupil's pages, 1 or more. */
  readonly versions: number;
  /** Solfa letters under the words of the song page. */
  readonly letters: boolean;
  /** A staff beside the ladder. */
  readonly staff: boolean;
}

/** What pages are made with; the command line brings it. */
export interface PageTools {
  readonly faces: Faces;
  /** Asked for with the first song page. */
  readonly engraver: () => Promise<Engraver>;
  readonly writeMusicXml: (song: Song) => string;
}

/** Pages that go into one file. */
export interface PageDocument {
  /** As the file is called, less its ending: `bee.so-mi.sticks`. */
  readonly name: string;
  readonly set: PageSet;
}

export interface MadePages {
  readonly documents: readonly PageDocument[];
  readonly problems: readonly Problem[];
}
