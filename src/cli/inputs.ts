/**
 * Arguments -> rhymes to read: files, folders, a list of files, standard input.
 */
import { basename, join } from 'node:path';
import { failed, made, type Outcome, type Problem } from '../index.ts';
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
/** Texts that are no rhymes. */
const MADE = /\.(?:score|leader|report)\.txt$/i;
const STDIN_NAME = 'standard input';

/**
 * All inputs in the order given, files of a folder by name. With no argument at all, standard input.
 *
 * A folder gives its `.txt` files and those of its folders, but nothing hidden and nothing that the program makes of
 * rhymes: scores (`.score.txt`), leader's pages (`.leader.txt`), reports (`.report.txt`).
 */
export async function collectInputs(
  paths: readonly string[],
  listPath: string | null,
  io: Io,
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
      const found = rhymesIn(path, io);
      inputs.push(...found.map((file) => fileInput(file, false, io)));
      if (found.length === 0) problems.push(noRhymes(path));
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

function rhymesIn(folder: string, io: Io): readonly string[] {
  return io.files.list(folder).flatMap(({ name, isFolder }) => {
    if (name.startsWith('.')) return [];
    const path = join(folder, name);
    if (isFolder) return rhymesIn(path, io);
    return /\.txt$/i.test(name) && !MADE.test(name) ? [path] : [];
  });
}

function stdinInput(io: Io): Input {
  return {
    name: STDIN_NAME,
    stem: null,
    named: true,
    read: async () => decode(await io.stdin.read()),
  };
}

function fileInput(path: string, named: boolean, io: Io): Input {
  return {
    name: path,
    stem: basename(path).replace(/\.[^.]*$/, ''),
    named,
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
    if (utf16) return notText('This text is saved as UTF-16. Save it as plain text in UTF-8 and try again.');
    return notText('This is no plain text. A rhyme is a text file (UTF-8), one line of words a phrase.');
  }
  try {
    return made(new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes));
  } catch {
    return notText('Some letters here are not UTF-8. Save the file as plain text in UTF-8 and try again.');
  }
}

function noRhymes(folder: string): Problem {
  return {
    code: 'no-rhymes',
    severity: 'error',
    message: `The folder ${folder} has no rhymes. Rhymes are text files whose names end in .txt.`,
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
