/**
 * A world for the command line to run in: a folder of its own, streams that are kept in memory.
 */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { onTestFinished } from 'vitest';
import { diskFiles, type Files } from '../../src/cli/files.ts';
import type { Io, Sink } from '../../src/cli/io.ts';
import { run } from '../../src/cli/main.ts';

export interface World {
  readonly folder: string;
  /** Put files into the folder. */
  readonly put: (name: string, content: string | Uint8Array) => string;
  /** Names of all files in the folder, sorted, with the folders they lie in. */
  readonly list: (under?: string) => readonly string[];
  readonly text: (name: string) => string;
  /** Run a command line; `@` at the start of an argument stands for the folder. */
  readonly run: (argv: readonly string[], given?: Streams) => Promise<Answer>;
}

export interface Streams {
  readonly stdin?: string | Uint8Array;
  /** Which streams are a terminal. */
  readonly terminals?: readonly ('stdin' | 'stdout' | 'stderr')[];
  readonly environment?: Readonly<Record<string, string>>;
  readonly files?: Partial<Files>;
  /** Characters after which the reader of stdout goes away. */
  readonly stdoutTakes?: number;
}

export interface Answer {
  readonly code: number;
  readonly out: string;
  readonly err: string;
  readonly bytes: Uint8Array;
}

/** The compiled pronunciations, read once for all tests of a file. */
export function pronunciations(): Uint8Array {
  return readFileSync(new URL('../../dist/pronunciations.bin', import.meta.url));
}

/** A fresh folder, gone when the test is over. */
export function newWorld(): World {
  const folder = mkdtempSync(join(tmpdir(), 'chantwright-test-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return {
    folder,
    put: (name, content) => {
      const path = join(folder, name);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, content);
      return path;
    },
    list: (under = '') =>
      readdirSync(join(folder, under), { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => join(entry.parentPath, entry.name).slice(join(folder, under, 'x').length - 1))
        .sort(),
    text: (name) => readFileSync(join(folder, name), 'utf8'),
    run: (argv, given = {}) =>
      answer(
        argv.map((word) => word.replace(/^@/, folder)),
        given,
      ),
  };
}

async function answer(argv: readonly string[], given: Streams): Promise<Answer> {
  const terminals = given.terminals ?? [];
  const out = memorySink(terminals.includes('stdout'), given.stdoutTakes ?? Infinity);
  const err = memorySink(terminals.includes('stderr'), Infinity);
  const io: Io = {
    stdin: {
      isTerminal: terminals.includes('stdin'),
      read: () => Promise.resolve(Buffer.from(given.stdin ?? '')),
    },
    stdout: out.sink,
    stderr: err.sink,
    environment: given.environment ?? {},
    files: { ...diskFiles, ...given.files },
    shipped: pronunciations,
  };
  const code = await run(argv, io);
  const bytes = Buffer.concat(out.parts);
  return { code, bytes, out: bytes.toString('utf8'), err: Buffer.concat(err.parts).toString('utf8') };
}

function memorySink(isTerminal: boolean, takes: number): { sink: Sink; parts: Buffer[] } {
  const parts: Buffer[] = [];
  let taken = 0;
  const sink: Sink = {
    isTerminal,
    isOpen: () => taken <= takes,
    write: (data) => {
      taken += data.length;
      if (taken <= takes) parts.push(Buffer.from(data as string));
    },
  };
  return { sink, parts };
}
