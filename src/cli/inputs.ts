/**
 * Arguments -> texts to read: files, folders, a list of files, standard input.
 */
import { basename, join } from 'node:path';
import { failed, formOf, made, type Outcome, type Problem, type TextForm } from '../index.ts';
import type { Given } from './command.ts';
import type { Io } from './io.ts';

/** One text to work on. */
export interface Input {
  /** As messages name it. */
  readonly name: string;
  /** What files made from it are called; null: by the title of the song. */
  readonly stem: string | null;
  /** True when it was named on the command line itself, not found in a folder or a list. */
  readonly named: boolean;
  /** True when it was found in a folder; then it is passed over unless it is wanted. */
  readonly found: boolean;
  readonly read: () => Promise<Outcome<string>>;
}

/** What the arguments came to. */
export interface Inputs {
  readonly inputs: readonly Input[];
  /** For arguments that came to nothing. */
  readonly problems: readonly Problem[];
}

/** A rhyme is a page or two; more than this is not one. */
const MOST_BYTES = 16 * 1024 * 1024;
/** Texts for people, which no command reads. */
const FOR_PEOPLE = /\.(?:spoken|leader|report)\.txt$/i;
/** Endings of the forms that a song comes in; of one song in several forms the first in this order is taken. */
const SONG_ENDINGS = ['.score.txt', '.json', '.musicxml', '.xml', '.solfa.txt'];
const STDIN_NAME = 'standard input';

/** What a folder is searched for. */
export interface Wanted {
  readonly what: 'rhymes' | 'songs' | 'rhymes or songs';
  readonly forms: readonly TextForm[];
}

export const RHYMES: Wanted = { what: 'rhymes', forms: ['rhyme'] };
export const SONGS: Wanted = { what: 'songs', forms: ['score', 'json', 'musicxml', 'tonic-solfa'] };
export const RHYMES_OR_SONGS: Wanted = { what: 'rhymes or songs', forms: ['rhyme', ...SONGS.forms] };

/** Whether a text that was found in a folder is what the command works on. */
export function isWanted(text: string, { forms }: Wanted): boolean {
  const form = formOf(text);
  if (!forms.includes(form)) return false;
  if (form === 'json') return /"format"\s*:\s*"chantwright-song"/.test(text.slice(0, 1000));
  return form !== 'musicxml' || /<score-(?:partwise|timewise)/.test(text.slice(0, 4000));
}

/**
 * All inputs in the order given, files of a folder by name. With no argument at all, standard input.
 *
 * A folder gives the files whose names may be wanted, its folders' too, but nothing hidden. Rhymes are `.txt` files;
 * songs have the endings of their forms, and of one song in several forms the score is taken. Whether a text is what
 * its name says is told when it is read.
 */
export async function collectInputs(
  paths: readonly string[],
  listPath: string | null,
  io: Io,
  wanted: Wanted = RHYMES,
): Promise<Inputs> {
  const inputs: Input[] = [];
  const problems: Problem[] = [];
  for (const path of paths) add(path, true);
  if (listPath !== null) {
    const list = await (listPath === '-' ? stdinInput(io) : fileInput(listPath, true, io)).read();
    problems.push(...list.problems);
    if (list.ok) for (const line of list.value.split(/\r?\n/)) if (line.trim() !== '') add(line, false);
  }
  if (paths.length === 0 && listPath === null) inputs.push(stdinInput(io));
  return { inputs, problems };

  function add(path: string, named: boolean): void {
    if (path === '-') {
      inputs.push(stdinInput(io));
    } else if (io.files.kind(path) === 'folder') {
      const found = wantedIn(path, wanted, io);
      inputs.push(...found.map((file) => ({ ...fileInput(file, false, io), found: true })));
      if (found.length === 0) problems.push(nothingFound(path, wanted));
    } else {
      inputs.push(fileInput(path, named, io));
    }
  }
}

/** The file that `--files-from` names, or null. */
export function filesFrom(given: Given): string | null {
  const { filesFrom: path } = given.flags;
  return typeof path === 'string' ? path : null;
}

/** True when nothing was named and standard input is a person's keyboard: help serves better than silence. */
export function waitsForTyping(given: Given, io: Io): boolean {
  return given.paths.length === 0 && filesFrom(given) === null && io.stdin.isTerminal;
}

function wantedIn(folder: string, wanted: Wanted, io: Io): readonly string[] {
  const entries = io.files.list(folder).filter(({ name }) => !name.startsWith('.'));
  const ranks = new Map<string, number>();
  for (const { name } of entries) {
    const rank = songRank(name);
    const stem = stemOf(name);
    if (rank >= 0) ranks.set(stem, Math.min(rank, ranks.get(stem) ?? rank));
  }
  return entries.flatMap(({ name, isFolder }) => {
    const path = join(folder, name);
    if (isFolder) return wantedIn(path, wanted, io);
    const rank = songRank(name);
    const isMine =
      rank >= 0
        ? wanted.what !== 'rhymes' && ranks.get(stemOf(name)) === rank
        : /\.txt$/i.test(name) && !FOR_PEOPLE.test(name);
    return isMine ? [path] : [];
  });
}

/** Place of a file's ending among those of songs; -1 for any other. */
function songRank(name: string): number {
  return SONG_ENDINGS.findIndex((ending) => name.toLowerCase().endsWith(ending));
}

/** A file's name without its ending, that of a form with two parts included: `owl.so-mi` of `owl.so-mi.score.txt`. */
function stemOf(name: string): string {
  return name.replace(/(?:\.(?:score|solfa|spoken|leader|report))?\.[^.]*$/i, '');
}

function stdinInput(io: Io): Input {
  return {
    name: STDIN_NAME,
    stem: null,
    named: true,
    found: false,
    read: async () => decode(await io.stdin.read()),
  };
}

function fileInput(path: string, named: boolean, io: Io): Input {
  return {
    name: path,
    stem: stemOf(basename(path)),
    named,
    found: false,
    read: () => Promise.resolve(readTextFile(path, io)),
  };
}

/** A file's text; anything wrong with it is a problem. */
export function readTextFile(path: string, io: Io): Outcome<string> {
  try {
    const kind = io.files.kind(path);
    if (kind === 'absent') {
      return failed({
        code: 'missing-file',
        severity: 'error',
        message: 'There is no such file or folder.',
        hint: 'Give the path of a rhyme (a text file), a folder of them, or - for standard input.',
      });
    }
    if (kind !== 'file') return failed(unreadable('This is no file.'));
    if (io.files.size(path) > MOST_BYTES) return failed(tooBig());
    return decode(io.files.read(path));
  } catch (error) {
    return failed(unreadable(`This cannot be read (${systemReason(error)}).`));
  }
}

/** Bytes -> text; what is not UTF-8 is no text that we can trust. The byte order mark stays, so that places count. */
function decode(bytes: Uint8Array): Outcome<string> {
  if (bytes.length > MOST_BYTES) return failed(tooBig());
  const notText = (message: string): Outcome<never> =>
    failed({ code: 'not-text', severity: 'error', message });
  if (bytes.includes(0)) {
    const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
    if (bytes[0] === 0x50 && bytes[1] === 0x4b) {
      return notText(
        'This file is compressed. Export MusicXML without compression (.musicxml) and try again.',
      );
    }
    if (utf16) return notText('This text is saved as UTF-16. Save it as plain text in UTF-8 and try again.');
    return notText('This is no plain text. A rhyme is a text file (UTF-8), one line of words a phrase.');
  }
  try {
    return made(new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes));
  } catch {
    return notText('Some letters here are not UTF-8. Save the file as plain text in UTF-8 and try again.');
  }
}

/** Nothing in a folder is what the command works on. */
export function nothingFound(folder: string, { what }: Wanted): Problem {
  const names =
    what === 'rhymes'
      ? 'Rhymes are text files whose names end in .txt.'
      : 'Songs are files whose names end in .score.txt, .json, .musicxml or .solfa.txt.';
  return {
    code: 'no-rhymes',
    severity: 'error',
    message: `The folder ${folder} has no ${what}. ${names}`,
  };
}

function tooBig(): Problem {
  return unreadable(
    `This has more than ${String(MOST_BYTES / 1024 / 1024)} MB. A rhyme is a page or two of text.`,
  );
}

function unreadable(message: string): Problem {
  return { code: 'unreadable-file', severity: 'error', message };
}

/** The system's reason in words: `permission denied`. */
export function systemReason(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  const words: Readonly<Record<string, string>> = {
    EACCES: 'permission denied',
    EPERM: 'not permitted',
    ENOENT: 'no such file or folder',
    ENOTDIR: 'a part of the path is no folder',
    EISDIR: 'it is a folder',
    ENOSPC: 'no space left on the disk',
    EROFS: 'the disk can only be read',
    EMFILE: 'too many files are open',
    ENAMETOOLONG: 'the name is too long',
    EEXIST: 'a file is in the way',
    ELOOP: 'the link leads to itself',
  };
  return words[code ?? ''] ?? code ?? message;
}
