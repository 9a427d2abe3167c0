/**
 * Plans: which steps a lesson has, in which order. The built-in ones are data; a teacher's own plan is checked here.
 * Nothing here knows a song.
 */
import { made, type Outcome, type Problem } from '../problem.ts';
import { nearest } from '../suggest.ts';

/** What a step can be; each is built in steps.ts. */
export const STEP_NAMES = [
  'listen',
  'chant-by-phrase',
  'chant-by-two',
  'chant-together',
  'chant-alone',
  'tones',
  'scale',
  'sing-by-phrase',
  'sing-by-two',
  'sing-together',
  'sing-alone',
  'inner',
] as const;
export type StepName = (typeof STEP_NAMES)[number];

export interface PlanStep {
  readonly step: StepName;
  /** How often it is done, 1 to 8. */
  readonly times: number;
  /** Whether it is sung on the words of the rhyme or on solfa; a chant has the words always. */
  readonly on: 'words' | 'solfa';
  /** Lines sung inside the head in an `inner` step; null: every second line. */
  readonly silent: readonly number[] | null;
  /** Felt beats a minute for this step; null: the plan's. */
  readonly tempoBpm: number | null;
}

export interface Plan {
  readonly name: string;
  /** At least one. */
  readonly steps: readonly PlanStep[];
  /** Felt beats a minute; null: the song's. */
  readonly tempoBpm: number | null;
  /** Stanzas to practise; null: all. */
  readonly stanzas: readonly number[] | null;
}

export const PLAN_NAMES = ['echo', 'learn', 'read', 'inner', 'all'] as const;
export type PlanName = (typeof PLAN_NAMES)[number];

/**
 * The built-in plans. Whole song first and often, then short echoes, then two phrases, then all, then from memory:
 * Klinger, Campbell and Goolsby, Journal of Research in Music Education 1998, found fewer errors after hearing the
 * whole song; echoes between are common practice.
 */
const PLAN_STEPS: Readonly<Record<PlanName, readonly (StepName | Partial<PlanStep>)[]>> = {
  echo: [{ step: 'listen', times: 2 }, 'sing-by-phrase', 'sing-by-two', 'sing-together'],
  learn: [
    { step: 'listen', times: 3 },
    'chant-by-phrase',
    'chant-by-two',
    'chant-together',
    'chant-alone',
    'sing-by-phrase',
    'sing-by-two',
    'sing-together',
    'sing-alone',
  ],
  read: [
    'chant-by-phrase',
    'chant-together',
    'tones',
    'scale',
    { step: 'sing-by-phrase', on: 'solfa' },
    { step: 'sing-by-two', on: 'solfa' },
    { step: 'sing-together', on: 'solfa' },
    'sing-together',
  ],
  inner: ['listen', 'sing-together', { step: 'inner', times: 2 }, 'sing-alone'],
  all: [
    { step: 'listen', times: 3 },
    'chant-by-phrase',
    'chant-by-two',
    'chant-together',
    'chant-alone',
    'tones',
    'sing-by-phrase',
    'sing-by-two',
    'sing-together',
    { step: 'inner', times: 2 },
    'scale',
  ],
};

/** A built-in plan. */
export function planNamed(name: PlanName): Plan {
  const steps = PLAN_STEPS[name].map((step): PlanStep => {
    const more = typeof step === 'string' ? { step } : step;
    return { step: 'listen', times: 1, on: 'words', silent: null, tempoBpm: null, ...more };
  });
  return { name, steps, tempoBpm: null, stanzas: null };
}

/** Slowest and fastest felt beat, as for songs; most repeats of a step; most steps of a plan. */
const TEMPO = { least: 40, most: 208 };
const MOST_TIMES = 8;
const MOST_STEPS = 100;

const PLAN_KEYS = ['plan', 'tempo', 'stanzas', 'steps'];
const STEP_KEYS = ['step', 'times', 'on', 'silent', 'tempo'];

/**
 * A plan file as parsed, checked. Its form: `plan` (a name), `tempo`, `stanzas` (numbers) and `steps`, a list of
 * step names or of records `{ step, times, on, silent, tempo }`. All but `steps` may be left out.
 *
 * Problems: `bad-plan`, one for everything that is wrong, each naming its place (`steps 3, times`).
 *
 * @example readPlan({ steps: ['listen', { step: 'inner', silent: [2], tempo: 96 }] })
 */
export function readPlan(value: unknown): Outcome<Plan> {
  const problems: Problem[] = [];
  const wrong = (where: string, message: string, hint: string | null = null): void => {
    problems.push({
      code: 'bad-plan',
      severity: 'error',
      message: `In the plan, ${where}: ${message}`,
      ...(hint === null ? {} : { hint }),
    });
  };
  const record = asRecord(value);
  if (record === null) {
    wrong('the whole', 'this is no plan. A plan has steps, a list of step names.');
    return { ok: false, problems };
  }
  checkKeys(record, PLAN_KEYS, '', wrong);
  const { plan: name, tempo, stanzas, steps } = record;
  if (name !== undefined && typeof name !== 'string') wrong('plan', 'the name of a plan is a word.');
  const list = Array.isArray(steps) ? (steps as readonly unknown[]) : [];
  if (list.length === 0 || list.length > MOST_STEPS) {
    wrong('steps', `a plan has 1 to ${String(MOST_STEPS)} steps, each one of ${STEP_NAMES.join(', ')}.`);
  }
  const plan: Plan = {
    name: typeof name === 'string' ? name : 'own',
    tempoBpm: readTempo(tempo, 'tempo', wrong),
    stanzas: readNumbers(stanzas, 'stanzas', 'stanzas by number, from 1', wrong),
    steps: list.flatMap((each, i) => readStep(each, `steps ${String(i + 1)}`, wrong) ?? []),
  };
  return problems.length > 0 ? { ok: false, problems } : made(plan);
}

type Wrong = (where: string, message: string, hint?: string | null) => void;

function readStep(value: unknown, where: string, wrong: Wrong): PlanStep | null {
  const record = typeof value === 'string' ? { step: value } : asRecord(value);
  if (record === null) {
    wrong(where, 'a step is a name, or a record with step, times, on, silent and tempo.');
    return null;
  }
  checkKeys(record, STEP_KEYS, `${where}, `, wrong);
  const { step: name, times = 1, on = 'words', silent, tempo } = record as Record<string, unknown>;
  const known = STEP_NAMES.find((each) => each === name);
  if (known === undefined) {
    const near = typeof name === 'string' ? nearest(name, STEP_NAMES) : null;
    const hint = near === null ? null : `Did you mean ${near}?`;
    wrong(where, `there is no step "${shown(name)}". Steps are ${STEP_NAMES.join(', ')}.`, hint);
  }
  const often = typeof times === 'number' && Number.isInteger(times) && times >= 1 && times <= MOST_TIMES;
  if (!often)
    wrong(`${where}, times`, `a step is done 1 to ${String(MOST_TIMES)} times; this is "${shown(times)}".`);
  if (on !== 'words' && on !== 'solfa')
    wrong(`${where}, on`, `a step is on words or on solfa; this is "${shown(on)}".`);
  if (silent !== undefined && known !== undefined && known !== 'inner') {
    wrong(`${where}, silent`, 'only the step inner has silent lines.');
  }
  if (known === undefined) return null;
  return {
    step: known,
    times: often ? times : 1,
    on: on === 'solfa' ? 'solfa' : 'words',
    silent: readNumbers(silent, `${where}, silent`, 'lines by number, from 1', wrong),
    tempoBpm: readTempo(tempo, `${where}, tempo`, wrong),
  };
}

function readTempo(value: unknown, where: string, wrong: Wrong): number | null {
  if (value === undefined || value === null) return null;
  if (typeof value === 'number' && Number.isInteger(value) && value >= TEMPO.least && value <= TEMPO.most)
    return value;
  const range = `${String(TEMPO.least)} to ${String(TEMPO.most)}`;
  wrong(where, `the tempo is beats a minute, a whole number from ${range}; this is "${shown(value)}".`);
  return null;
}

function readNumbers(value: unknown, where: string, what: string, wrong: Wrong): readonly number[] | null {
  if (value === undefined || value === null) return null;
  const list: readonly unknown[] = Array.isArray(value) ? value : [value];
  const numbers = list.filter((each): each is number => Number.isInteger(each) && (each as number) >= 1);
  if (numbers.length === list.length && numbers.length > 0)
    return [...new Set(numbers)].sort((a, b) => a - b);
  wrong(where, `here go ${what}; this is "${shown(value)}".`);
  return null;
}

function checkKeys(record: object, keys: readonly string[], where: string, wrong: Wrong): void {
  for (const key of Object.keys(record)) {
    if (keys.includes(key)) continue;
    const near = nearest(key, keys);
    wrong(
      `${where}${key}`,
      `this is not known here. Known are ${keys.join(', ')}.`,
      near === null ? null : `Did you mean ${near}?`,
    );
  }
}

function asRecord(value: unknown): Readonly<Record<string, unknown>> | null {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Readonly<Record<string, unknown>>)
    : null;
}

function shown(value: unknown): string {
  return typeof value === 'string' ? value : (JSON.stringify(value) ?? 'nothing');
}
