/**
 * The world as the commands see it: three streams, the environment, files. Tests give another one.
 */
import { readFileSync } from 'node:fs';
import { isatty } from 'node:tty';
import { diskFiles, type Files } from './files.ts';

/** Where text or bytes go. */
export interface Sink {
  readonly isTerminal: boolean;
  /** False once the reader has gone away (`| head`): writing on is pointless and harmless. */
  readonly isOpen: () => boolean;
  readonly write: (data: string | Uint8Array) => void;
}

export interface Io {
  readonly stdin: {
    readonly isTerminal: boolean;
    /** Everything up to the end; read once. */
    readonly read: () => Promise<Uint8Array>;
  };
  readonly stdout: Sink;
  readonly stderr: Sink;
  readonly environment: Readonly<Record<string, string | undefined>>;
  readonly files: Files;
  /** A file that is shipped beside the program. */
  readonly shipped: (name: string) => Uint8Array;
}

/** The real world. */
export function processIo(): Io {
  return {
    stdin: { isTerminal: isatty(0), read: readStdin },
    stdout: streamSink(() => process.stdout, isatty(1)),
    stderr: streamSink(() => process.stderr, isatty(2)),
    environment: process.env,
    files: diskFiles,
    // the bundle lies in dist/ beside the compiled data
    shipped: (name) => readFileSync(new URL(name, import.meta.url)),
  };
}

/** A stream whose reader may leave: a broken pipe is the reader's way to say "enough", not a failure. */
function streamSink(stream: () => NodeJS.WriteStream, isTerminal: boolean): Sink {
  let open = true;
  let guarded = false;
  return {
    isTerminal,
    isOpen: () => open,
    write: (data) => {
      if (!open) return;
      if (!guarded) {
        guarded = true;
        stream().on('error', (error: NodeJS.ErrnoException) => {
          if (error.code !== 'EPIPE') throw error;
          open = false;
        });
      }
      stream().write(data);
    },
  };
}

/** Read at once where the system allows it; a pipe that is not ready yet is waited for. */
async function readStdin(): Promise<Uint8Array> {
  try {
    return readFileSync(0);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
    const parts: Uint8Array[] = [];
    for await (const part of process.stdin) parts.push(part as Uint8Array);
    return Buffer.concat(parts);
  }
}
