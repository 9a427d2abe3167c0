/**
 * `practice`: songs -> recordings to echo and sing with, and the leader's page that goes with them.
 */
import {
  addParts,
  failed,
  lessonsByStep,
  loadLessonMidi,
  loadMp3Writer,
  made,
  makeLesson,
  readPartWishes,
  wavPieces,
  writeLeaderPage,
  type Lesson,
  type Outcome,
  type Part,
  type PartWish,
  type Problem,
  type Song,
  type SoundOptions,
} from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import type { Content } from '../files.ts';
import { missingPackages } from '../installed.ts';
import type { Io } from '../io.ts';
import { safeStem } from '../names.ts';
import { chooseForms, type Form, type Outlet } from '../outputs.ts';
import { planWanted, PRACTICE_FLAGS } from '../practice-flags.ts';
import { INPUT_FLAGS, OUT_FLAG, PLACING_FLAGS, prepare, SINGING_FLAGS } from '../prepare.ts';
import { COMMAND_LINE, openReporter, usageProblem, type ExitCode } from '../report.ts';
import { openNamer, openSongReader } from '../songs.ts';
import { workThrough, type Work } from '../work.ts';

export const PRACTICE: CliCommand = {
  usage: '[inputs...]',
  about:
    'Make practice recordings of songs: listen, echo by phrase and by two, sing together, from memory, inside the head. ' +
    'Inputs are rhymes (sung first, as by sing), scores, songs as JSON, MusicXML or tonic sol-fa, folders of rhymes, or - for standard input. ' +
    "The form text is the leader's page; it tells bar and time of everything that sounds.",
  flags: [
    ...PRACTICE_FLAGS,
    {
      flags: '--with <parts>',
      about: 'parts to sing with: drone, drone:broken, ostinato, second; with commas',
    },
    { flags: '--by-step', about: 'a recording of its own for each step' },
    { flags: '--apart', about: 'two channels: the leader left, added parts right, the beat on both' },
    { flags: '--to <forms>', about: 'text, midi, wav, mp3; several with commas (default: text)' },
    OUT_FLAG,
    ...SINGING_FLAGS,
    ...PLACING_FLAGS,
    ...INPUT_FLAGS,
  ],
  examples: [
    'chantwright practice examples/goose-in-the-basket.txt --rung so-mi-la --plan echo',
    'chantwright practice examples/goose-in-the-basket.txt --plan learn --to text,wav,midi --out practice',
    'chantwright practice examples/goose-in-the-basket.txt --steps listen:2,sing-by-phrase --tempo 100 --to wav > echo.wav',
  ],
  act: practice,
};

const FORMS: readonly Form[] = [
  { name: 'text', kind: 'text', extension: 'leader.txt', mediaType: 'text/plain' },
  { name: 'midi', kind: 'binary', extension: 'mid', mediaType: 'audio/midi' },
  { name: 'wav', kind: 'binary', extension: 'wav', mediaType: 'audio/wav' },
  { name: 'mp3', kind: 'binary', extension: 'mp3', mediaType: 'audio/mpeg' },
];

/** Writes one lesson in one form. */
interface Writer {
  readonly form: Form;
  readonly write: (lesson: Lesson) => Content;
}

async function practice(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = await prepare(given, io, reporter, (to) => chooseForms(to ?? 'text', FORMS));
  if (setup === null) return 2;
  const { wishes, forms, outlet } = setup;
  const { plan, source } = await planWanted(given.flags, wishes, io);
  reporter.report(plan.problems, source);
  const parts = partsWanted(given.flags);
  reporter.report(parts.problems, COMMAND_LINE);
  if (!plan.ok || !parts.ok) return 2;
  const sound: SoundOptions = { sides: given.flags['apart'] === true ? 'apart' : 'both' };
  const writers = await loadWriters(forms, sound, given.flags['byStep'] === true);
  if (!writers.ok) {
    reporter.report(writers.problems, COMMAND_LINE);
    return 2;
  }
  const read = openSongReader(io, { wishes });
  const nameAll = openNamer();
  return workThrough(given, io, reporter, { outlet }, async (text, input) => {
    const found = await read(text);
    if (!found.ok) return found;
    const works: Work[] = [];
    const problems: Problem[] = [...found.problems];
    for (const { song, fileName: name } of nameAll(found.value, input)) {
      const added = partsFor(song, parts.value);
      const lesson = added.ok ? makeLesson(song, plan.value, added.value) : added;
      problems.push(...(added.ok ? added.problems : []), ...lesson.problems);
      if (!lesson.ok) works.push({ made: 0, missing: writers.value.length, refused: [] });
      else {
        const fileName = `${name}.${safeStem(plan.value.name)}`;
        works.push(handOver(lesson.value, fileName, writers.value, given.flags['byStep'] === true, outlet));
      }
    }
    return made(sumOf(works, found.value.missing), problems);
  });
}

/** Parts to sing with; a canon and a partner change the song, so they belong to `parts`. */
function partsWanted(flags: Given['flags']): Outcome<readonly PartWish[]> {
  const text = flags['with'];
  if (typeof text !== 'string') return made([]);
  const wishes = readPartWishes(text);
  if (!wishes.ok) return wishes;
  const other = wishes.value.find((wish) => wish.kind === 'canon' || wish.kind === 'partner');
  return other === undefined
    ? wishes
    : failed(usageProblem(`--with ${text}: practise a ${other.kind} from what chantwright parts makes.`));
}

function partsFor(song: Song, wishes: readonly PartWish[]): Outcome<readonly Part[]> {
  if (wishes.length === 0) return made([]);
  const added = addParts(song, wishes, null);
  return added.ok ? made(added.value.parts, added.problems) : added;
}

async function loadWriters(
  forms: readonly Form[],
  sound: SoundOptions,
  byStep: boolean,
): Promise<Outcome<readonly Writer[]>> {
  const writers: Writer[] = [];
  for (const form of forms) {
    if (form.name === 'text') writers.push({ form, write: (lesson) => writeLeaderPage(lesson, { byStep }) });
    if (form.name === 'midi') writers.push({ form, write: await loadLessonMidi() });
    if (form.name === 'wav') writers.push({ form, write: (lesson) => wavPieces(lesson, sound) });
    if (form.name === 'mp3') {
      const write = await loadMp3Writer();
      if (write === null) return failed(missingPackages('MP3 files', ['wasm-media-encoders@0.7.0']));
      writers.push({ form, write: (lesson) => write(lesson, sound) });
    }
  }
  return made(writers);
}

/** The page is one; recordings are one, or one for each step. */
function handOver(
  lesson: Lesson,
  fileName: string,
  writers: readonly Writer[],
  byStep: boolean,
  outlet: Outlet,
): Work {
  const refused: Problem[] = [];
  let count = 0;
  for (const { form, write } of writers) {
    const lessons = byStep && form.kind === 'binary' ? lessonsByStep(lesson) : [lesson];
    for (const each of lessons) {
      const [only] = each.steps;
      const step =
        lessons.length > 1 || lessons[0] !== lesson ? `.${String(only?.number ?? 0).padStart(2, '0')}` : '';
      const heading = `${lesson.title}: ${lesson.rung}, plan ${lesson.plan}`;
      const problem = outlet.put({ form, data: write(each), heading, fileName: `${fileName}${step}` });
      if (problem === null) count += 1;
      else refused.push(problem);
    }
  }
  return { made: count, missing: refused.length, refused };
}

function sumOf(works: readonly Work[], missing: number): Work {
  return {
    made: works.reduce((sum, work) => sum + work.made, 0),
    missing: works.reduce((sum, work) => sum + work.missing, missing),
    refused: works.flatMap((work) => work.refused),
  };
}
