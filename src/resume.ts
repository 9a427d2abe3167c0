/**
 * Songs that are there already -> songs: read from whatever form they come in, what is still open in them set anew,
 * and sung from another do or at another tempo. Beside `compose.ts`, which begins with a rhyme. Each reader is loaded
 * only when its form comes.
 */
import type { Composition, Origin } from './compose.ts';
import { divideText, readEntries } from './front-matter.ts';
import { readPitch, toneStep, type Tone } from './pitch.ts';
import { failed, made, type Outcome, type Problem, type ProblemCode } from './problem.ts';
import { finishDraft, type SongDraft } from './read/draft.ts';
import { formOf } from './read/form.ts';
import type { OpenTones } from './read/score.ts';
import type { RhythmNames } from './rhythm-names.ts';
import type { Rung } from './rung.ts';
import { chooseKey, rangeProblems } from './setting/keys.ts';
import { rungAround } from './setting/kept-tones.ts';
import { givenTones, rhythmOf, setOpenTones } from './setting/open-song.ts';
import { findRung, lowestRungFor } from './setting/rungs.ts';
import { makeSong, type Song } from './song.ts';
import { nearest } from './suggest.ts';
import { songAtTempo, songFromDo } from './transpose.ts';
import type { Span } from './verse.ts';
import { inWords, USUAL_LADDER, type Wishes } from './wishes.ts';

/**
 * Read the songs of a text that is a score (or several, one after the other), JSON (one song a line), MusicXML or
 * tonic sol-fa letters. Tones may be open (`?`) in scores and JSON.
 *
 * `families` are rhythm names beyond the built-in ones, for scores that are written with them; with `refused` an open tone in
 * a score is a fault with its place. Problems: those of the
 * reader, with their spans in the text as typed; `not-a-song` for a rhyme.
 */
export async function readDrafts(
  text: string,
  families: readonly RhythmNames[] = [],
  openTones: OpenTones = 'kept',
): Promise<Outcome<readonly SongDraft[]>> {
  switch (formOf(text)) {
    case 'json': {
      const { readSongDraftJson, songLines } = await import('./read/song-json.ts');
      return together(songLines(text), (line) => readSongDraftJson(line.text));
    }
    case 'musicxml': {
      const { readMusicXml } = await import('./read/musicxml.ts');
      return together([{ text, offset: 0 }], (file) => readMusicXml(file.text));
    }
    case 'tonic-solfa': {
      const { readTonicSolfa } = await import('./read/tonic-solfa.ts');
      return together([{ text, offset: 0 }], (file) => readTonicSolfa(file.text));
    }
    case 'score': {
      const pieces = scoresOf(text);
      const read = await Promise.all(pieces.map((piece) => readScoreFile(piece.text, families, openTones)));
      const stray = strayText(text, pieces[0]?.offset ?? 0);
      return stray === null ? together(pieces, (_, i) => read[i] ?? failed()) : failed(stray);
    }
    case 'rhyme':
      return failed({
        code: 'not-a-song',
        severity: 'error',
        message: 'This is a rhyme, not a song yet.',
        hint: 'Sing it first: chantwright sing. Songs are scores, song JSON, MusicXML and tonic sol-fa letters.',
      });
  }
}

/** One score with its settings. Problems: `front-matter` and those of `readScore`. */
export async function readScoreFile(
  text: string,
  families: readonly RhythmNames[] = [],
  openTones: OpenTones = 'kept',
): Promise<Outcome<SongDraft>> {
  const divided = divideText(text);
  if (!divided.ok) return divided;
  const { matter, start, body, offset } = divided.value;
  const entries = await readEntries(matter ?? '', start);
  if (!entries.ok) return entries;
  const values: Record<string, unknown> = {};
  const spans: Record<string, Span> = {};
  for (const { name, nameSpan, value } of entries.value) {
    // as typed, so that a title 007 stays one
    values[name] = value?.entries === null && value.plain !== null ? value.text : (value?.plain ?? null);
    spans[name] = value?.span ?? nameSpan;
  }
  const { readScoreDraft } = await import('./read/score.ts');
  return readScoreDraft({ values, spans, body, offset }, families, openTones);
}

/** A text inside another. */
interface Piece {
  readonly text: string;
  readonly offset: number;
}

/** The scores of a text: each begins with its settings; titles between them are comments. */
function scoresOf(text: string): readonly Piece[] {
  const opening =
    /^\uFEFF?---[ \t]*(?:\r\n|\n|\r)(?=(?:(?!---)[^\r\n]*(?:\r\n|\n|\r))*?["']?score["']?[ \t]*:)/gm;
  const starts = [...text.matchAll(opening)].map((match) => match.index);
  return starts.map((offset, i) => ({ text: text.slice(offset, starts[i + 1]), offset }));
}

/** Text that is no comment in front of the first score. */
function strayText(text: string, end: number): Problem | null {
  const line = /^\uFEFF?[ \t]*[^\s#\uFEFF].*$/m.exec(text.slice(0, end));
  if (line === null) return null;
  return {
    code: 'not-a-score',
    severity: 'error',
    message: 'This stands in front of the settings of the score and belongs to none.',
    span: { start: line.index, end: line.index + line[0].length },
    hint: 'A score begins with a line of ---. A remark begins with #.',
  };
}

/** All songs or none; spans moved to where each text lies, and named by the text's beginning where there are several. */
function together(
  pieces: readonly Piece[],
  read: (piece: Piece, i: number) => Outcome<SongDraft>,
): Outcome<readonly SongDraft[]> {
  const outcomes = pieces.map((piece, i) => {
    const outcome = read(piece, i);
    const problems = outcome.problems.map((problem) => moved(problem, piece, pieces.length > 1));
    return { ...outcome, problems };
  });
  const problems = outcomes.flatMap((outcome) => outcome.problems);
  const drafts = outcomes.flatMap((outcome) => (outcome.ok ? [outcome.value] : []));
  return drafts.length < pieces.length || drafts.length === 0 ? failed(...problems) : made(drafts, problems);
}

function moved(problem: Problem, { offset }: Piece, several: boolean): Problem {
  const span = problem.span ?? (several ? { start: 0, end: 1 } : undefined);
  return span === undefined
    ? problem
    : { ...problem, span: { start: span.start + offset, end: span.end + offset } };
}

/** Whether some tone of the draft is still to be set. */
export function isOpen(draft: SongDraft): boolean {
  return draft.phrases.some((phrase) => phrase.notes.some((note) => note.tone === '?'));
}

/**
 * A draft as songs: open tones set anew around all others, which stay to the tick; on its own rung, with its own seed
 * and take, unless others are asked for. A draft without open tones is one song. Then do, tempo and class as asked.
 *
 * Problems: those of `setOpenTones` and `songAsAsked`, `unknown-rung`; `unused-wish` (warning) for each wish that a song
 * cannot grant.
 */
export function completeDraft(draft: SongDraft, asked: Wishes): Outcome<Composition> {
  const unused = unusedWishes(asked, isOpen(draft));
  if (!isOpen(draft)) {
    const song = finishDraft(draft);
    const sung = song.ok ? songAsAsked(song.value, asked) : song;
    if (!sung.ok) return sung;
    return made({ songs: [sung.value], origins: [], written: {}, asked: 1 }, [...unused, ...sung.problems]);
  }
  const rungs = asked.rung ?? rungOf(draft, asked);
  if ('code' in rungs) return failed(rungs);
  const takes = asked.take ?? { first: draft.take, last: draft.take };
  const songs: Song[] = [];
  const origins: Origin[] = [];
  const problems: Problem[] = [...unused];
  for (const rung of rungs) {
    for (let take = takes.first; take <= takes.last; take++) {
      const melody = {
        rung: rungAround(rung, draft),
        do: asked.do ?? readPitch(draft.do),
        tempoBpm: asked.tempo ?? draft.tempoBpm,
        seed: asked.seed ?? draft.seed,
        take,
        slur: false,
        voice: asked.age ?? null,
        family: null,
        forCanon: asked.canon ?? null,
      };
      const outcome = setOpenTones(draft, melody);
      problems.push(...outcome.problems.filter((problem) => concerns(problem, draft)));
      if (!outcome.ok) break;
      songs.push(labelledAs(draft, outcome.value));
      origins.push({ rhythm: rhythmOf(draft), melody: { ...melody, fixed: givenTones(draft) } });
    }
  }
  if (songs.length === 0) return failed(...problems);
  return made(
    { songs, origins, written: {}, asked: rungs.length * (takes.last - takes.first + 1) },
    problems,
  );
}

/** The rung that a draft names, or the lowest that has its tones when it is nobody's. */
function rungOf(draft: SongDraft, { ladder = USUAL_LADDER }: Wishes): readonly Rung[] | Problem {
  const named = findRung(draft.rung, ladder.tones);
  if (named !== null) return [named];
  const lowest = lowestRungFor(draft.tones.split(' ') as Tone[], ladder.tones);
  if (draft.rung === 'own' && lowest !== null) return [lowest];
  const names = ladder.tones.map((rung) => rung.name);
  const near = nearest(draft.rung, names);
  return {
    code: 'unknown-rung',
    severity: 'error',
    message: `The open tones need a rung, and there is no rung "${draft.rung}". Rungs are ${inWords(names)}.`,
    hint: near === null ? 'Name one: --rung so-mi-la' : `Did you mean ${near}? Say --rung ${near}.`,
  };
}

/** Forms and cadences as the draft has them; those that it leaves open, as the new tune has them. */
function labelledAs(draft: SongDraft, song: Song): Song {
  const phrases = song.phrases.map((phrase, i) => {
    const { form = '', cadence = phrase.cadence } = draft.phrases[i] ?? {};
    return form === '' ? phrase : { ...phrase, form, cadence };
  });
  const problems = draft.problems.filter(({ code }) => !ABOUT_TUNES.includes(code));
  const news = song.problems.filter((problem) => concerns(problem, draft));
  return makeSong({ ...song, phrases, problems: [...problems, ...news] });
}

/** That the tones of a line are as they were goes without saying where none was open. */
function concerns({ code, line }: Problem, draft: SongDraft): boolean {
  const phrase = draft.phrases.find((each) => each.line === line);
  return code !== 'given-tones' || phrase === undefined || phrase.notes.some((note) => note.tone === '?');
}

/** What was said of the tune before, which is another one now. */
const ABOUT_TUNES: readonly ProblemCode[] = ['out-of-range', 'new-tone-missing', 'few-takes', 'given-tones'];

/**
 * The song from the do, at the tempo and for the class asked for; its tones stay. Do is obeyed, but no tune goes below
 * A3: then it is raised, and a warning says so. Problem: `out-of-range` (warning).
 */
export function songAsAsked(song: Song, asked: Pick<Wishes, 'do' | 'tempo' | 'age'>): Outcome<Song> {
  const { tempo, age = null } = asked;
  const doPitch = asked.do ?? null;
  const timed = tempo === undefined ? song : songAtTempo(song, tempo);
  if (doPitch === null && age === null) return made(timed);
  const tones = tonesOf(song);
  const rung = findRung(song.rung) ?? USUAL_LADDER.tones[0];
  const own = readPitch(song.do);
  if (rung === undefined || own === null) throw new RangeError(`${song.title} has no do.`);
  const key =
    doPitch === null
      ? { do: own, problems: rangeProblems(tones, own, age) }
      : chooseKey(rung, tones, { do: doPitch, voice: age });
  const kept = song.problems.filter((problem) => problem.code !== 'out-of-range');
  const moved = doPitch === null ? timed : songFromDo(timed, key.do);
  return made(makeSong({ ...moved, problems: [...kept, ...key.problems] }), key.problems);
}

/** The tones that a song sings, from low to high. */
function tonesOf(song: Song): readonly Tone[] {
  const tones = new Set(song.phrases.flatMap((phrase) => phrase.notes.flatMap((note) => note.tone ?? [])));
  return [...tones].sort((a, b) => toneStep(a) - toneStep(b));
}

/** What a rhyme is asked for and a song has already. */
function unusedWishes(asked: Wishes, open: boolean): readonly Problem[] {
  const concerns = { metre: 'metre', beats: 'beats', rhythms: 'rhythms', slur: 'slurs' } as const;
  const tuned = open ? {} : ({ rung: 'tones', take: 'tones', canon: 'tones' } as const);
  return Object.entries({ ...concerns, ...tuned }).flatMap(([name, what]): readonly Problem[] => {
    if (asked[name as keyof typeof concerns | 'rung' | 'take' | 'canon'] === undefined) return [];
    const flag = { slur: '--no-slur', canon: '--for-canon' }[name] ?? `--${name}`;
    const message = `${flag} is for rhymes: this is a song that has its ${what} already, so it is left as it is.`;
    const hint =
      what === 'tones' ? 'Write ? in place of the tones that are to be set anew, and sing it.' : undefined;
    return [{ code: 'unused-wish', severity: 'warning', message, ...(hint === undefined ? {} : { hint }) }];
  });
}
