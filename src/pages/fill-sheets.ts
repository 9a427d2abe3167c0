/**
 * Sheets to fill in and their key, each in a file of its own: no two sheets alike, and nothing that is hidden to be read
 * in a title or at the foot.
 */
import { dictationChooser, fillChooser, hiddenWords, saysOneOf, type Blanks } from './blanks.ts';
import { bind, type Chapter } from './booklet.ts';
import { layFill } from './fill-page.ts';
import type { MadePages, PageDocument, PageOptions, PageSong } from './order.ts';
import type { Sheet } from './sheet.ts';
import type { Problem } from '../problem.ts';
import type { Song } from '../song.ts';

export interface FillWorkshop {
  readonly options: PageOptions;
  readonly sheet: Sheet;
  /** True when there is one song, whose title may be given. */
  readonly single: boolean;
}

/** The pupil's sheets of one song, a file each, and a file with the answers to all of them. */
export function sheetsToFill(each: PageSong, kind: 'fill' | 'dictation', workshop: FillWorkshop): MadePages {
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
