/**
 * What a command is, as data: main.ts gives it to the argument parser, and commands/ has one file for each.
 */
import type { Io } from './io.ts';
import type { ExitCode } from './report.ts';

export interface Flag {
  /** As in the help: `--rung <names>`, `-o, --out <folder>`, `--no-slur`. */
  readonly flags: string;
  readonly about: string;
}

/** What was typed after the command. */
export interface Given {
  readonly paths: readonly string[];
  /** By the flag's name in camel case; a flag that was not typed is absent. */
  readonly flags: Readonly<Record<string, string | boolean | undefined>>;
  /** False after `--no-color`. */
  readonly colour: boolean;
  /** The command's help as text. */
  readonly help: () => string;
}

export interface CliCommand {
  /** What follows the name: `[inputs...]`. */
  readonly usage: string;
  readonly about: string;
  readonly flags: readonly Flag[];
  /** Shown under the help; at least one command that works as it stands. */
  readonly examples: readonly string[];
  readonly act: (given: Given, io: Io) => Promise<ExitCode>;
}
