/**
 * What was typed -> what it means. Everything is checked before anything is read; the text of each flag is read as
 * the front matter's would be.
 */
import {
  made,
  readLadderFile,
  readWish,
  type Ladder,
  type Outcome,
  type Problem,
  type Source,
  type TextWishName,
  type Wishes,
} from '../index.ts';
import type { Flag, Given } from './command.ts';
import { readTextFile, waitsForTyping } from './inputs.ts';
import type { Io } from './io.ts';
import { openOutlet, type Form, type Outlet } from './outputs.ts';
import { COMMAND_LINE, type Reporter } from './report.ts';

/** The flags that fix how a rhyme is placed on beats. */
export const PLACING_FLAGS: readonly Flag[] = [
  {
    flags: '--metre <metre>',
    about: 'time signature: 2/4, 3/4, 4/4, 6/8, 9/8, 12/8 (else told from the words)',
  },
  { flags: '--beats <number>', about: 'beats in every line, 1 to 16 (else told from the words)' },
];

/** The class. */
export const AGE_FLAG: Flag = {
  flags: '--age <class>',
  about: '3-5 (years), K-1, 2-3, 4-5 or 6+ (grades): comfortable range and tempo',
};

/** A teaching order of the teacher's own. */
export const LADDER_FLAG: Flag = {
  flags: '--ladder <file>',
  about: 'a ladder of your own, of tones, rhythms or both (YAML); rungs are named by it',
};

/** The flags that concern the tune. */
export const SINGING_FLAGS: readonly Flag[] = [
  AGE_FLAG,
  { flags: '--rung <names>', about: 'so-mi,so-mi-la or so-mi..so-mi-la-do or all (default: so-mi)' },
  { flags: '--do <pitch>', about: "pitch of do, such as D4 (default: the rung's usual do that fits)" },
  { flags: '--tempo <beats>', about: 'beats a minute, 40 to 208' },
  { flags: '--rhythms <name>', about: 'the last rhythm that the class can read, such as half-note' },
  { flags: '--seed <number>', about: 'another number, other tunes for the takes (default: 1)' },
  {
    flags: '--take <numbers>',
    about: 'which settings to make: 1 is the best one, 1..5 gives five (default: 1)',
  },
  { flags: '--no-slur', about: 'never two tones on one syllable' },
  { flags: '--no-family', about: "several rungs: make each song on its own, not from the easier one's tune" },
  {
    flags: '--for-canon <beats>',
    about: 'make a tune that can be sung as a canon, voices so many beats apart',
  },
  LADDER_FLAG,
];

export const INPUT_FLAGS: readonly Flag[] = [
  { flags: '--files-from <file>', about: 'read the names of rhyme files from this file, one a line' },
];

export const OUT_FLAG: Flag = {
  flags: '--out <folder>',
  about: 'write files here, named rhyme.rung.take.ending; the take only where there are several',
};

const WISHES: readonly TextWishName[] = [
  'metre',
  'beats',
  'rung',
  'do',
  'tempo',
  'rhythms',
  'seed',
  'take',
  'age',
  'canon',
];

/** Flags that are not called as their wishes are. */
const FLAGS: Partial<Record<TextWishName, { readonly key: string; readonly typed: string }>> = {
  canon: { key: 'forCanon', typed: '--for-canon' },
};

export interface Setup<F extends Form> {
  readonly wishes: Wishes;
  readonly forms: readonly F[];
  readonly outlet: Outlet;
}

/** Check all flags; null when something is wrong, which is then reported, or when help was shown instead. */
export async function prepare<F extends Form>(
  given: Given,
  io: Io,
  reporter: Reporter,
  choose: (to: string | null) => readonly F[] | Problem,
): Promise<Setup<F> | null> {
  const { to, out, ladder: path } = given.flags;
  const ladder = typeof path === 'string' ? await ladderWanted(path, io, reporter) : made(null);
  if (!ladder.ok) return null;
  const { wishes, faults } = wishesFrom(given.flags, ladder.value);
  for (const { problem, source } of faults) reporter.report([problem], source);
  const forms = choose(typeof to === 'string' ? to : null);
  if ('code' in forms) {
    reporter.report([forms], COMMAND_LINE);
    return null;
  }
  const outlet = openOutlet(forms, typeof out === 'string' ? out : null, io);
  if ('code' in outlet) {
    reporter.report([outlet], COMMAND_LINE);
    return null;
  }
  if (faults.length > 0) return null;
  if (waitsForTyping(given, io)) {
    io.stderr.write(given.help());
    return null;
  }
  return { wishes, forms, outlet };
}

/** A problem with the flag that it is about, to be quoted. */
interface FlagProblem {
  readonly problem: Problem;
  readonly source: Source;
}

/** All wishes that the flags speak; every flag that cannot be read is a problem. */
function wishesFrom(
  flags: Given['flags'],
  ladder: Ladder | null,
): {
  readonly wishes: Wishes;
  readonly faults: readonly FlagProblem[];
} {
  let wishes: Wishes = {
    ...(flags['slur'] === false ? { slur: false } : {}),
    ...(flags['family'] === false ? { family: false } : {}),
    ...(ladder === null ? {} : { ladder }),
  };
  const faults: FlagProblem[] = [];
  for (const name of WISHES) {
    const { key, typed: flag } = FLAGS[name] ?? { key: name, typed: `--${name}` };
    const text = flags[key];
    if (typeof text !== 'string') continue;
    const typed = `${flag} ${text}`;
    const read: Outcome<Wishes> = readWish(name, text, typed.length - text.length, ladder ?? undefined);
    const source = { name: null, text: typed };
    faults.push(...read.problems.map((problem) => ({ problem, source })));
    if (read.ok) wishes = { ...wishes, ...read.value };
  }
  return { wishes, faults };
}

/** The ladder in a file; what is wrong with it is reported. */
export async function ladderWanted(path: string, io: Io, reporter: Reporter): Promise<Outcome<Ladder>> {
  const text = readTextFile(path, io);
  const ladder = text.ok ? await readLadderFile(text.value) : text;
  reporter.report(ladder.problems, { name: path, text: text.ok ? text.value : null });
  return ladder;
}
