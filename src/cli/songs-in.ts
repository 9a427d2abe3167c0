/**
 * A text as songs: a rhyme is sung first; JSON and MusicXML hold songs already.
 */
import {
  andThen,
  compose,
  failed,
  made,
  readMusicXml,
  readRhymeFile,
  readSongJson,
  songLines,
  type Lexicon,
  type Outcome,
  type Problem,
  type Song,
  type Wishes,
} from '../index.ts';

export interface SongsIn {
  readonly songs: readonly Song[];
  /** Songs that were asked for and could not be made. */
  readonly missing: number;
  /** Where the rhyme comes from, as its file says; null when it does not. */
  readonly source: string | null;
}

/** The songs of a text; what is asked for concerns rhymes only. The lexicon is opened when a rhyme comes. */
export async function songsIn(
  text: string,
  lexicon: () => Lexicon,
  asked: Wishes,
): Promise<Outcome<SongsIn>> {
  const start = text.replace(/^\uFEFF/, '').trimStart();
  if (start.startsWith('{')) return songsOfJson(text);
  if (start.startsWith('<')) return andThen(readMusicXml(text), (song) => made(finished([song])));
  const composed = await compose(text, lexicon(), asked);
  if (!composed.ok) return composed;
  const file = await readRhymeFile(text);
  const source = (file.ok ? file.value.wishes.source : undefined) ?? null;
  const { songs, asked: wanted } = composed.value;
  return made({ songs, missing: wanted - songs.length, source }, composed.problems);
}

/** One song a line, as `sing --to json` writes them. */
function songsOfJson(text: string): Outcome<SongsIn> {
  const songs: Song[] = [];
  const problems: Problem[] = [];
  for (const line of songLines(text)) {
    const read = readSongJson(line.text);
    problems.push(...read.problems.map((problem) => movedBy(problem, line.offset)));
    if (!read.ok) return failed(...problems);
    songs.push(read.value);
  }
  return made(finished(songs), problems);
}

function movedBy(problem: Problem, offset: number): Problem {
  const { span } = problem;
  if (span === undefined) return problem;
  return { ...problem, span: { start: span.start + offset, end: span.end + offset } };
}

function finished(songs: readonly Song[]): SongsIn {
  return { songs, missing: 0, source: null };
}
