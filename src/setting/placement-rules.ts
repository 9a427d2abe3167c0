/**
 * The names of the rules that a placement pays, in the order of the weights file. Rules are facts of the trade;
 * what each weighs is fitted (see `placement-weights.data.ts`). Nothing here searches.
 */
import type { BeatClass } from '../time.ts';
import { PLACEMENT_WEIGHTS } from './placement-weights.data.ts';

/** Kebab-case name of a rule; each is explained where it is charged. */
export type RuleName = keyof typeof PLACEMENT_WEIGHTS;

/** What a rule costs for one whole unit, in hundredths of a natural logarithm; negative is a reward. */
export type Weights = Readonly<Record<RuleName, number>>;

/** The amount of a rule that is either paid or not, in hundredths. */
export const ONCE = 100;

/** Takes one charge: the rule, the syllable's node or -1 for the line, and the amount in hundredths of a unit. */
export type Sink = (rule: RuleName, node: number, amount?: number) => void;

/** What an amount of a rule costs, as an integer. */
export function costOf(weights: Weights, rule: RuleName, amount: number = ONCE): number {
  const weight = weights[rule];
  return amount === ONCE ? weight : Math.round((weight * amount) / ONCE);
}

/** The sum of what `charge` charges. */
export function totalOf(weights: Weights, charge: (sink: Sink) => void): number {
  let total = 0;
  charge((rule, _node, amount) => {
    total += costOf(weights, rule, amount);
  });
  return total;
}

/** The weights of one beat class, out of pairs as in the data file. */
export function weightsFor(beatClass: BeatClass, pairs: WeightPairs = PLACEMENT_WEIGHTS): Weights {
  const column = beatClass === 'simple' ? 0 : 1;
  const entries = Object.entries(pairs).map(([rule, pair]) => [rule, pair[column]]);
  return Object.fromEntries(entries) as Weights;
}

/** Every rule's weight in simple and in compound time. */
export type WeightPairs = Readonly<Record<RuleName, readonly [simple: number, compound: number]>>;
