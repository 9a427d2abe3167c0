/**
 * The pieces that placements of a line are made of, each with what it costs: ways into the line, stretches from beat
 * to beat, ways out. The search joins them; nothing here chooses.
 */
import {
  chargePlace,
  chargeStart,
  chargeStress,
  chargeStretch,
  chargeStretched,
  chargeTail,
  EMPTY_INSIDE_MAX,
  FILLERS_MAX,
  isStretched,
  OUTER_MAX,
  patternOf,
  type Stretch,
} from './line-costs.ts';
import type { LineLattice } from './line-lattice.ts';
import { nodeAt } from './line-marks.ts';
import { costOf, type Sink, type Weights } from './placement-rules.ts';

/** What a piece costs in each beat class asked for, in their order. */
export type Costs = readonly number[];

/** The upbeat and the syllable on the first beat. */
export interface StartArc {
  readonly fillers: readonly number[];
  readonly to: number;
  readonly costs: Costs;
}

/** From one filled beat to the next. */
export interface StepArc extends Stretch {
  /** Beats between on which nothing begins. */
  readonly empty: number;
  readonly costs: Costs;
  /** Which row of `LineArcs.places` it pays besides. */
  readonly pattern: number;
  /** Only as the line's last stretch, as part of a tail: neighbours see it. */
  readonly stretched: boolean;
}

/** From a filled beat to the end of the line. */
export interface TailArc {
  readonly from: number;
  readonly fillers: readonly number[];
  readonly costs: Costs;
  /** A stretched ending: the last syllable on the next beat. */
  readonly stretch: StepArc | null;
}

export interface LineArcs {
  readonly starts: readonly StartArc[];
  /** For each node, those that leave it. */
  readonly steps: readonly (readonly StepArc[])[];
  readonly tails: readonly TailArc[];
  /** For each beat class, at `pattern * 4 + beat % 4`: what a step pays for the beat that it arrives on. */
  readonly places: readonly Int32Array[];
  /** For each beat class, at `node * 4 + beat % 4`: what a syllable pays for being strong on this beat. */
  readonly stresses: readonly Int32Array[];
}

/** What a step costs in a beat class (by its index) when it arrives on this beat, counted from 0. */
export function stepCost(arcs: LineArcs, step: StepArc, which: number, beat: number): number {
  const place = beat & 3;
  return (
    (step.costs[which] ?? 0) +
    (arcs.places[which]?.[step.pattern * 4 + place] ?? 0) +
    (arcs.stresses[which]?.[step.to * 4 + place] ?? 0)
  );
}

/** Every piece of the line, at the weights of each beat class. */
export function arcsOf(lattice: LineLattice, weights: readonly Weights[]): LineArcs {
  const tally = tallyOf(weights);
  const starts = runs(lattice, lattice.first, OUTER_MAX).map(({ fillers, to }) => ({
    fillers,
    to,
    costs: tally((sink) => {
      chargeStart(lattice, fillers, to, sink);
    }),
  }));
  const steps = lattice.nodes.map((node, from) => {
    const own: StepArc[] = [];
    for (const { fillers, to } of runs(lattice, node.next, FILLERS_MAX)) {
      for (let empty = 0; empty <= EMPTY_INSIDE_MAX; empty++)
        own.push(stepOf(lattice, { from, fillers, to }, empty, tally));
    }
    return own;
  });
  const tails = lattice.nodes.flatMap((_, from) => tailsOf(lattice, from, steps[from] ?? [], tally));
  return {
    starts,
    steps,
    tails,
    places: byBeat(PATTERNS, weights, (pattern, beat, sink) => {
      chargePlace(pattern, beat, sink);
    }),
    stresses: byBeat(lattice.nodes.length, weights, (node, beat, sink) => {
      chargeStress(lattice, node, beat, sink);
    }),
  };
}

/** Patterns of a stretch that its place can charge: see `patternOf`. */
const PATTERNS = 4;

function byBeat(
  rows: number,
  weights: readonly Weights[],
  charge: (row: number, beat: number, sink: Sink) => void,
): readonly Int32Array[] {
  return weights.map((own) => {
    const costs = new Int32Array(rows * 4);
    for (let at = 0; at < costs.length; at++) {
      charge(at >> 2, at & 3, (rule, _node, amount) => {
        costs[at] = (costs[at] ?? 0) + costOf(own, rule, amount);
      });
    }
    return costs;
  });
}

type Tally = (charge: (sink: Sink) => void) => Costs;

/** Adds up charges at the weights of every beat class at once. */
function tallyOf(weights: readonly Weights[]): Tally {
  let sums: number[] = [];
  const sink: Sink = (rule, _node, amount) => {
    for (let which = 0; which < weights.length; which++) {
      const own = weights[which];
      if (own !== undefined) sums[which] = (sums[which] ?? 0) + costOf(own, rule, amount);
    }
  };
  return (charge) => {
    sums = weights.map(() => 0);
    charge(sink);
    return sums;
  };
}

function stepOf(lattice: LineLattice, stretch: Stretch, empty: number, tally: Tally): StepArc {
  const { from, fillers, to } = stretch;
  const costs = tally((sink) => {
    chargeStretch(lattice, stretch, empty, sink);
  });
  const tight = empty === 0 && fillers.length === 0;
  const stretched = tight && isStretched(nodeAt(lattice, from), nodeAt(lattice, to));
  return { from, fillers, to, empty, costs, pattern: patternOf(fillers.length, empty), stretched };
}

function tailsOf(
  lattice: LineLattice,
  from: number,
  steps: readonly StepArc[],
  tally: Tally,
): readonly TailArc[] {
  const tails = endings(lattice, nodeAt(lattice, from).next, []).map((fillers): TailArc => ({
    from,
    fillers,
    stretch: null,
    costs: tally((sink) => {
      chargeTail(lattice, from, fillers, sink);
    }),
  }));
  for (const stretch of steps) {
    if (!stretch.stretched) continue;
    const costs = tally((sink) => {
      chargeStretched(lattice, from, stretch.to, sink);
      chargeTail(lattice, stretch.to, [], sink);
    });
    tails.push({ from, fillers: [], stretch, costs });
  }
  return tails;
}

/** Runs of up to `most` syllables and the syllable after them, over every reading. */
function runs(
  lattice: LineLattice,
  starts: readonly number[],
  most: number,
): readonly { readonly fillers: readonly number[]; readonly to: number }[] {
  const found: { fillers: readonly number[]; to: number }[] = [];
  const walk = (nexts: readonly number[], fillers: readonly number[]): void => {
    for (const to of nexts) {
      found.push({ fillers, to });
      if (fillers.length < most) walk(nodeAt(lattice, to).next, [...fillers, to]);
    }
  };
  walk(starts, []);
  return found;
}

/** Runs of up to `OUTER_MAX` syllables that end the line. */
function endings(
  lattice: LineLattice,
  nexts: readonly number[],
  tail: readonly number[],
): (readonly number[])[] {
  if (nexts.length === 0) return [tail];
  if (tail.length === OUTER_MAX) return [];
  return nexts.flatMap((node) => endings(lattice, nodeAt(lattice, node).next, [...tail, node]));
}
