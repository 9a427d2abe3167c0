/**
 * `ladder`: the teaching order of tones and of rhythms, to read or as JSON.
 */
import { made, USUAL_LADDER, VALUE_LABELS, type Ladder } from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import type { Io } from '../io.ts';
import { ladderWanted, LADDER_FLAG } from '../prepare.ts';
import { COMMAND_LINE, openReporter, usageProblem, type ExitCode } from '../report.ts';

export const LADDER: CliCommand = {
  usage: '',
  about:
    'Show the rungs in teaching order: the tones of each, what is new, where it comes to rest; then the rhythms.',
  flags: [{ flags: '--to <form>', about: 'text or json (default: text)' }, LADDER_FLAG],
  examples: ['chantwright ladder'],
  act: ladder,
};

async function ladder(given: Given, io: Io): Promise<ExitCode> {
  const { to = 'text', ladder: path } = given.flags;
  const reporter = await openReporter(io, given.colour);
  const own = typeof path === 'string' ? await ladderWanted(path, io, reporter) : made(USUAL_LADDER);
  if (!own.ok) return 2;
  if (to === 'text') io.stdout.write(asText(own.value));
  else if (to === 'json') io.stdout.write(`${JSON.stringify(asJson(own.value))}\n`);
  else {
    reporter.report([usageProblem(`--to ${String(to)}: a ladder is written as text or json.`)], COMMAND_LINE);
    return 2;
  }
  return 0;
}

function asJson(ladder: Ladder): object {
  return {
    format: 'chantwright-ladder',
    version: 1,
    tones: ladder.tones.map(({ name, tones, home, newTone, usualDo }) => ({
      rung: name,
      tones: tones.join(' '),
      newTone,
      home,
      usualDo,
    })),
    rhythms: ladder.rhythms.map(({ name, values }) => ({ rung: name, values })),
  };
}

function asText(ladder: Ladder): string {
  const tones = ladder.tones.map(({ name, tones, home, newTone, usualDo }) => [
    name,
    tones.join(' '),
    newTone ?? '',
    home,
    usualDo.join(', '),
  ]);
  const rhythms = ladder.rhythms.map(({ name, values }) => [
    name,
    values.map((value) => VALUE_LABELS[value]).join('; '),
  ]);
  return [
    'Tones, easiest first',
    '',
    table([['rung', 'tones', 'new', 'home', 'usual do'], ...tones]),
    '',
    'Rhythms, easiest first',
    '',
    table([['rhythm', 'what it adds'], ...rhythms]),
    '',
  ].join('\n');
}

/** Rows with their columns beneath one another, two spaces between. */
function table(rows: readonly (readonly string[])[]): string {
  const widths = (rows[0] ?? []).map((_, column) =>
    Math.max(...rows.map((row) => (row[column] ?? '').length)),
  );
  return rows
    .map((row) =>
      row
        .map((cell, column) => cell.padEnd(widths[column] ?? 0))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}
