/**
 * The loop that all commands share: read each input, work on its text, report, and tell the exit code.
 */
import type { Outcome, Problem } from '../index.ts';
import type { Given } from './command.ts';
import { collectInputs, filesFrom, type Input } from './inputs.ts';
import type { Io } from './io.ts';
import type { Outlet } from './outputs.ts';
import { COMMAND_LINE, type ExitCode, type Reporter } from './report.ts';

/** What became of one text. */
export interface Work {
  readonly made: number;
  /** Things asked for that could not be made or handed over. */
  readonly missing: number;
  /** Problems in handing over; one of code `bad-usage` ends everything. */
  readonly refused: readonly Problem[];
}

/** One command's work on one text; not `ok` when the text is not what the command works on. */
export type Worker = (text: string, input: Input) => Promise<Outcome<Work>>;

/**
 * Work through all inputs in order. One bad input does not stop the others.
 *
 * Exit code 2 when an input named on the command line is no good, or nothing at all could be made; 1 when some of
 * what was asked for is missing, among it bad files found in a folder or a list; else 0.
 */
export async function workThrough(
  given: Given,
  io: Io,
  reporter: Reporter,
  outlet: Outlet,
  work: Worker,
): Promise<ExitCode> {
  const { inputs, problems } = await collectInputs(given.paths, filesFrom(given), io);
  reporter.report(problems, COMMAND_LINE);
  let unreadable = problems.length;
  let bad = 0;
  let made = 0;
  let missing = 0;
  for (const input of inputs) {
    if (!outlet.isOpen()) break;
    const text = await input.read();
    const outcome = text.ok ? await work(text.value, input) : text;
    reporter.report(outcome.problems, { name: input.name, text: text.ok ? text.value : null });
    if (!outcome.ok) {
      if (input.named) unreadable += 1;
      else bad += 1;
      continue;
    }
    reporter.report(outcome.value.refused, COMMAND_LINE);
    if (outcome.value.refused.some((problem) => problem.code === 'bad-usage')) return 2;
    made += outcome.value.made;
    missing += outcome.value.missing;
  }
  outlet.finish();
  if (unreadable > 0 || (made === 0 && bad > 0)) return 2;
  return missing + bad > 0 ? 1 : 0;
}
