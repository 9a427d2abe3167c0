/**
 * `parts`: songs -> the same songs with a drone, an ostinato, canon voices, a partner song or a second voice.
 */
import {
  addPartner,
  addParts,
  failed,
  loadMp3Writer,
  made,
  makeLesson,
  PART_FORMATS,
  readPartWishes,
  readPlan,
  reportPartners,
  reportParts,
  wavPieces,
  type Lesson,
  type Mp3Writer,
  type Outcome,
  type PartWish,
  type Problem,
  type Song,
  type SongWithParts,
} from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import type { Content } from '../files.ts';
import { RHYMES } from '../inputs.ts';
import { missingPackages } from '../installed.ts';
import type { Io } from '../io.ts';
import { chooseForms, type Form, type Outlet } from '../outputs.ts';
import { INPUT_FLAGS, OUT_FLAG, PLACING_FLAGS, prepare, SINGING_FLAGS } from '../prepare.ts';
import { COMMAND_LINE, openReporter, usageProblem, type ExitCode } from '../report.ts';
import { openSongReader, readAllSongs, type NamedSong } from '../songs.ts';

export const PARTS: CliCommand = {
  usage: '[inputs...]',
  about:
    'Put a part beside a song. Inputs are rhymes (sung first, as by sing), scores, songs as JSON, MusicXML or tonic sol-fa, folders of rhymes, ' +
    'or - for standard input. With partner, the first song is written with the one of the others that fits it best; the ' +
    'form report tells what was tried, and of a folder which songs go together.',
  flags: [
    {
      flags: '--with <parts>',
      about:
        'drone (drone:chord, drone:broken, drone:level, drone:crossover), ostinato, canon (canon:3 for three voices), ' +
        'partner, second; drone, ostinato and second also together, with commas (default: drone)',
    },
    { flags: '--entry <beats>', about: 'canon: beats from one voice to the next (default: the best)' },
    {
      flags: '--to <forms>',
      about: 'score, json, midi, musicxml, wav, mp3, report; with commas (default: score)',
    },
    OUT_FLAG,
    ...SINGING_FLAGS,
    ...PLACING_FLAGS,
    ...INPUT_FLAGS,
  ],
  examples: [
    'chantwright parts examples/goose-in-the-basket.txt --with drone:broken',
    'chantwright parts examples/goose-in-the-basket.txt --rung do-pentatonic --with canon --to report',
    'chantwright parts examples --rung so-mi-la --with partner --to report',
  ],
  act: parts,
};

const FORMS: readonly Form[] = [
  ...Object.entries(PART_FORMATS).map(([name, { kind, extension, mediaType }]) => ({
    name,
    kind,
    extension,
    mediaType,
  })),
  { name: 'wav', kind: 'binary', extension: 'wav', mediaType: 'audio/wav' },
  { name: 'mp3', kind: 'binary', extension: 'mp3', mediaType: 'audio/mpeg' },
  { name: 'report', kind: 'text', extension: 'report.txt', mediaType: 'text/plain' },
];

/** Writes in one form; the report needs no part to have been made. */
interface Writer {
  readonly form: Form;
  readonly write: ((song: SongWithParts) => Content) | null;
}

interface PartsAsked {
  readonly wishes: readonly PartWish[];
  /** Name of the parts in file names: `drone-second`. */
  readonly name: string;
  readonly entry: number | null;
}

async function parts(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = await prepare(given, io, reporter, (to) => chooseForms(to ?? 'score', FORMS));
  if (setup === null) return 2;
  const { forms, outlet } = setup;
  const asked = partsAsked(given.flags);
  const writers = asked.ok ? await loadWriters(forms) : asked;
  if (!asked.ok || !writers.ok) {
    reporter.report(writers.problems, COMMAND_LINE);
    return 2;
  }
  const reader = openSongReader(io, { wishes: setup.wishes });
  const read = await readAllSongs(given, io, reporter, { read: reader, wanted: RHYMES });
  if (read.songs.length === 0) return 2;
  const whole = asked.value.wishes.some((wish) => wish.kind === 'partner')
    ? pairUp(read.songs, asked.value, writers.value)
    : eachAlone(read.songs, asked.value, writers.value);
  reporter.report(whole.problems, COMMAND_LINE);
  if (whole.problems.some((problem) => problem.code === 'bad-usage')) return 2;
  const refused = whole.pieces.flatMap((piece) => outlet.put(piece) ?? []);
  reporter.report(refused, COMMAND_LINE);
  if (refused.some((problem) => problem.code === 'bad-usage')) return 2;
  outlet.finish();
  if (read.unreadable) return 2;
  const missed = whole.problems.some((problem) => problem.severity === 'error');
  return missed || refused.length > 0 || read.missing > 0 ? 1 : 0;
}

/** What there is to hand over, and what was not made or changed. */
interface Made {
  readonly pieces: readonly Parameters<Outlet['put']>[0][];
  readonly problems: readonly Problem[];
}

function eachAlone(songs: readonly NamedSong[], asked: PartsAsked, writers: readonly Writer[]): Made {
  const pieces: Made['pieces'][number][] = [];
  const problems: Problem[] = [];
  for (const { song, fileName } of songs) {
    const added = addParts(song, asked.wishes, asked.entry);
    problems.push(...added.problems.map((problem) => about(song, problem)));
    const report = (): string => reportParts(song, asked.wishes);
    pieces.push(...piecesOf(added, report, writers, song, `${fileName}.${asked.name}`));
  }
  return { pieces, problems };
}

/** The first song with the best partner among the others; the report is about all of them. */
function pairUp(songs: readonly NamedSong[], asked: PartsAsked, writers: readonly Writer[]): Made {
  const all = songs.map(({ song }) => song);
  const [first, ...others] = songs;
  const onlyReport = writers.every(({ write }) => write === null);
  if (first === undefined || (others.length === 0 && !onlyReport)) {
    const message = 'A partner needs two songs: name the song, then another one or a folder of them.';
    return { pieces: [], problems: [usageProblem(message)] };
  }
  const report = (): string => reportPartners(all);
  const tried = onlyReport ? [] : others.map(({ song }) => addPartner(first.song, song));
  const best = tried.reduce<Outcome<SongWithParts> | null>((kept, next) => better(kept, next), null);
  const added = best ?? failed();
  const pieces = piecesOf(added, report, writers, first.song, `${first.fileName}.${asked.name}`);
  return { pieces, problems: added.problems.map((problem) => about(first.song, problem)) };
}

/** Of two, the one that was made and rubs less; of equals the first. */
function better(kept: Outcome<SongWithParts> | null, next: Outcome<SongWithParts>): Outcome<SongWithParts> {
  if (kept === null) return next;
  if (!next.ok || !kept.ok) return kept.ok || !next.ok ? kept : next;
  return next.problems.length < kept.problems.length ? next : kept;
}

function piecesOf(
  added: Outcome<SongWithParts>,
  report: () => string,
  writers: readonly Writer[],
  song: Song,
  fileName: string,
): readonly Made['pieces'][number][] {
  const heading = `${song.title}: ${song.rung}`;
  return writers.flatMap(({ form, write }) => {
    if (write === null) return [{ form, data: report(), heading, fileName }];
    return added.ok ? [{ form, data: write(added.value), heading, fileName }] : [];
  });
}

/** A problem with the name of its song before it, since many songs may be worked on at once. */
function about(song: Song, problem: Problem): Problem {
  return { ...problem, message: `${song.title} (${song.rung}): ${problem.message}` };
}

function partsAsked(flags: Given['flags']): Outcome<PartsAsked> {
  const { with: typed, entry: beats } = flags;
  const text = typeof typed === 'string' ? typed : 'drone';
  const wishes = readPartWishes(text);
  if (!wishes.ok) return wishes;
  const name = wishes.value.map((wish) => wish.kind).join('-');
  if (typeof beats !== 'string') return made({ wishes: wishes.value, name, entry: null });
  if (!/^[1-9]\d{0,3}$/.test(beats)) {
    return failed(usageProblem(`--entry ${beats}: here goes a number of beats from 1 on.`));
  }
  if (!wishes.value.some((wish) => wish.kind === 'canon')) {
    return failed(usageProblem(`--entry ${beats} concerns a canon.`, 'Take --with canon.'));
  }
  return made({ wishes: wishes.value, name, entry: Number(beats) });
}

async function loadWriters(forms: readonly Form[]): Promise<Outcome<readonly Writer[]>> {
  const writers: Writer[] = [];
  for (const form of forms) {
    const format = Object.entries(PART_FORMATS).find(([name]) => name === form.name)?.[1];
    if (format !== undefined) writers.push({ form, write: await format.load() });
    if (form.name === 'report') writers.push({ form, write: null });
    if (form.name === 'wav')
      writers.push({ form, write: (whole) => wavPieces(lessonOf(whole), { sides: 'apart' }) });
    if (form.name !== 'mp3') continue;
    const write: Mp3Writer | null = await loadMp3Writer();
    if (write === null) return failed(missingPackages('MP3 files', ['wasm-media-encoders@0.7.0']));
    writers.push({ form, write: (whole) => write(lessonOf(whole), { sides: 'apart' }) });
  }
  return made(writers);
}

/** Once through with tuning and count-in, the song on the left, its parts on the right. */
function lessonOf({ song, parts }: SongWithParts): Lesson {
  const plan = readPlan({ plan: 'parts', steps: ['sing-together'] });
  const lesson = plan.ok ? makeLesson(song, plan.value, parts) : plan;
  if (!lesson.ok) throw new RangeError('A song with parts can be sung together.');
  return lesson.value;
}
