/**
 * Problems -> stderr, each once, in colour where a person is looking.
 */
import type { Problem, Severity } from '../index.ts';
import { PLAIN, showProblem, type Paint, type Source } from '../index.ts';
import type { Io, Sink } from './io.ts';

/** 0: done. 1: something asked for was not made. 2: bad usage or unreadable input, nothing made of it. */
export type ExitCode = 0 | 1 | 2;

export interface Reporter {
  /** Print each problem that has not been printed for this source. */
  readonly report: (problems: readonly Problem[], source: Source) => void;
}

/** Where a message comes from when it is about no input. */
export const COMMAND_LINE: Source = { name: 'chantwright', text: null };

export async function openReporter(io: Io, colourWanted: boolean): Promise<Reporter> {
  const paint = colourWanted && isColourful(io.stderr, io.environment) ? await colourPaint() : PLAIN;
  return {
    report: (problems, source) => {
      const shown = new Set(problems.map((problem) => showProblem(problem, source, paint)));
      for (const text of shown) io.stderr.write(`${text}\n`);
    },
  };
}

/** Colour only for a person at a terminal who has not said no (https://no-color.org). */
export function isColourful(sink: Sink, environment: Io['environment']): boolean {
  const refused = (environment['NO_COLOR'] ?? '') !== '' || environment['TERM'] === 'dumb';
  return sink.isTerminal && !refused;
}

async function colourPaint(): Promise<Paint> {
  const { Chalk } = await import('chalk');
  const chalk = new Chalk({ level: 1 });
  const colours: Readonly<Record<Severity, (text: string) => string>> = {
    error: chalk.red,
    warning: chalk.yellow,
    note: chalk.cyan,
  };
  return {
    severity: (text, severity) => chalk.bold(colours[severity](text)),
    caret: (text, severity) => colours[severity](text),
    aside: (text) => chalk.dim(text),
  };
}

/** A problem of the command line's own. */
export function usageProblem(message: string, hint?: string): Problem {
  return { code: 'bad-usage', severity: 'error', message, ...(hint === undefined ? {} : { hint }) };
}
