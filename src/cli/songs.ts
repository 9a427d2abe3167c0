/**
 * A text as songs, for every command that takes a SONG: a rhyme is sung first; scores, JSON, MusicXML and tonic sol-fa
 * letters hold songs already, which are sung from the do and at the tempo asked for.
 */
import {
  andThen,
  completeDraft,
  compose,
  failed,
  formOf,
  made,
  openLexicon,
  readDrafts,
  type Lexicon,
  type Origin,
  type Outcome,
  type Problem,
  type RhythmNames,
  type Song,
  type Wishes,
} from '../index.ts';
import type { Given } from './command.ts';
import type { Input, Wanted } from './inputs.ts';
import type { Io } from './io.ts';
import { fileNames, nameGiver } from './names.ts';
import type { Reporter } from './report.ts';
import { eachText } from './work.ts';

export interface SongsIn {
  readonly songs: readonly Song[];
  /** How the songs were made, in the same order; empty for songs that were there already. */
  readonly origins: readonly Origin[];
  /** Songs that were asked for and could not be made. */
  readonly missing: number;
  /** What a rhyme says at its top; a song says nothing. */
  readonly written: Wishes;
  readonly isRhyme: boolean;
}

export interface ReaderOptions {
  /** What is asked for; `songWishes` where songs that are there already are asked for less. */
  readonly wishes: Wishes;
  readonly songWishes?: Wishes;
  /** Rhythm names of the teacher's own that scores may be written with. */
  readonly families?: readonly RhythmNames[];
  /** Whether open tones are set; else they are a fault. */
  readonly setsTones?: boolean;
  /** False where only songs are taken. */
  readonly singsRhymes?: boolean;
}

export type SongReader = (text: string) => Promise<Outcome<SongsIn>>;

/** A reader of songs; the pronunciations are opened when the first rhyme comes. */
export function openSongReader(io: Io, options: ReaderOptions): SongReader {
  const { wishes, songWishes = wishes, families = [], setsTones = false, singsRhymes = true } = options;
  let lexicon: Lexicon | null = null;
  return async (text) => {
    if (singsRhymes && formOf(text) === 'rhyme') {
      lexicon ??= openLexicon(io.shipped('pronunciations.bin'));
      return sungRhyme(text, lexicon, wishes);
    }
    const drafts = await readDrafts(text, families, setsTones ? 'kept' : 'refused');
    return andThen(drafts, (all) => {
      const done = all.map((draft) => completeDraft(draft, songWishes));
      const problems = done.flatMap((outcome) => outcome.problems);
      const compositions = done.flatMap((outcome) => (outcome.ok ? [outcome.value] : []));
      const songs = compositions.flatMap((composition) => composition.songs);
      if (songs.length === 0) return failed(...problems);
      const asked = compositions.reduce((sum, composition) => sum + composition.asked, 0);
      const missing = asked - songs.length + done.length - compositions.length;
      const origins = compositions.flatMap((composition) => composition.origins);
      return made({ songs, origins, missing, written: {}, isRhyme: false }, problems);
    });
  };
}

async function sungRhyme(text: string, lexicon: Lexicon, wishes: Wishes): Promise<Outcome<SongsIn>> {
  const composed = await compose(text, lexicon, wishes);
  if (!composed.ok) return composed;
  const { songs, origins, asked, written } = composed.value;
  return made({ songs, origins, missing: asked - songs.length, written, isRhyme: true }, composed.problems);
}

/** A song with what its files are called. */
export interface NamedSong {
  readonly song: Song;
  /** Without the form's ending. */
  readonly fileName: string;
  /** The same for all songs of one rhyme. */
  readonly stem: string;
  /** Where the rhyme comes from, as its file says; null when it does not. */
  readonly source: string | null;
}

/** Gives the songs of each input names of their own. */
export function openNamer(): (read: SongsIn, input: Input) => readonly NamedSong[] {
  const ownName = nameGiver();
  return ({ songs, isRhyme, written }, input) =>
    fileNames(songs, { stem: input.stem, isRhyme }, ownName).map(({ fileName, stem }, i) => {
      const song = songs[i];
      if (song === undefined) throw new RangeError('Each name has its song.');
      return { song, fileName, stem, source: written.source ?? null };
    });
}

export interface SongsRead {
  readonly songs: readonly NamedSong[];
  /** Songs asked for that could not be made, and bad files of a folder. */
  readonly missing: number;
  /** True when an input named on the command line is no good. */
  readonly unreadable: boolean;
}

/** The songs of all inputs, for commands that need them together. */
export async function readAllSongs(
  given: Given,
  io: Io,
  reporter: Reporter,
  by: { readonly read: SongReader; readonly wanted: Wanted },
): Promise<SongsRead> {
  const songs: NamedSong[] = [];
  const nameAll = openNamer();
  let bad = 0;
  let missing = 0;
  let unreadable = false;
  const { lost } = await eachText(given, io, reporter, by.wanted, async (text, input) => {
    const outcome = text.ok ? await by.read(text.value) : text;
    const problems: readonly Problem[] = outcome.problems;
    reporter.report(problems, { name: input.name, text: text.ok ? text.value : null });
    if (outcome.ok) {
      missing += outcome.value.missing;
      songs.push(...nameAll(outcome.value, input));
    } else if (input.named) unreadable = true;
    else bad += 1;
    return 'go on';
  });
  return { songs, missing: missing + bad, unreadable: unreadable || lost > 0 };
}
