/**
 * What was typed for `practice` -> a plan; everything is checked before anything is made.
 */
import {
  andThen,
  failed,
  inWords,
  made,
  nearest,
  PLAN_NAMES,
  planNamed,
  readPlan,
  readYaml,
  type Outcome,
  type Plan,
  type PlanStep,
  type Source,
  type Wishes,
} from '../index.ts';
import type { Flag, Given } from './command.ts';
import { readTextFile } from './inputs.ts';
import type { Io } from './io.ts';
import { COMMAND_LINE, usageProblem } from './report.ts';

export const PRACTICE_FLAGS: readonly Flag[] = [
  { flags: '--plan <name>', about: `${PLAN_NAMES.join(', ')} (default: learn)` },
  { flags: '--plan-file <file>', about: 'a plan of your own: steps, repeats, tempo, silent lines' },
  {
    flags: '--steps <names>',
    about: 'steps instead of those of the plan, each with how often it is done: listen:2,sing-by-phrase',
  },
  { flags: '--stanzas <numbers>', about: 'practise these stanzas only: 1 or 1,3' },
  { flags: '--silent <numbers>', about: 'lines that the step inner leaves silent: 2,4' },
  { flags: '--solfa', about: 'sing on solfa, not on the words' },
];

/** A plan, or what is wrong, with the text that the problems are about. */
export interface PlanReading {
  readonly plan: Outcome<Plan>;
  readonly source: Source;
}

/** The plan that the flags ask for, from a name, a file or a list of steps, with what else they say put into it. */
export async function planWanted(flags: Given['flags'], wishes: Wishes, io: Io): Promise<PlanReading> {
  const { plan, planFile, steps } = flags;
  const asked = [plan, planFile, steps].filter((flag) => typeof flag === 'string');
  if (asked.length > 1) {
    const message = 'A plan comes from --plan, --plan-file or --steps: give one of them.';
    return { plan: failed(usageProblem(message)), source: COMMAND_LINE };
  }
  const { plan: base, source } =
    typeof planFile === 'string'
      ? await planOfFile(planFile, io)
      : {
          plan:
            typeof steps === 'string'
              ? planOfSteps(steps)
              : planOfName(typeof plan === 'string' ? plan : 'learn'),
          source: COMMAND_LINE,
        };
  return { plan: andThen(base, (found) => withFlags(found, flags, wishes)), source };
}

async function planOfFile(path: string, io: Io): Promise<PlanReading> {
  const text = readTextFile(path, io);
  const source = { name: path, text: text.ok ? text.value : null };
  if (text.ok) return { plan: andThen(await readYaml(text.value), ({ value }) => readPlan(value)), source };
  const problems = text.problems.map((problem) => ({
    ...problem,
    hint: 'Give the path of a plan: a text file in YAML.',
  }));
  return { plan: { ok: false, problems }, source };
}

function planOfName(text: string): Outcome<Plan> {
  const name = PLAN_NAMES.find((each) => each === text);
  if (name !== undefined) return made(planNamed(name));
  const near = nearest(text, PLAN_NAMES);
  const hint = near === null ? undefined : `Did you mean ${near}?`;
  return failed(
    usageProblem(`--plan ${text}: there is no such plan. Plans are ${inWords(PLAN_NAMES)}.`, hint),
  );
}

function planOfSteps(text: string): Outcome<Plan> {
  const steps = text.split(',').map((part) => {
    const [step = '', times] = part.trim().split(':');
    return times === undefined ? step : { step, times: Number(times) };
  });
  return readPlan({ steps });
}

function withFlags(plan: Plan, flags: Given['flags'], wishes: Wishes): Outcome<Plan> {
  return andThen(numbersOf(flags, 'stanzas'), (stanzas) =>
    andThen(numbersOf(flags, 'silent'), (silent) => {
      if (silent !== null && !plan.steps.some((step) => step.step === 'inner')) {
        const message = '--silent concerns the step inner, which this plan has not.';
        return failed(usageProblem(message, 'Take --plan inner.'));
      }
      const steps = plan.steps.map((step): PlanStep => ({
        ...step,
        on: flags['solfa'] === true ? 'solfa' : step.on,
        silent: step.step === 'inner' ? (silent ?? step.silent) : step.silent,
      }));
      return made({
        ...plan,
        steps,
        stanzas: stanzas ?? plan.stanzas,
        tempoBpm: wishes.tempo ?? plan.tempoBpm,
      });
    }),
  );
}

/** Numbers with commas, from 1; null when the flag was not typed. */
function numbersOf(flags: Given['flags'], name: 'stanzas' | 'silent'): Outcome<readonly number[] | null> {
  const text = flags[name];
  if (typeof text !== 'string') return made(null);
  const parts = text.split(',').map((part) => part.trim());
  if (!parts.every((part) => /^[1-9]\d{0,3}$/.test(part))) {
    return failed(usageProblem(`--${name} ${text}: here go numbers from 1, with commas: 2,4.`));
  }
  return made([...new Set(parts.map(Number))].sort((a, b) => a - b));
}
