/**
 * Why the notes are these notes: for each phrase its form letter, its cadence, and the rules that decided, in words a
 * teacher uses. Nothing is chosen here; the costs are those of the search, counted again rule by rule.
 */
import type { Charge } from '../placement.ts';
import type { Rhythm } from '../rhythm.ts';
import { FORBIDDEN } from '../lattice.ts';
import { LOCAL_RULES, STEP_RULES } from './melody-costs.ts';
import { TURN_RULES } from './melody-turns.ts';
import { setMelody, tuneOfTake, type MelodyOptions } from './melody.ts';
import {
  afterBeatAt,
  alterationAt,
  endingOf,
  isBetween,
  type PhraseTask,
  type RungTables,
} from './melody-model.ts';
import { beatPlace } from './melody-places.ts';
import { RULE_WORDS } from './melody-words.ts';
import type { PhrasePlan } from './form.ts';

/** What decided one phrase. */
export interface PhraseReasons {
  /** Number of the line, from 1. */
  readonly line: number;
  /** `a`, `b`, `a'`. */
  readonly form: string;
  /** How it came by its tune: `a new tune`, `the tune of line 1, the last 2 notes changed`. */
  readonly tune: string;
  readonly cadence: 'open' | 'closed';
  /** The rules that decided most of its notes, most notes first; each at least one. */
  readonly reasons: readonly { readonly rule: string; readonly words: string; readonly notes: number }[];
  /** Every rule that charged or rewarded, one entry a rule, its sum over the phrase; `syllable` is null. */
  readonly ledger: readonly Charge[];
}

/**
 * The reasons for the song that `setMelody` gives with the same arguments; empty when it gives none.
 *
 * A note is decided by the rule that the best other tone in its place would have paid most to; notes that a returning
 * tune or the teacher fixed are counted under those.
 */
export function explainMelody(rhythm: Rhythm, options: MelodyOptions): readonly PhraseReasons[] {
  const found = tuneOfTake(rhythm, options);
  const outcome = setMelody(rhythm, options);
  if (found === null || !outcome.ok) return [];
  const { tune, tables } = found;
  return outcome.value.phrases.map((phrase, i): PhraseReasons => {
    const task = tune.tasks[i];
    const plan = tune.plans[i];
    const tones = tune.tones[i] ?? [];
    return {
      line: phrase.line,
      form: phrase.form,
      tune: plan === undefined ? '' : tuneWords(plan, outcome.value.phrases[plan.source ?? 0]?.line ?? 1),
      cadence: phrase.cadence,
      reasons: task === undefined ? [] : reasonsFor(task, tones, tables),
      ledger: task === undefined ? [] : ledgerOf(task, tones, tables),
    };
  });
}

function tuneWords(plan: PhrasePlan, line: number): string {
  if (plan.source === null) return 'a new tune';
  const tune = `the tune of line ${String(line)}`;
  if (plan.kind === 'echo') return `${tune}, fitted to these words`;
  if (plan.kind === 'copy') return tune;
  return `${tune}, the last ${plan.tail === 1 ? 'note' : `${String(plan.tail)} notes`} free to change`;
}

/** Costs of a phrase's tones, rule by rule; they add up to the cost of its path. */
export function ledgerOf(task: PhraseTask, tones: readonly number[], tables: RungTables): readonly Charge[] {
  const sums = chargesOf(task, tones, tables);
  return [...sums].filter(([, cost]) => cost !== 0).map(([rule, cost]) => ({ rule, cost, syllable: null }));
}

function chargesOf(task: PhraseTask, tones: readonly number[], tables: RungTables): Map<string, number> {
  const sums = new Map<string, number>();
  const charge = (rule: string, cost: number): void => {
    sums.set(rule, (sums.get(rule) ?? 0) + cost);
  };
  let anchor = -1;
  task.places.forEach((place, k) => {
    const moment = task.moments[k];
    const tone = tones[k] ?? -1;
    const from = tones[k - 1];
    if (moment === undefined) return;
    for (const rule of LOCAL_RULES) {
      if (rule.applies?.(moment) ?? true) charge(rule.name, rule.cost(tone, moment));
    }
    charge('family', alterationAt(task.moments, k, from ?? -1, tone));
    if (from === undefined) {
      charge('join', tables.join(task.before)[tone] ?? 0);
      return;
    }
    const step = {
      ground: tables.ground,
      place: beatPlace(place.strength),
      ending: endingOf(moment),
      aim: moment.aim,
    };
    for (const rule of STEP_RULES) charge(rule.name, rule.cost(from, tone, step));
    const onBeat = afterBeatAt(task.places, k);
    if (anchor >= 0 && !isBetween(task.places, k)) {
      for (const rule of TURN_RULES) charge(rule.name, rule.cost(anchor, from, tone, tables.ground, onBeat));
    }
    if (onBeat) anchor = from;
  });
  return sums;
}

function reasonsFor(
  task: PhraseTask,
  tones: readonly number[],
  tables: RungTables,
): PhraseReasons['reasons'] {
  const counts = new Map<string, number>();
  tones.forEach((_, k) => {
    const rule = deciding(task, tones, k, tables);
    counts.set(rule, (counts.get(rule) ?? 0) + 1);
  });
  return [...counts]
    .sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))
    .slice(0, 4)
    .map(([rule, notes]) => ({ rule, words: RULE_WORDS[rule] ?? rule, notes }));
}

/** The rule that weighs most against the best other tone for one note. */
function deciding(task: PhraseTask, tones: readonly number[], k: number, tables: RungTables): string {
  if ((task.fixed[k] ?? -1) >= 0) return 'held';
  const chosen = chargesOf(task, tones, tables);
  const total = (sums: ReadonlyMap<string, number>): number => [...sums.values()].reduce((a, b) => a + b, 0);
  let best: ReadonlyMap<string, number> | null = null;
  for (let other = 0; other < tables.rung.tones.length; other += 1) {
    if (other === tones[k]) continue;
    const sums = chargesOf(task, tones.with(k, other), tables);
    if (best === null || total(sums) < total(best)) best = sums;
  }
  let [name, most] = ['fancy', 0];
  for (const [rule, cost] of best ?? []) {
    const more = Math.min(cost, FORBIDDEN) - (chosen.get(rule) ?? 0);
    if (more > most) [name, most] = [rule, more];
  }
  return name;
}
