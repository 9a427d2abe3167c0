/**
 * Songs -> pages for the board, the desk and the wall. Which pages come together in which file is decided here; how each
 * looks, in the file of its kind.
 */
import { layBeats } from './beats-page.ts';
import {
  dictationChooser,
  fillChooser,
  hiddenWords,
  saysOneOf,
  type Blanks,
  type HideWishes,
} from './blanks.ts';
import { bind, type Chapter } from './booklet.ts';
import type { Engraver } from './engraver.ts';
import { setterOf, type Faces, type Setter } from './faces.ts';
import { layFamily } from './family-page.ts';
import { layFill } from './fill-page.ts';
import { layHeights } from './heights-page.ts';
import { layLadder } from './ladder-page.ts';
import type { Margins, Page, PageSet } from './page.ts';
import { PAPER_SIZES, type PaperSize, type Sheet } from './sheet.ts';
import { laySong } from './song-page.ts';
import { laySticks } from './sticks-page.ts';
import { layWords } from './words-page.ts';
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

/**
 * Make all pages asked for.
 *
 * One song gives a file for each kind of page; several give one booklet with contents, called `booklet`, in which the
 * rungs of a rhyme share their beats and words pages. Pages to fill
 * in always have files of their own, one for each sheet, and one for the key, so that no answer stands in a file that
 * goes to pupils.
 *
 * Problems: `few-versions` (note), `nothing-to-hide` (error: that page was not made), `missing-letter` (warning).
 */
export async function makePages(
  songs: readonly PageSong[],
  options: PageOptions,
  tools: PageTools,
): Promise<MadePages> {
  const sheet = sheetOf(options, setterOf(tools.faces));
  const problems: Problem[] = [...missingLetters(songs, options, sheet.setter)];
  const documents: PageDocument[] = [];
  const shown = PAGE_KINDS.filter(
    (kind) => kind !== 'fill' && kind !== 'dictation' && options.kinds.includes(kind),
  );
  const only = songs.length === 1 ? songs[0] : undefined;
  if (only !== undefined) {
    for (const kind of shown) {
      const chapter = await chapterOf(only, [kind], { songs, options, tools, sheet });
      const set = bind(sheet, [chapter], {
        title: chapter.title,
        language: options.language,
        contents: false,
      });
      documents.push({ name: `${only.name}.${kind}`, set });
    }
  } else if (shown.length > 0 && songs.length > 0) {
    const chapters: Chapter[] = [];
    for (const each of songs) chapters.push(await chapterOf(each, shown, { songs, options, tools, sheet }));
    const binding = { title: options.title ?? 'Songs', language: options.language, contents: true };
    documents.push({ name: 'booklet', set: bind(sheet, chapters, binding) });
  }
  for (const each of songs) {
    for (const kind of ['fill', 'dictation'] as const) {
      if (!options.kinds.includes(kind)) continue;
      const made = sheetsToFill(each, kind, { options, sheet, single: only !== undefined });
      documents.push(...made.documents);
      problems.push(...made.problems);
    }
  }
  return { documents, problems };
}

function sheetOf(options: PageOptions, setter: Setter): Sheet {
  const [width, height] = PAPER_SIZES[options.paper];
  const [widthMm, heightMm] = options.landscape ? [height, width] : [width, height];
  const { margins, wordSizeMm, className, date } = options;
  return { setter, widthMm, heightMm, margins, wordSizeMm, className, date };
}

interface Workshop {
  readonly songs: readonly PageSong[];
  readonly options: PageOptions;
  readonly tools: PageTools;
  readonly sheet: Sheet;
}

/** All pages of one song but those to fill in. The family page stands with the first song of its rhyme. */
async function chapterOf(each: PageSong, kinds: readonly PageKind[], workshop: Workshop): Promise<Chapter> {
  const { songs, options, tools, sheet } = workshop;
  const { song } = each;
  const title = (songs.length === 1 ? options.title : null) ?? song.title;
  const family = songs.filter((other) => other.rhyme === each.rhyme);
  const pages: Page[] = [];
  for (const kind of kinds) {
    if (kind === 'song') {
      const { writeMusicXml } = tools;
      const engraver = await tools.engraver();
      pages.push(...laySong(song, sheet, title, { engraver, writeMusicXml, letters: options.letters }));
    } else if (
      (kind === 'beats' || kind === 'words') &&
      family.some((other) => isEarlierTwin(other, each, songs))
    ) {
      // these pages know no tones: one serves all rungs of the rhyme
      continue;
    } else if (kind === 'sticks') pages.push(...laySticks(song, sheet, title));
    else if (kind === 'beats') pages.push(...layBeats(song, sheet, title));
    else if (kind === 'ladder') pages.push(...layLadder(song, sheet, title, { staff: options.staff }));
    else if (kind === 'words') pages.push(...layWords(song, sheet, title));
    else if (kind === 'heights') pages.push(...layHeights(song, sheet, title));
    else if (kind === 'family' && family[0] === each)
      pages.push(
        ...layFamily(
          family.map((other) => other.song),
          sheet,
          title,
        ),
      );
  }
  const remark = songs.some((other) => other !== each && other.song.title === song.title) ? song.rung : null;
  return { title, remark, source: each.source, pages };
}

/** True for a song that comes before and has the same words on the same beats. */
function isEarlierTwin(other: PageSong, each: PageSong, songs: readonly PageSong[]): boolean {
  return songs.indexOf(other) < songs.indexOf(each) && wordsOnBeats(other.song) === wordsOnBeats(each.song);
}

function wordsOnBeats({ title, upbeatTicks, metre, phrases }: Song): string {
  const words = phrases.map(({ notes }) =>
    notes.flatMap(({ onset, syllable }) => (syllable === null ? [] : [`${String(onset)} ${syllable.text}`])),
  );
  return JSON.stringify([title, upbeatTicks, metre, words]);
}

interface FillWorkshop {
  readonly options: PageOptions;
  readonly sheet: Sheet;
  /** True when there is one song, whose title may be given. */
  readonly single: boolean;
}

/** The pupil's sheets of one song, a file each, and a file with the answers to all of them. */
function sheetsToFill(each: PageSong, kind: 'fill' | 'dictation', workshop: FillWorkshop): MadePages {
  const { options, sheet } = workshop;
  const { song } = each;
  const versions = differentBlanks(song, kind, options);
  if (versions.length === 0) {
    const message = `Nothing of "${song.title}" can be hidden as asked, so there is no ${kind} page.`;
    return {
      documents: [],
      problems: [{ code: 'nothing-to-hide', severity: 'error', message, hint: HIDE_HINT }],
    };
  }
  const title = (workshop.single ? options.title : null) ?? song.title;
  const several = options.versions > 1;
  const dictation = kind === 'dictation';
  const chapter = (blanks: Blanks, index: number, answers: boolean): Chapter => {
    const version = several ? index + 1 : null;
    const hidden = hiddenWords(song, blanks);
    // what is hidden must not be read in the title or at the foot
    const safe = (text: string | null): string | null =>
      text === null || saysOneOf(text, hidden) ? null : text;
    const shownTitle = answers ? title : (safe(title) ?? 'Fill in');
    const pages = layFill(song, sheet, shownTitle, { blanks, answers, dictation, version });
    return { title: shownTitle, remark: null, source: answers ? each.source : safe(each.source), pages };
  };
  const binding = { language: options.language, contents: false };
  const sheets = versions.map((blanks, i): PageDocument => {
    const pupil = chapter(blanks, i, false);
    const name = `${each.name}.${kind}${several ? `-${String(i + 1)}` : ''}`;
    return { name, set: bind(sheet, [pupil], { ...binding, title: pupil.title }) };
  });
  const keys = versions.map((blanks, i) => chapter(blanks, i, true));
  const key = {
    name: `${each.name}.${kind}-key`,
    set: bind(sheet, keys, { ...binding, title: `${title}: answers` }),
  };
  const problems =
    versions.length < options.versions ? [fewVersions(song, versions.length, options.versions)] : [];
  return { documents: [...sheets, key], problems };
}

const HIDE_HINT = 'Bars count from 1. Try other bars, or hide another part: tones, rhythm or words.';
/** How often another seed is tried before no more different sheets are looked for. */
const TRIES = 200;

/** Blanks for each version, no two alike; fewer when there are not so many. */
function differentBlanks(song: Song, kind: 'fill' | 'dictation', options: PageOptions): readonly Blanks[] {
  const found = new Map<string, Blanks>();
  const places = new Map(song.phrases.flatMap((phrase) => phrase.notes).map((note, i) => [note, i]));
  const choose =
    kind === 'fill'
      ? fillChooser(song, options.hide)
      : dictationChooser(song, options.hide, options.versions > 1);
  for (let attempt = 0; attempt < TRIES && found.size < options.versions; attempt++) {
    const blanks = choose(options.hide.seed + 7919 * attempt);
    const key = [...blanks.notes].map((note) => places.get(note)).join(' ');
    if (blanks.notes.size > 0 && !found.has(key)) found.set(key, blanks);
  }
  return [...found.values()];
}

function fewVersions(song: Song, made: number, asked: number): Problem {
  const message = `"${song.title}" gives ${String(made)} different sheets; ${String(asked)} were asked for.`;
  return { code: 'few-versions', severity: 'note', message, hint: 'Hide fewer or other things to get more.' };
}

/** A warning for letters that no font has: they are printed as an empty box. */
function missingLetters(
  songs: readonly PageSong[],
  options: PageOptions,
  setter: Setter,
): readonly Problem[] {
  const own = [options.title, options.className, options.date];
  const texts = songs.flatMap(({ song, source }) => [
    song.title,
    source,
    ...song.phrases.map((phrase) => phrase.text),
  ]);
  const missing = new Set([...own, ...texts].flatMap((text) => (text === null ? [] : setter.missing(text))));
  if (missing.size === 0) return [];
  const message = `The fonts have no sign for ${[...missing].join(' ')}; an empty box is printed instead.`;
  return [{ code: 'missing-letter', severity: 'warning', message }];
}
