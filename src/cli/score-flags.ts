/**
 * How scores are written: the names that rhythms are said with, and plain or drawn signs.
 */
import {
  andThen,
  failed,
  findRhythmNames,
  inWords,
  made,
  nearest,
  readRhythmNames,
  readYaml,
  rhythmFamilyNames,
  type ExportOptions,
  type Outcome,
  type Problem,
  type RhythmNames,
} from '../index.ts';
import type { Flag, Given } from './command.ts';
import { readTextFile } from './inputs.ts';
import type { Io } from './io.ts';
import { COMMAND_LINE, usageProblem, type Reporter } from './report.ts';

export const NAMES_FLAG: Flag = {
  flags: '--names <family>',
  about: `what rhythms are said with: ${rhythmFamilyNames().join(', ')}, or a file of your own (YAML) (default: ta-ti)`,
};

export const SCORE_FLAGS: readonly Flag[] = [
  NAMES_FLAG,
  { flags: '--unicode', about: 'scores with drawn bar lines and note signs, for reading' },
  { flags: '--no-unicode', about: 'tonic sol-fa in plain ASCII, for e-mail: s_1 and d^1 for octaves' },
];

export interface ScoreWishes {
  readonly options: ExportOptions;
  /** Names of the teacher's own, which scores that are read may use. */
  readonly families: readonly RhythmNames[];
}

/** What the flags say about scores; null when a file of names is no good, which is then reported. */
export async function scoreWishes(
  flags: Given['flags'],
  io: Io,
  reporter: Reporter,
): Promise<ScoreWishes | null> {
  const { names: typed, unicode } = flags;
  const drawn: ExportOptions = typeof unicode === 'boolean' ? { unicode } : {};
  if (typeof typed !== 'string') return { options: drawn, families: [] };
  const known = findRhythmNames(typed);
  if (known !== null) return { options: { ...drawn, names: known }, families: [] };
  if (io.files.kind(typed) !== 'file') {
    reporter.report([noSuchNames(typed)], COMMAND_LINE);
    return null;
  }
  const text = readTextFile(typed, io);
  const names: Outcome<RhythmNames> = text.ok
    ? andThen(await readYaml(text.value), ({ value, spanAt }) => placed(readRhythmNames(value), spanAt))
    : text;
  reporter.report(names.problems, { name: typed, text: text.ok ? text.value : null });
  return names.ok ? { options: { ...drawn, names: names.value }, families: [names.value] } : null;
}

/** Each fault at the value that its path (`words.half is ...`) leads to. */
function placed<T>(
  outcome: Outcome<T>,
  spanAt: (path: readonly string[]) => NonNullable<Problem['span']>,
): Outcome<T> {
  const problems = outcome.problems.map((problem): Problem => {
    const path = /^[a-z]+(?:\.[a-zA-Z]+)?(?= (?:is|names|has) )/.exec(problem.message)?.[0] ?? '';
    return { ...problem, span: problem.span ?? spanAt(path === '' ? [] : path.split('.')) };
  });
  return outcome.ok ? made(outcome.value, problems) : failed(...problems);
}

function noSuchNames(typed: string): Problem {
  const families = rhythmFamilyNames();
  const near = nearest(typed, families);
  return usageProblem(
    `--names ${typed}: there is neither such a family nor such a file. Families are ${inWords(families)}.`,
    near === null ? undefined : `Did you mean ${near}?`,
  );
}
