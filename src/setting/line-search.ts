/**
 * The best placements of one line, one for each shape that its neighbours could see. Exact dynamic programming over
 * (syllables in the upbeat, beat, syllable on that beat): a stretch pays only for its own syllables and its beat.
 */
import { stepCost, type LineArcs, type StartArc, type StepArc, type TailArc } from './line-arcs.ts';
import { OUTER_MAX } from './line-costs.ts';
import type { LineLattice } from './line-lattice.ts';
import { stretchMarks, type Mark } from './line-marks.ts';
import type { Shape } from './line-pairs.ts';

/** A placement of one line without its empty end: the cheapest of its shape. */
export interface LinePath {
  readonly upbeat: number;
  /** Index of the last filled beat. */
  readonly lastBeat: number;
  /** The syllables after that beat, or the stretched ending on it. */
  readonly tail: TailArc;
  readonly cost: number;
}

const NONE = 0x3fffffff;
const UPBEATS = OUTER_MAX + 1;
/** The kind of a stretched ending, beside the numbers of syllables in a tail. */
const STRETCHED = OUTER_MAX + 1;
const KINDS = STRETCHED + 1;

/**
 * Every shape that the line can take in a beat class (by its index in the arcs' costs), each by its cheapest path.
 * O(syllables x beats) for a stated filler limit.
 */
export function searchLine(lattice: LineLattice, arcs: LineArcs, which: number): LineSearch {
  const table = forward(arcs, which);
  const search = { lattice, arcs, which, table };
  const { beatsMax, size, costs } = table;
  const cheapest = new Int32Array((beatsMax + 1) * UPBEATS * KINDS).fill(NONE);
  const by = new Int16Array(cheapest.length);
  for (let index = 0; index < arcs.tails.length; index++) {
    const tail = arcs.tails[index];
    if (tail === undefined) continue;
    for (let upbeat = 0; upbeat < UPBEATS; upbeat++) {
      for (let beat = 0; beat < beatsMax; beat++) {
        const so = costs[(upbeat * beatsMax + beat) * size + tail.from] ?? NONE;
        if (so === NONE) continue;
        const cost = so + tailCost(search, tail, beat);
        const key = (lastBeatOf(tail, beat) * UPBEATS + upbeat) * KINDS + kindOf(tail);
        if (cost >= (cheapest[key] ?? NONE)) continue;
        cheapest[key] = cost;
        by[key] = index;
      }
    }
  }
  return { ...search, cheapest, by, seconds: new Map() };
}

/** The parts of a key into `cheapest`: the shape less its empty end. */
export function keyParts(key: number): Omit<Shape, 'beats' | 'emptyEnd'> & { readonly lastBeat: number } {
  const kind = key % KINDS;
  return {
    upbeat: Math.floor(key / KINDS) % UPBEATS,
    lastBeat: Math.floor(key / KINDS / UPBEATS),
    tail: kind === STRETCHED ? 0 : kind,
    stretched: kind === STRETCHED,
  };
}

/** The path of a key; there is one where `cheapest` has a cost. */
export function pathAt({ arcs, cheapest, by }: LineSearch, key: number): LinePath {
  const tail = arcs.tails[by[key] ?? 0];
  if (tail === undefined) throw new RangeError('A shape that was found has a path.');
  const { upbeat, lastBeat } = keyParts(key);
  return { upbeat, lastBeat, tail, cost: cheapest[key] ?? NONE };
}

/** The marks of a path, up to its last syllable. */
export function pathMarks(search: LineSearch, path: LinePath): readonly Mark[] {
  return marksOf(search.lattice, trace(search, path.upbeat, beatBeforeTail(path), path.tail));
}

/** The next best placement with the shape of a key's path, or null. */
export function secondPath(search: LineSearch, key: number): SecondPath | null {
  const known = search.seconds.get(key);
  if (known !== undefined) return known;
  const path = pathAt(search, key);
  const second = secondBest(search, trace(search, path.upbeat, beatBeforeTail(path), path.tail));
  search.seconds.set(key, second);
  return second;
}

function beatBeforeTail({ lastBeat, tail }: LinePath): number {
  return tail.stretch === null ? lastBeat : lastBeat - 1;
}

function kindOf(tail: TailArc): number {
  return tail.stretch === null ? tail.fillers.length : STRETCHED;
}

function lastBeatOf(tail: TailArc, beat: number): number {
  return tail.stretch === null ? beat : beat + 1;
}

/** What leaving the line from this beat costs. */
function tailCost({ arcs, which }: Search, tail: TailArc, beat: number): number {
  const stretch = tail.stretch === null ? 0 : stepCost(arcs, tail.stretch, which, beat + 1);
  return (tail.costs[which] ?? 0) + stretch;
}

/** A line's search in one beat class, and the cheapest path of every shape. */
export interface LineSearch extends Search {
  /** By key (see `keyParts`): what the cheapest path costs, `NOT_FOUND` where there is none. */
  readonly cheapest: Int32Array;
  /** By key: the tail that it ends with. */
  readonly by: Int16Array;
  /** The next best of each key that has been asked for. */
  readonly seconds: Map<number, SecondPath | null>;
}

/** A placement that is not the cheapest of its shape. */
export interface SecondPath {
  readonly cost: number;
  readonly marks: readonly Mark[];
}

/** The cost of a shape that the line cannot take. */
export const NOT_FOUND: number = NONE;

interface Search {
  readonly lattice: LineLattice;
  readonly arcs: LineArcs;
  readonly which: number;
  readonly table: Forward;
}

/** At `(upbeat * beatsMax + beat) * size + node`: the cheapest way to this node on this beat. */
interface Forward {
  readonly size: number;
  readonly beatsMax: number;
  readonly costs: Int32Array;
  /** The step by which it was reached, as an index into the steps of `fromNode`; -1 at the line's first beat. */
  readonly fromNode: Int16Array;
  readonly fromStep: Int16Array;
}

function forward(arcs: LineArcs, which: number): Forward {
  const size = arcs.steps.length;
  const beatsMax = Math.max(4, size + 2);
  const costs = new Int32Array(UPBEATS * beatsMax * size).fill(NONE);
  const fromNode = new Int16Array(costs.length).fill(-1);
  const fromStep = new Int16Array(costs.length).fill(-1);
  // The last beat that each (upbeat, node) can stand on: beats beyond it need not be looked at.
  const latest = new Int16Array(UPBEATS * size).fill(-1);
  for (const start of arcs.starts) {
    const upbeat = start.fillers.length;
    const index = upbeat * beatsMax * size + start.to;
    costs[index] = Math.min(costs[index] ?? NONE, start.costs[which] ?? 0);
    latest[upbeat * size + start.to] = 0;
  }
  const byBeat = [0, 0, 0, 0];
  // Nodes come in the order of the words, so each is final before it is left.
  for (let node = 0; node < size; node++) {
    const steps = arcs.steps[node] ?? [];
    for (let index = 0; index < steps.length; index++) {
      const step = steps[index];
      if (step === undefined || step.stretched) continue;
      const leap = 1 + step.empty;
      for (let beat = 0; beat < 4; beat++) byBeat[beat] = stepCost(arcs, step, which, beat);
      for (let upbeat = 0; upbeat < UPBEATS; upbeat++) {
        const last = Math.min(latest[upbeat * size + node] ?? -1, beatsMax - 1 - leap);
        if (last < 0) continue;
        for (let beat = 0; beat <= last; beat++) {
          const so = costs[(upbeat * beatsMax + beat) * size + node] ?? NONE;
          if (so === NONE) continue;
          const cost = so + (byBeat[(beat + leap) & 3] ?? 0);
          const there = (upbeat * beatsMax + beat + leap) * size + step.to;
          if (cost >= (costs[there] ?? NONE)) continue;
          costs[there] = cost;
          fromNode[there] = node;
          fromStep[there] = index;
        }
        const ahead = upbeat * size + step.to;
        latest[ahead] = Math.max(latest[ahead] ?? -1, last + leap);
      }
    }
  }
  return { size, beatsMax, costs, fromNode, fromStep };
}

/** A whole path: its start, its steps, its tail. */
interface Path {
  readonly upbeat: readonly number[];
  readonly first: number;
  readonly steps: readonly StepArc[];
  /** Beat that the tail leaves from. */
  readonly beat: number;
  readonly tail: TailArc;
}

/** The cheapest path to a tail from this beat. */
function trace({ arcs, table, which }: Search, upbeat: number, beat: number, tail: TailArc): Path {
  const steps: StepArc[] = [];
  let node = tail.from;
  let place = beat;
  for (;;) {
    const index = (upbeat * table.beatsMax + place) * table.size + node;
    const step = arcs.steps[table.fromNode[index] ?? -1]?.[table.fromStep[index] ?? -1];
    if (step === undefined) break;
    steps.unshift(step);
    node = step.from;
    place -= 1 + step.empty;
  }
  const start = arcs.starts
    .filter((arc) => arc.to === node && arc.fillers.length === upbeat)
    .reduce((best, arc) => ((arc.costs[which] ?? 0) < (best.costs[which] ?? 0) ? arc : best));
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
function secondBest(search: Search, best: Path): SecondPath | null {
  const { arcs, which, table, lattice } = search;
  const upbeat = best.upbeat.length;
  const onward = backward(search, best);
  const { size } = table;
  const row = upbeat * table.beatsMax;
  let cost = NONE;
  let start: StartArc | null = null;
  let step: StepArc | null = null;
  let tail: TailArc | null = null;
  let from = 0;
  for (const arc of arcs.starts) {
    if (arc.fillers.length !== upbeat || (arc.fillers === best.upbeat && arc.to === best.first)) continue;
    const total = (arc.costs[which] ?? 0) + (onward.costs[arc.to] ?? NONE);
    if (total < cost) [cost, start] = [total, arc];
  }
  for (const steps of arcs.steps) {
    for (const arc of steps) {
      if (arc.stretched || best.steps.includes(arc)) continue;
      const leap = 1 + arc.empty;
      for (let beat = 0; beat + leap <= best.beat; beat++) {
        const rest = onward.costs[(beat + leap) * size + arc.to] ?? NONE;
        if (rest >= cost) continue;
        const so = table.costs[(row + beat) * size + arc.from] ?? NONE;
        if (so >= cost) continue;
        const total = so + rest + stepCost(arcs, arc, which, beat + leap);
        if (total < cost) [cost, start, step, from] = [total, null, arc, beat];
      }
    }
  }
  for (const arc of onward.tails) {
    const so = table.costs[(row + best.beat) * size + arc.from] ?? NONE;
    if (arc === best.tail || so === NONE) continue;
    const total = so + tailCost(search, arc, best.beat);
    if (total < cost) [cost, start, step, tail] = [total, null, null, arc];
  }
  if (start !== null) {
    const on = onward.path(0, start.to);
    return { cost, marks: marksOf(lattice, { ...on, upbeat: start.fillers, first: start.to }) };
  }
  if (step !== null) {
    const to = trace(search, upbeat, from, { ...best.tail, from: step.from });
    const on = onward.path(from + 1 + step.empty, step.to);
    const steps = [...to.steps, step, ...on.steps];
    return { cost, marks: marksOf(lattice, { ...to, steps, beat: on.beat, tail: on.tail }) };
  }
  return tail === null ? null : { cost, marks: marksOf(lattice, trace(search, upbeat, best.beat, tail)) };
}

interface Onward {
  /** Tails of the shape. */
  readonly tails: readonly TailArc[];
  /** At `beat * size + node`: the cheapest way on to the end of the shape; `NONE` when there is none. */
  readonly costs: Int32Array;
  /** That way; its start is left empty. */
  readonly path: (beat: number, node: number) => Path;
}

function backward(search: Search, best: Path): Onward {
  const { arcs, which } = search;
  const { size } = search.table;
  const tails = arcs.tails.filter((tail) => kindOf(tail) === kindOf(best.tail));
  const costs = new Int32Array((best.beat + 1) * size).fill(NONE);
  const by: (StepArc | TailArc | undefined)[] = [];
  for (const tail of tails) {
    const index = best.beat * size + tail.from;
    const cost = tailCost(search, tail, best.beat);
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
        if (rest === NONE) continue;
        const cost = rest + stepCost(arcs, step, which, next);
        if (cost >= (costs[beat * size + node] ?? NONE)) continue;
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
      if (!('pattern' in arc)) return { upbeat: [], first: node, steps, beat: place, tail: arc };
      steps.push(arc);
      place += 1 + arc.empty;
      at = arc.to;
    }
  };
  return { tails, costs, path };
}
