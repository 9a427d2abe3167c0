/**
 * The best placements of one line, one for each shape that its neighbours could see. Exact dynamic programming over
 * (syllables in the upbeat, beat, syllable on that beat): a stretch pays only for its own syllables and its beat.
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
import { nodeAt, stretchMarks, type Mark } from './line-marks.ts';
import { costOf, type Sink, type Weights } from './placement-rules.ts';

/** A placement of one line without its empty end, and what it costs. */
export interface LinePath {
  readonly upbeat: number;
  /** Index of the last filled beat. */
  readonly lastBeat: number;
  readonly tail: number;
  readonly stretched: boolean;
  readonly cost: number;
  /** The marks up to the last syllable. */
  readonly marks: () => readonly Mark[];
}

interface Step extends Stretch {
  readonly empty: number;
  /** By the beat of four that `to` stands on. */
  readonly costs: readonly number[];
  /** Taken only as the line's last stretch, where the shape must show it. */
  readonly stretched: boolean;
}

interface Edge {
  readonly node: number;
  readonly fillers: readonly number[];
  readonly cost: number;
  /** A stretched ending: the last stretch, to a syllable on the next beat, is part of it. */
  readonly stretch: Step | null;
}

const NONE = 0x3fffffff;
const UPBEATS = FILLERS_MAX + 1;
/** More stretches than can leave one node. */
const STEPS_MAX = 4096;
/** The kind of a stretched ending, beside the numbers of syllables in a tail. */
const STRETCHED = 7;

/** Every shape that the line can take, each by its cheapest path. O(syllables x beats) for a stated filler limit. */
export function searchLine(lattice: LineLattice, weights: Weights): readonly LinePath[] {
  const size = lattice.nodes.length;
  const beatsMax = Math.max(4, size + 2);
  const steps = stepsOf(lattice, weights);
  const costs = new Int32Array(UPBEATS * beatsMax * size).fill(NONE);
  const from = new Int32Array(costs.length).fill(-1);
  const at = (upbeat: number, beat: number, node: number): number => (upbeat * beatsMax + beat) * size + node;
  for (const start of startsOf(lattice, weights)) {
    const index = at(start.fillers.length, 0, start.node);
    const { cost } = start;
    if (cost < (costs[index] ?? NONE)) {
      costs[index] = cost;
      from[index] = -2 - start.fillers.length;
    }
  }
  // Nodes come in the order of the words, so each is final before it is left.
  for (let node = 0; node < size; node++) {
    for (const [stepIndex, step] of (steps[node] ?? []).entries()) {
      if (step.stretched) continue;
      for (let upbeat = 0; upbeat < UPBEATS; upbeat++) {
        for (let beat = 0; beat + 1 + step.empty < beatsMax; beat++) {
          const here = at(upbeat, beat, node);
          const so = costs[here] ?? NONE;
          if (so === NONE) continue;
          const next = beat + 1 + step.empty;
          const cost = so + (step.costs[next % 4] ?? 0);
          const there = at(upbeat, next, step.to);
          if (cost < (costs[there] ?? NONE)) {
            costs[there] = cost;
            from[there] = node * STEPS_MAX + stepIndex;
          }
        }
      }
    }
  }
  return collect();

  function collect(): readonly LinePath[] {
    const best = new Map<number, { cost: number; path: LinePath }>();
    for (const tail of tailsOf(lattice, weights, steps)) {
      for (let upbeat = 0; upbeat < UPBEATS; upbeat++) {
        for (let beat = 0; beat < beatsMax; beat++) {
          const so = costs[at(upbeat, beat, tail.node)] ?? NONE;
          if (so === NONE) continue;
          const lastBeat = tail.stretch === null ? beat : beat + 1;
          const cost = so + tail.cost + (tail.stretch?.costs[lastBeat % 4] ?? 0);
          const kind = tail.stretch === null ? tail.fillers.length : STRETCHED;
          const key = (upbeat * 4096 + lastBeat) * 8 + kind;
          if (cost >= (best.get(key)?.cost ?? NONE)) continue;
          const marks = (): readonly Mark[] => trace(upbeat, beat, tail);
          const stretched = tail.stretch !== null;
          best.set(key, {
            cost,
            path: { upbeat, lastBeat, tail: tail.fillers.length, stretched, cost, marks },
          });
        }
      }
    }
    return [...best.values()].map(({ path }) => path);
  }

  function trace(upbeat: number, lastBeat: number, tail: Edge): readonly Mark[] {
    const pieces: (readonly Mark[])[] = [tail.fillers.map((node) => ({ kind: 'off', node }))];
    if (tail.stretch !== null) pieces.push([{ kind: 'on', node: tail.stretch.to }]);
    let node = tail.node;
    let beat = lastBeat;
    for (;;) {
      const back = from[at(upbeat, beat, node)] ?? -1;
      if (back < 0) break;
      const step = steps[Math.floor(back / STEPS_MAX)]?.[back % STEPS_MAX];
      if (step === undefined) throw new RangeError('A back pointer names a step.');
      pieces.push(stretchMarks(lattice, step, step.empty));
      node = step.from;
      beat -= 1 + step.empty;
    }
    pieces.push([{ kind: 'on', node }]);
    const start = startsOf(lattice, weights)
      .filter((edge) => edge.node === node && edge.fillers.length === upbeat)
      .reduce((best, edge) => (edge.cost < best.cost ? edge : best));
    pieces.push(start.fillers.map((filler) => ({ kind: 'off', node: filler })));
    return pieces.reverse().flat();
  }
}

/** For each node, the stretches that leave it. */
function stepsOf(lattice: LineLattice, weights: Weights): readonly (readonly Step[])[] {
  return lattice.nodes.map((_, from) => {
    const steps: Step[] = [];
    for (const { fillers, to } of runs(lattice, nodeAt(lattice, from).next)) {
      for (let empty = 0; empty <= EMPTY_INSIDE_MAX; empty++) {
        const stretch: Stretch = { from, fillers, to };
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
        const stretched =
          empty === 0 && fillers.length === 0 && isStretched(nodeAt(lattice, from), nodeAt(lattice, to));
        steps.push({ ...stretch, empty, costs, stretched });
      }
    }
    return steps;
  });
}

/** The ways into the line: its upbeat and the syllable on its first beat. */
function startsOf(lattice: LineLattice, weights: Weights): readonly Edge[] {
  return [...runs(lattice, lattice.first)].map(({ fillers, to }) => ({
    node: to,
    fillers,
    stretch: null,
    cost: totalOf(weights, (sink) => {
      chargeStart(lattice, fillers, to, sink);
    }),
  }));
}

/** The ways out of the line: the syllable on its last filled beat and those after it. */
function tailsOf(
  lattice: LineLattice,
  weights: Weights,
  steps: readonly (readonly Step[])[],
): readonly Edge[] {
  const tails: Edge[] = [];
  lattice.nodes.forEach((node, from) => {
    for (const fillers of endings(lattice, node.next, [])) {
      const cost = totalOf(weights, (sink) => {
        chargeTail(lattice, from, fillers, sink);
      });
      tails.push({ node: from, fillers, cost, stretch: null });
    }
    for (const stretch of steps[from] ?? []) {
      if (!stretch.stretched) continue;
      const cost = totalOf(weights, (sink) => {
        chargeStretched(lattice, from, stretch.to, sink);
        chargeTail(lattice, stretch.to, [], sink);
      });
      tails.push({ node: from, fillers: [], cost, stretch });
    }
  });
  return tails;
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

/** What a piece of the line costs in all. */
function totalOf(weights: Weights, charge: (sink: Sink) => void): number {
  let total = 0;
  charge((rule, _node, amount) => {
    total += costOf(weights, rule, amount);
  });
  return total;
}
