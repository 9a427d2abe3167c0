/**
 * Where results go: one form to stdout, or files into a folder.
 */
import { join } from 'node:path';
import { inWords, nearest, type Problem } from '../index.ts';
import { systemReason } from './inputs.ts';
import { isWhole, type Content } from './files.ts';
import type { Io } from './io.ts';
import { usageProblem } from './report.ts';

/** A form that results are written in, as far as handing over is concerned. */
export interface Form {
  /** As `--to` names it. */
  readonly name: string;
  readonly kind: 'text' | 'binary';
  /** Ending of file names, no dot in front. */
  readonly extension: string;
  readonly mediaType: string;
}

/** Read `--to`: names with commas, each form once; a problem when one is unknown. */
export function chooseForms<F extends Form>(text: string, forms: readonly F[]): readonly F[] | Problem {
  const names = forms.map((form) => form.name);
  const chosen = new Set<F>();
  for (const part of text.split(',')) {
    const form = forms.find((each) => each.name === part.trim());
    if (form === undefined) {
      const near = nearest(part.trim(), names);
      return usageProblem(
        `--to ${text}: there is no form "${part.trim()}". Forms are ${inWords(names)}; several with commas.`,
        near === null ? undefined : `Did you mean ${near}?`,
      );
    }
    chosen.add(form);
  }
  return [...chosen];
}

/** One thing to hand over. */
export interface Piece {
  readonly form: Form;
  readonly data: Content;
  /** Stands above it when several texts go to stdout: `Bee, bee, bumblebee: so-mi`. */
  readonly heading: string;
  /** What its file is called, without the form's ending. */
  readonly fileName: string;
}

export interface Outlet {
  /** Hand over a piece; a problem when it could not be. */
  readonly put: (piece: Piece) => Problem | null;
  /** Call at the end: what was held back goes out. */
  readonly finish: () => void;
  /** False when nobody takes what is made any more. */
  readonly isOpen: () => boolean;
}

/** An outlet for these forms, or the reason why there is none. */
export function openOutlet(forms: readonly Form[], out: string | null, io: Io): Outlet | Problem {
  if (out !== null) return folderOutlet(out, io);
  const [only, ...more] = forms;
  if (only === undefined || more.length > 0) {
    return usageProblem('Several forms cannot share one stream.', 'Name a folder for the files: --out songs');
  }
  if (only.kind === 'binary' && io.stdout.isTerminal) {
    const hint = `Name a folder (--out songs) or send it to a file (> song.${only.extension}).`;
    return usageProblem(`${only.name} is not text, so it is not written to a terminal.`, hint);
  }
  return only.mediaType === 'application/json' ? linesOutlet(io) : streamOutlet(only, io);
}

/** Files into a folder, which is made with the first of them. */
function folderOutlet(out: string, io: Io): Outlet | Problem {
  const kind = io.files.kind(out);
  if (kind !== 'absent' && kind !== 'folder') {
    return usageProblem(
      `--out ${out}: this is a file. Files are written into a folder, which is made if need be.`,
    );
  }
  return {
    put: ({ data, fileName, form }) => {
      const path = join(out, `${fileName}.${form.extension}`);
      try {
        io.files.writeWhole(path, data);
        return null;
      } catch (error) {
        const message = `${path} could not be written (${systemReason(error)}).`;
        return { code: 'not-written', severity: 'error', message };
      }
    },
    finish: () => undefined,
    isOpen: () => true,
  };
}

/** JSON: one object a line. */
function linesOutlet(io: Io): Outlet {
  return {
    put: ({ data }) => {
      pour(data, io);
      return null;
    },
    finish: () => undefined,
    isOpen: io.stdout.isOpen,
  };
}

/**
 * Plain texts, each under its heading when there are several; of anything else only one. The first piece is held
 * back until it is known whether another one comes.
 */
function streamOutlet({ name, mediaType }: Form, io: Io): Outlet {
  let first: Piece | null = null;
  let count = 0;
  const underHeading = ({ heading, data }: Piece): void => {
    io.stdout.write(`# ${heading}\n\n`);
    pour(data, io);
  };
  return {
    put: (piece) => {
      count += 1;
      if (first === null) {
        first = piece;
        return null;
      }
      if (mediaType !== 'text/plain') {
        return usageProblem(
          `Several results as ${name} cannot share one stream.`,
          'Name a folder: --out songs',
        );
      }
      if (count === 2) underHeading(first);
      io.stdout.write('\n');
      underHeading(piece);
      return null;
    },
    finish: () => {
      if (first !== null && count === 1) pour(first.data, io);
    },
    isOpen: io.stdout.isOpen,
  };
}

/** To stdout, piece after piece while somebody reads. */
function pour(data: Content, io: Io): void {
  for (const piece of isWhole(data) ? [data] : data) if (io.stdout.isOpen()) io.stdout.write(piece);
}
