/**
 * `pages`: rhymes and songs -> pages for the board, the desk and the wall, as PDF, SVG or HTML.
 */
import { setFlagsFromString } from 'node:v8';
import {
  FACE_NAMES,
  FORMATS,
  makePages,
  openEngraver,
  openTypeface,
  writeHtml,
  writePdf,
  writeSvg,
  type Engraver,
  type FaceName,
  type Faces,
  type PageDocument,
  type PageOptions,
  type PageSong,
  type Problem,
  type Song,
} from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import { RHYMES } from '../inputs.ts';
import { installedFile, missingPackages } from '../installed.ts';
import type { Io } from '../io.ts';
import { chooseForms, type Form, type Outlet, type Piece } from '../outputs.ts';
import { PAGE_FLAGS, pageOptions } from '../page-flags.ts';
import { INPUT_FLAGS, OUT_FLAG, PLACING_FLAGS, prepare, SINGING_FLAGS } from '../prepare.ts';
import { COMMAND_LINE, openReporter, type ExitCode } from '../report.ts';
import { openSongReader, readAllSongs } from '../songs.ts';

export const PAGES: CliCommand = {
  usage: '[inputs...]',
  about: `Make pages for the board, the desk and the wall. Inputs are rhymes (sung first, as by sing), scores, songs as JSON,
MusicXML or tonic sol-fa, folders of rhymes, or - for standard input. One song gives a file for each kind of page; several give one
booklet. Sheets to fill in and their key always have files of their own.`,
  flags: [
    ...PAGE_FLAGS,
    { flags: '--to <forms>', about: 'pdf, svg or html; several with commas (default: pdf)' },
    OUT_FLAG,
    ...SINGING_FLAGS,
    ...PLACING_FLAGS,
    ...INPUT_FLAGS,
  ],
  examples: [
    'chantwright pages examples/goose-in-the-basket.txt --page song,sticks,beats --out pages',
    'chantwright pages examples --rung so-mi-la --page sticks --class 1B --out booklet',
    'chantwright pages examples/goose-in-the-basket.txt --rung so-mi-la --page fill --versions 3 --out sheets',
  ],
  act: pages,
};

const FORMS: readonly Form[] = [
  { name: 'pdf', kind: 'binary', extension: 'pdf', mediaType: 'application/pdf' },
  { name: 'svg', kind: 'text', extension: 'svg', mediaType: 'image/svg+xml' },
  { name: 'html', kind: 'text', extension: 'html', mediaType: 'text/html' },
];

async function pages(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = await prepare(given, io, reporter, (to) => chooseForms(to ?? 'pdf', FORMS));
  if (setup === null) return 2;
  const { wishes, forms, outlet } = setup;
  const options = pageOptions(given.flags, wishes.seed ?? 1);
  if (!('kinds' in options)) {
    reporter.report(options, COMMAND_LINE);
    return 2;
  }
  const faces = openFaces(options, forms, io);
  if ('code' in faces) {
    reporter.report([faces], COMMAND_LINE);
    return 2;
  }
  const read = await readAllSongs(given, io, reporter, {
    read: openSongReader(io, { wishes }),
    wanted: RHYMES,
  });
  if (read.songs.length === 0) return 2;
  const songs = read.songs.map(({ song, stem, fileName, source }): PageSong => ({
    song,
    rhyme: stem,
    name: fileName,
    source,
  }));
  const writeMusicXml = await loadMusicXml();
  const made = await makePages(songs, options, {
    faces,
    engraver: onceOnly(startEngraver),
    writeMusicXml,
  });
  reporter.report(made.problems, COMMAND_LINE);
  const refused = await handOver(made.documents, faces, forms, outlet);
  reporter.report(refused, COMMAND_LINE);
  if (refused.some((problem) => problem.code === 'bad-usage')) return 2;
  if (read.unreadable) return 2;
  const missed = made.problems.some((problem) => problem.severity === 'error');
  return missed || refused.length > 0 || read.missing > 0 ? 1 : 0;
}

/** Write each document in each form. SVG has one page a file, so it may give several files. */
async function handOver(
  documents: readonly PageDocument[],
  faces: Faces,
  forms: readonly Form[],
  outlet: Outlet,
): Promise<readonly Problem[]> {
  const refused: Problem[] = [];
  for (const { name, set } of documents) {
    for (const form of forms) {
      for (const piece of await piecesOf(name, set, faces, form)) {
        const problem = outlet.put(piece);
        if (problem !== null) refused.push(problem);
      }
    }
  }
  outlet.finish();
  return refused;
}

async function piecesOf(
  name: string,
  set: PageDocument['set'],
  faces: Faces,
  form: Form,
): Promise<readonly Piece[]> {
  const piece = { form, heading: set.title, fileName: name };
  if (form.name === 'pdf') return [{ ...piece, data: await writePdf(set, faces) }];
  if (form.name === 'html') return [{ ...piece, data: writeHtml(set, faces) }];
  const several = set.pages.length > 1;
  return set.pages.map((page, i) => ({
    ...piece,
    data: writeSvg(page, set, faces),
    fileName: several ? `${name}.${String(i + 1)}` : name,
  }));
}

/** Where each face lies in its package. */
const FACE_FILES: Readonly<Record<FaceName, string>> = {
  book: '@expo-google-fonts/tinos/400Regular/Tinos_400Regular.ttf',
  'book-bold': '@expo-google-fonts/tinos/700Bold/Tinos_700Bold.ttf',
  'book-italic': '@expo-google-fonts/tinos/400Regular_Italic/Tinos_400Regular_Italic.ttf',
  reader: '@expo-google-fonts/andika/Andika_400Regular.ttf',
  'reader-bold': '@expo-google-fonts/andika/Andika_700Bold.ttf',
};

/** The faces, when every package that will be needed is there; else what to install. */
function openFaces(options: PageOptions, forms: readonly Form[], io: Io): Faces | Problem {
  const needed: (readonly [packaged: string, file: string])[] = [
    ['@expo-google-fonts/tinos@0.4.2', FACE_FILES.book],
    ['@expo-google-fonts/andika@0.2.3', FACE_FILES.reader],
  ];
  if (forms.some((form) => form.name === 'pdf')) needed.push(['pdfkit@0.20.2', 'pdfkit']);
  if (options.kinds.includes('song')) needed.push(['verovio@6.3.0', 'verovio/wasm']);
  const missing = needed.filter(([, file]) => installedFile(file) === null).map(([packaged]) => packaged);
  if (missing.length > 0) return missingPackages('These pages', missing);
  const open = (name: FaceName): Faces[FaceName] =>
    openTypeface(io.files.read(installedFile(FACE_FILES[name]) ?? ''));
  return Object.fromEntries(FACE_NAMES.map((name) => [name, open(name)])) as Faces;
}

async function loadMusicXml(): Promise<(song: Song) => string> {
  const { load, kind } = FORMATS.musicxml;
  if (kind !== 'text') throw new TypeError('MusicXML is text.');
  return load();
}

/** The engraver is compiled quickly rather than well: a few songs are drawn sooner, and the drawing is the same. */
function startEngraver(): Promise<Engraver> {
  setFlagsFromString('--liftoff-only');
  return openEngraver();
}

function onceOnly<T>(start: () => Promise<T>): () => Promise<T> {
  let started: Promise<T> | null = null;
  return () => (started ??= start());
}
