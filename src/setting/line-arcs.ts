/**
 * The pieces that placements of a line are made of, each with what it costs: ways into the line, stretches from beat
 * to beat, ways out. The search joins them; nothing here chooses.
 */
import {
  chargePlace,
  chargeStart,
  chargeStretch,
  chargeStretched,
  chargeTail,
  EMPTY_INSIDE_MAX,
  FILLERS_MAX,
  isStretched,
  type Stretch,
} from './line-costs.ts';
import type { LineLattice } from './line-lattice.ts';
import { nodeAt } from './line-marks.ts';
import { totalOf, type Weights } from './placement-rules.ts';

/** The upbeat and the syllable on the first beat. */
export interface StartArc {
  readonly fillers: readonly number[];
  readonly to: number;
  readonly cost: number;
}

/** From one filled beat to the next. */
export interface StepArc extends Stretch {
  /** Beats between on which nothing begins. */
  readonly empty: number;
  /** By the beat of four that `to` stands on. */
  readonly costs: readonly number[];
  /** Only as the line's last stretch, as part of a tail: neighbours see it. */
  readonly stretched: boolean;
}

/** From a filled beat to the end of the line. */
export interface TailArc {
  readonly from: number;
  readonly fillers: readonly number[];
  readonly cost: number;
  /** A stretched ending: the last syllable on the next beat. */
  readonly stretch: StepArc | null;
}

export interface LineArcs {
  readonly starts: readonly StartArc[];
  /** For each node, those that leave it. */
  readonly steps: readonly (readonly StepArc[])[];
  readonly tails: readonly TailArc[];
}

/** Every piece of the line, at these weights. */
export function arcsOf(lattice: LineLattice, weights: Weights): LineArcs {
  const starts = runs(lattice, lattice.first).map(({ fillers, to }) => ({
    fillers,
    to,
    cost: totalOf(weights, (sink) => {
      chargeStart(lattice, fillers, to, sink);
    }),
  }));
  const steps = lattice.nodes.map((node, from) =>
    runs(lattice, node.next).flatMap(({ fillers, to }) => stepsOf(lattice, { from, fillers, to }, weights)),
  );
  const tails = lattice.nodes.flatMap((_, from) => tailsOf(lattice, from, steps[from] ?? [], weights));
  return { starts, steps, tails };
}

function stepsOf(lattice: LineLattice, stretch: Stretch, weights: Weights): readonly StepArc[] {
  return Array.from({ length: EMPTY_INSIDE_MAX + 1 }, (_, empty): StepArc => {
    const cost = totalOf(weights, (sink) => {
      chargeStretch(lattice, stretch, empty, sink);
    });
    const costs = [0, 1, 2, 3].map(
      (beat) =>
        cost +
        totalOf(weights, (sink) => {
          chargePlace(lattice, stretch, empty, beat, sink);
        }),
    );
    const tight = empty === 0 && stretch.fillers.length === 0;
    const stretched = tight && isStretched(nodeAt(lattice, stretch.from), nodeAt(lattice, stretch.to));
    return { ...stretch, empty, costs, stretched };
  });
}

function tailsOf(
  lattice: LineLattice,
  from: number,
  steps: readonly StepArc[],
  weights: Weights,
): readonly TailArc[] {
  const plain = endings(lattice, nodeAt(lattice, from).next, []).map((fillers): TailArc => ({
    from,
    fillers,
    stretch: null,
    cost: totalOf(weights, (sink) => {
      chargeTail(lattice, from, fillers, sink);
    }),
  }));
  const stretched = steps.filter((step) => step.stretched);
  const late = stretched.map((stretch): TailArc => ({
    from,
    fillers: [],
    stretch,
    cost: totalOf(weights, (sink) => {
      chargeStretched(lattice, from, stretch.to, sink);
      chargeTail(lattice, stretch.to, [], sink);
    }),
  }));
  return [...plain, ...late];
}

/** Runs of up to `FILLERS_MAX` syllables and the syllable after them, over every reading. */
function runs(
  lattice: LineLattice,
  starts: readonly number[],
): readonly { readonly fillers: readonly number[]; readonly to: number }[] {
  const found: { fillers: readonly number[]; to: number }[] = [];
  const walk = (nexts: readonly number[], fillers: readonly number[]): void => {
    for (const to of nexts) {
      found.push({ fillers, to });
      if (fillers.length < FILLERS_MAX) walk(nodeAt(lattice, to).next, [...fillers, to]);
    }
  };
  walk(starts, []);
  return found;
}

/** Runs of up to `FILLERS_MAX` syllables that end the line. */
function endings(
  lattice: LineLattice,
  nexts: readonly number[],
  tail: readonly number[],
): readonly (readonly number[])[] {
  if (nexts.length === 0) return [tail];
  if (tail.length === FILLERS_MAX) return [];
  return nexts.flatMap((node) => endings(lattice, nodeAt(lattice, node).next, [...tail, node]));
}
