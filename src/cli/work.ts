/**
 * The loop that all commands share: read each input, work on its text, report, and tell the exit code.
 */
import type { Outcome, Problem } from '../index.ts';
import type { Given } from './command.ts';
import {
  collectInputs,
  filesFrom,
  isWanted,
  nothingFound,
  RHYMES,
  type Input,
  type Wanted,
} from './inputs.ts';
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
 * Every text that is wanted, in order, until the work stops. `lost` counts arguments that came to nothing, which is
 * reported.
 */
export async function eachText(
  given: Given,
  io: Io,
  reporter: Reporter,
  wanted: Wanted,
  work: (text: Outcome<string>, input: Input) => Promise<'go on' | 'stop'>,
): Promise<{ readonly lost: number }> {
  const { inputs, problems } = await collectInputs(given.paths, filesFrom(given), io, wanted);
  reporter.report(problems, COMMAND_LINE);
  let passedOver = 0;
  for (const input of inputs) {
    const text = await input.read();
    if (input.found && text.ok && !isWanted(text.value, wanted)) passedOver += 1;
    else if ((await work(text, input)) === 'stop') break;
  }
  const nothing = inputs.length > 0 && passedOver === inputs.length;
  if (nothing) reporter.report([nothingFound(given.paths.join(', '), wanted)], COMMAND_LINE);
  return { lost: problems.length + (nothing ? 1 : 0) };
}

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
  by: { readonly outlet: Outlet; readonly wanted?: Wanted },
  work: Worker,
): Promise<ExitCode> {
  const { outlet, wanted = RHYMES } = by;
  let unreadable = 0;
  let bad = 0;
  let made = 0;
  let missing = 0;
  let refused = false;
  const { lost } = await eachText(given, io, reporter, wanted, async (text, input) => {
    if (!outlet.isOpen()) return 'stop';
    const outcome = text.ok ? await work(text.value, input) : text;
    reporter.report(outcome.problems, { name: input.name, text: text.ok ? text.value : null });
    if (!outcome.ok) {
      if (input.named) unreadable += 1;
      else bad += 1;
      return 'go on';
    }
    reporter.report(outcome.value.refused, COMMAND_LINE);
    refused = outcome.value.refused.some((problem) => problem.code === 'bad-usage');
    made += outcome.value.made;
    missing += outcome.value.missing;
    return refused ? 'stop' : 'go on';
  });
  if (refused) return 2;
  outlet.finish();
  if (unreadable + lost > 0 || (made === 0 && bad > 0)) return 2;
  return missing + bad > 0 ? 1 : 0;
}
