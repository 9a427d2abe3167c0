/**
 * The best placements of one line, one for each shape that its neighbours could see. Exact dynamic programming over
 * (syllables in the upbeat, beat, syllable on that beat): a stretch pays only for its own syllables and its beat.
 */
import { arcsOf, type LineArcs, type StepArc, type TailArc } from './line-arcs.ts';
import { FILLERS_MAX } from './line-costs.ts';
import type { LineLattice } from './line-lattice.ts';
import { stretchMarks, type Mark } from './line-marks.ts';
import type { Weights } from './placement-rules.ts';

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
  /** The next best placement with the same shape, or null. */
  readonly second: () => { readonly cost: number; readonly marks: readonly Mark[] } | null;
}

const NONE = 0x3fffffff;
const UPBEATS = FILLERS_MAX + 1;
/** The kind of a stretched ending, beside the numbers of syllables in a tail. */
const STRETCHED = FILLERS_MAX + 1;
const KINDS = STRETCHED + 1;

/** Every shape that the line can take, each by its cheapest path. O(syllables x beats) for a stated filler limit. */
export function searchLine(lattice: LineLattice, weights: Weights): readonly LinePath[] {
  const arcs = arcsOf(lattice, weights);
  const table = forward(arcs);
  const { beatsMax, at, costs } = table;
  const cheapest = new Map<
    number,
    { readonly cost: number; readonly beat: number; readonly tail: TailArc }
  >();
  for (const tail of arcs.tails) {
    for (let upbeat = 0; upbeat < UPBEATS; upbeat++) {
      for (let beat = 0; beat < beatsMax; beat++) {
        const so = costs[at(upbeat, beat, tail.from)] ?? NONE;
        if (so === NONE) continue;
        const cost = so + tailCost(tail, beat);
        const key = (lastBeatOf(tail, beat) * UPBEATS + upbeat) * KINDS + kindOf(tail);
        if (cost < (cheapest.get(key)?.cost ?? NONE)) cheapest.set(key, { cost, beat, tail });
      }
    }
  }
  return [...cheapest].map(([key, { cost, beat, tail }]): LinePath => {
    const upbeat = Math.floor(key / KINDS) % UPBEATS;
    return {
      upbeat,
      lastBeat: lastBeatOf(tail, beat),
      tail: tail.fillers.length,
      stretched: tail.stretch !== null,
      cost,
      marks: () => marksOf(lattice, trace(arcs, table, upbeat, beat, tail)),
      second: () => secondBest(lattice, arcs, table, trace(arcs, table, upbeat, beat, tail)),
    };
  });
}

function kindOf(tail: TailArc): number {
  return tail.stretch === null ? tail.fillers.length : STRETCHED;
}

function lastBeatOf(tail: TailArc, beat: number): number {
  return tail.stretch === null ? beat : beat + 1;
}

/** What leaving the line from this beat costs. */
function tailCost(tail: TailArc, beat: number): number {
  return tail.cost + (tail.stretch?.costs[(beat + 1) % 4] ?? 0);
}

interface Forward {
  readonly size: number;
  readonly beatsMax: number;
  readonly at: (upbeat: number, beat: number, node: number) => number;
  /** Cheapest way to each (upbeat, beat, node on it). */
  readonly costs: Int32Array;
  /** The step by which it was reached, as an index into the steps of `fromNode`; -1 at the line's first beat. */
  readonly fromNode: Int16Array;
  readonly fromStep: Int16Array;
}

function forward(arcs: LineArcs): Forward {
  const size = arcs.steps.length;
  const beatsMax = Math.max(4, size + 2);
  const at = (upbeat: number, beat: number, node: number): number => (upbeat * beatsMax + beat) * size + node;
  const costs = new Int32Array(UPBEATS * beatsMax * size).fill(NONE);
  const fromNode = new Int16Array(costs.length).fill(-1);
  const fromStep = new Int16Array(costs.length).fill(-1);
  for (const start of arcs.starts) {
    const index = at(start.fillers.length, 0, start.to);
    costs[index] = Math.min(costs[index] ?? NONE, start.cost);
  }
  // Nodes come in the order of the words, so each is final before it is left.
  for (let node = 0; node < size; node++) {
    const steps = arcs.steps[node] ?? [];
    for (let index = 0; index < steps.length; index++) {
      const step = steps[index];
      if (step === undefined || step.stretched) continue;
      const leap = 1 + step.empty;
      for (let row = 0; row < UPBEATS * beatsMax; row++) {
        const so = costs[row * size + node] ?? NONE;
        const beat = (row % beatsMax) + leap;
        if (so === NONE || beat >= beatsMax) continue;
        const cost = so + (step.costs[beat & 3] ?? 0);
        const there = (row + leap) * size + step.to;
        if (cost >= (costs[there] ?? NONE)) continue;
        costs[there] = cost;
        fromNode[there] = node;
        fromStep[there] = index;
      }
    }
  }
  return { size, beatsMax, at, costs, fromNode, fromStep };
}

/** A whole path: its start, its steps with the beats that they leave from, its tail. */
interface Path {
  readonly upbeat: readonly number[];
  readonly first: number;
  readonly steps: readonly StepArc[];
  /** Beat that the tail leaves from. */
  readonly beat: number;
  readonly tail: TailArc;
}

/** The cheapest path to a tail from this beat. */
function trace(arcs: LineArcs, table: Forward, upbeat: number, beat: number, tail: TailArc): Path {
  const steps: StepArc[] = [];
  let node = tail.from;
  let place = beat;
  for (;;) {
    const index = table.at(upbeat, place, node);
    const step = arcs.steps[table.fromNode[index] ?? -1]?.[table.fromStep[index] ?? -1];
    if (step === undefined) break;
    steps.unshift(step);
    node = step.from;
    place -= 1 + step.empty;
  }
  const start = arcs.starts
    .filter((arc) => arc.to === node && arc.fillers.length === upbeat)
    .reduce((best, arc) => (arc.cost < best.cost ? arc : best));
  return { upbeat: start.fillers, first: node, steps, beat, tail };
}

function marksOf(lattice: LineLattice, { upbeat, first, steps, tail }: Path): readonly Mark[] {
  const off = (node: number): Mark => ({ kind: 'off', node });
  const stretch = tail.stretch === null ? [] : [tail.stretch];
  return [
    ...upbeat.map(off),
    { kind: 'on', node: first },
    ...[...steps, ...stretch].flatMap((step) => stretchMarks(lattice, step, step.empty)),
    ...tail.fillers.map(off),
  ];
}

/**
 * The cheapest path other than `best` with its shape. It has at least one piece that `best` has not, so it is the
 * least, over all such pieces, of the cheapest way to the piece, the piece, and the cheapest way on (exact).
 */
function secondBest(
  lattice: LineLattice,
  arcs: LineArcs,
  table: Forward,
  best: Path,
): { readonly cost: number; readonly marks: readonly Mark[] } | null {
  const upbeat = best.upbeat.length;
  const onward = backward(arcs, table, best);
  let cost = NONE;
  let path: Path | null = null;
  const offer = (total: number, make: () => Path): void => {
    if (total >= cost) return;
    cost = total;
    path = make();
  };
  for (const start of arcs.starts) {
    if (start.fillers.length !== upbeat || (start.fillers === best.upbeat && start.to === best.first))
      continue;
    const rest = onward.cost(0, start.to);
    if (rest < NONE) {
      offer(start.cost + rest, () => ({
        ...onward.path(0, start.to),
        upbeat: start.fillers,
        first: start.to,
      }));
    }
  }
  for (let beat = 0; beat <= best.beat; beat++) {
    arcs.steps.forEach((steps, node) => {
      const so = table.costs[table.at(upbeat, beat, node)] ?? NONE;
      if (so === NONE) return;
      for (const step of steps) {
        const next = beat + 1 + step.empty;
        if (step.stretched || best.steps.includes(step)) continue;
        const rest = onward.cost(next, step.to);
        if (rest === NONE) continue;
        offer(so + (step.costs[next & 3] ?? 0) + rest, () => {
          const on = onward.path(next, step.to);
          const to = trace(arcs, table, upbeat, beat, { ...best.tail, from: node });
          return { ...to, steps: [...to.steps, step, ...on.steps], beat: on.beat, tail: on.tail };
        });
      }
    });
  }
  for (const tail of onward.tails) {
    const so = table.costs[table.at(upbeat, best.beat, tail.from)] ?? NONE;
    if (tail === best.tail || so === NONE) continue;
    offer(so + tailCost(tail, best.beat), () => trace(arcs, table, upbeat, best.beat, tail));
  }
  return path === null ? null : { cost, marks: marksOf(lattice, path) };
}

interface Onward {
  /** Tails of the shape. */
  readonly tails: readonly TailArc[];
  /** Cheapest way from a node on a beat to the end of the shape; `NONE` when there is none. */
  readonly cost: (beat: number, node: number) => number;
  /** That way; its start is left empty. */
  readonly path: (beat: number, node: number) => Path;
}

function backward(arcs: LineArcs, { size }: Forward, best: Path): Onward {
  const tails = arcs.tails.filter((tail) => kindOf(tail) === kindOf(best.tail));
  const costs = new Int32Array((best.beat + 1) * size).fill(NONE);
  const by: (StepArc | TailArc | undefined)[] = [];
  for (const tail of tails) {
    const index = best.beat * size + tail.from;
    const cost = tailCost(tail, best.beat);
    if (cost >= (costs[index] ?? NONE)) continue;
    costs[index] = cost;
    by[index] = tail;
  }
  for (let node = size - 1; node >= 0; node--) {
    for (const step of arcs.steps[node] ?? []) {
      if (step.stretched) continue;
      for (let beat = 0; beat + 1 + step.empty <= best.beat; beat++) {
        const next = beat + 1 + step.empty;
        const rest = costs[next * size + step.to] ?? NONE;
        const cost = rest + (step.costs[next & 3] ?? 0);
        if (rest === NONE || cost >= (costs[beat * size + node] ?? NONE)) continue;
        costs[beat * size + node] = cost;
        by[beat * size + node] = step;
      }
    }
  }
  const path = (beat: number, node: number): Path => {
    const steps: StepArc[] = [];
    for (let place = beat, at = node; ;) {
      const arc = by[place * size + at];
      if (arc === undefined) throw new RangeError('A way on was found from here.');
      if (!('costs' in arc)) return { upbeat: [], first: node, steps, beat: place, tail: arc };
      steps.push(arc);
      place += 1 + arc.empty;
      at = arc.to;
    }
  };
  return {
    tails,
    cost: (beat, node) => (beat > best.beat ? NONE : (costs[beat * size + node] ?? NONE)),
    path,
  };
}
