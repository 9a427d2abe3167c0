/**
 * Files on disk, as few operations as the commands need. Every file is written whole or not at all.
 */
import {
  closeSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join } from 'node:path';

export type FileKind = 'file' | 'folder' | 'absent' | 'other';

/** What goes into a file: all of it at once, or piece after piece as it is made. */
export type Content = string | Uint8Array | Iterable<Uint8Array>;

export interface Files {
  /** What a path leads to; symbolic links are followed. */
  readonly kind: (path: string) => FileKind;
  /** @throws the system's error when it cannot be read. */
  readonly read: (path: string) => Uint8Array;
  /** Size in bytes. */
  readonly size: (path: string) => number;
  /** Names of a folder's entries, in code-unit order; folders that are symbolic links are left out. */
  readonly list: (path: string) => readonly { readonly name: string; readonly isFolder: boolean }[];
  /** Make the folder where needed, write under a temporary name beside the file, rename. */
  readonly writeWhole: (path: string, data: Content) => void;
}

export const diskFiles: Files = {
  kind: (path) => {
    const stats = statSync(path, { throwIfNoEntry: false });
    if (stats === undefined) return 'absent';
    // pipes and devices (`<(...)`, /dev/stdin) are read like files
    return stats.isDirectory() ? 'folder' : stats.isSocket() ? 'other' : 'file';
  },
  read: (path) => readFileSync(path),
  size: (path) => statSync(path).size,
  list: (path) =>
    readdirSync(path)
      .sort((a, b) => (a < b ? -1 : a > b ? 1 : 0))
      .flatMap((name) => {
        const link = lstatSync(join(path, name));
        const isFolder = link.isSymbolicLink()
          ? statSync(join(path, name), { throwIfNoEntry: false })?.isDirectory() === true
          : link.isDirectory();
        return isFolder && link.isSymbolicLink() ? [] : [{ name, isFolder }];
      }),
  writeWhole: (path, data) => {
    mkdirSync(dirname(path), { recursive: true });
    const temporary = `${path}.${String(process.pid)}.tmp`;
    try {
      writeContent(temporary, data);
      renameSync(temporary, path);
    } catch (error) {
      rmSync(temporary, { force: true });
      throw error;
    }
  },
};

function writeContent(path: string, data: Content): void {
  if (isWhole(data)) {
    writeFileSync(path, data);
    return;
  }
  const file = openSync(path, 'w');
  try {
    for (const piece of data) writeFileSync(file, piece);
  } finally {
    closeSync(file);
  }
}

/** False for content that comes in pieces. */
export function isWhole(data: Content): data is string | Uint8Array {
  return typeof data === 'string' || data instanceof Uint8Array;
}
