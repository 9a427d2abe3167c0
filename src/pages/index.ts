/**
 * Songs -> pages for the board, the desk and the wall. Which pages come together in which file is decided here; how each
 * looks, in the file of its kind.
 */
import { layBeats } from './beats-page.ts';
import { bind, type Chapter } from './booklet.ts';
import { setterOf, type Setter } from './faces.ts';
import { layFamily } from './family-page.ts';
import { sheetsToFill } from './fill-sheets.ts';
import { layHeights } from './heights-page.ts';
import { layLadder } from './ladder-page.ts';
import {
  PAGE_KINDS,
  type MadePages,
  type PageDocument,
  type PageKind,
  type PageOptions,
  type PageSong,
  type PageTools,
} from './order.ts';
import type { Page } from './page.ts';
import { PAPER_SIZES, type Sheet } from './sheet.ts';
import { laySong } from './song-page.ts';
import { laySticks } from './sticks-page.ts';
import { layWords } from './words-page.ts';
import type { Problem } from '../problem.ts';
import type { Song } from '../song.ts';

export { PAGE_KINDS };
export type { MadePages, PageDocument, PageKind, PageOptions, PageSong, PageTools };

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
