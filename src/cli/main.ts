/**
 * The command line: arguments -> one command -> exit code. The only file that names commander.
 */
import { Command, CommanderError } from 'commander';
import type { CliCommand, Given } from './command.ts';
import { COMMANDS } from './commands/index.ts';
import { processIo, type Io } from './io.ts';
import { COMMAND_LINE, openReporter, usageProblem, type ExitCode } from './report.ts';

declare const CHANTWRIGHT_VERSION: string | undefined;

/**
 * Run one command line.
 *
 * @param argv what was typed after the program's name.
 * @example await run(['sing', 'bee.txt']) // => 0, and a score on stdout
 */
export async function run(argv: readonly string[], io: Io = processIo()): Promise<ExitCode> {
  let code: ExitCode = 0;
  const program = openProgram(io);
  const called = argv.find((word) => !word.startsWith('-'));
  for (const [name, entry] of Object.entries(COMMANDS)) {
    const command = program.command(name).summary(entry.summary);
    if (name !== called) continue;
    fill(command, await entry.load(), async (act) => {
      code = await act(io);
    });
  }
  try {
    await program.parseAsync(argv, { from: 'user' });
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    const reporter = await openReporter(io, true);
    const message = `The program has failed: ${error instanceof Error ? error.message : String(error)}`;
    reporter.report([usageProblem(message, 'This is a fault of the program, not yours.')], COMMAND_LINE);
    return 2;
  }
}

function openProgram(io: Io): Command {
  return new Command('chantwright')
    .description(
      'Turns a rhyme that children can chant into songs to sing, read and hear by movable-do solfa.',
    )
    .version(typeof CHANTWRIGHT_VERSION === 'string' ? CHANTWRIGHT_VERSION : '0.0.0', '--version')
    .option('--no-color', 'never use colour')
    .helpOption('--help', 'show this help')
    .helpCommand(false)
    .configureOutput({
      writeOut: (text) => {
        io.stdout.write(text);
      },
      writeErr: (text) => {
        io.stderr.write(text);
      },
      getOutHelpWidth: () => 100,
      getErrHelpWidth: () => 100,
    })
    .showHelpAfterError('chantwright --help and chantwright COMMAND --help tell what is accepted.')
    .addHelpText('after', '\nExample:\n  chantwright sing examples/goose-in-the-basket.txt')
    .exitOverride();
}

/** Give the parser what the command takes, and have it run the command. */
function fill(
  command: Command,
  spec: CliCommand,
  start: (act: (io: Io) => Promise<ExitCode>) => Promise<void>,
): void {
  command.description(spec.about);
  if (spec.usage !== '') command.argument(spec.usage);
  for (const { flags, about } of spec.flags) command.option(flags, about);
  command
    .helpOption('--help', 'show this help')
    .addHelpText('after', `\nExamples:\n${spec.examples.map((example) => `  ${example}`).join('\n')}`)
    .action(async (...args: readonly unknown[]) => {
      const paths = spec.usage === '' ? [] : (args[0] as readonly string[]);
      const { color, ...flags } = command.optsWithGlobals<Given['flags']>();
      const given: Given = { paths, flags, colour: color !== false, help: () => command.helpInformation() };
      await start((io) => spec.act(given, io));
    });
}
