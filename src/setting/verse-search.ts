/**
 * The best placement of the whole rhyme in one beat class: for each line one of its shapes, so that the lines'
 * own costs and what neighbours and couplets pay are least together. Exact; linear in lines.
 */
import { ROOM } from './grid.ts';
import { chargeLength, EMPTY_END_MAX } from './line-costs.ts';
import { latticeOf, type LineLattice } from './line-lattice.ts';
import { chargeMarks, givenMarks, shapeOf, type Mark } from './line-marks.ts';
import {
  chargeCouplet,
  chargeNeighbours,
  chargeSeam,
  endingKey,
  kinshipOf,
  replacementGap,
  type Kinship,
  type Shape,
} from './line-pairs.ts';
import { searchLine } from './line-search.ts';
import { costOf, totalOf, type Sink, type Weights } from './placement-rules.ts';
import type { BeatClass } from '../time.ts';
import type { Line } from '../verse.ts';

/** One way to place a line, as its neighbours see it. */
export interface Candidate extends Shape {
  readonly cost: number;
  /** The whole line's marks, its empty end included. */
  readonly marks: () => readonly Mark[];
  /** The next best way with the same shape, or null. */
  readonly second: () => Way | null;
}

/** A line's marks and what they cost the line itself. */
export interface Way {
  readonly cost: number;
  readonly marks: readonly Mark[];
}

/** A line with its ways. */
export interface LineChoices {
  readonly lattice: LineLattice;
  readonly given: boolean;
  /** Those that a best placement may hold, cheapest first. */
  readonly candidates: readonly Candidate[];
  /** All there are. */
  readonly every: readonly Candidate[];
}

/** The rhyme placed in one beat class. */
export interface VerseChoice {
  readonly beatClass: BeatClass;
  readonly cost: number;
  readonly lines: readonly LineChoices[];
  /** For each line, the index of its chosen candidate. */
  readonly chosen: readonly number[];
}

/** The best choice of all lines in this beat class, or the number of the first line that cannot be joined on. */
export function searchVerse(
  lines: readonly Line[],
  beatClass: BeatClass,
  beats: number | null,
  weights: Weights,
): VerseChoice | { readonly stuckAt: number } {
  const choices = lines.map((line) => choicesOf(line, weights, beats));
  const stuckAt = choices.findIndex((choice) => choice.candidates.length === 0);
  if (stuckAt >= 0) return { stuckAt };
  return bestChain(choices, beatClass, weights);
}

/** The ways to place one line; a given line has one. */
export function choicesOf(line: Line, weights: Weights, beats: number | null): LineChoices {
  const lattice = latticeOf(line);
  const given = givenMarks(lattice);
  if (given !== null) {
    const cost = totalOf(weights, (sink) => {
      chargeMarks(lattice, given, sink);
    });
    const only: Candidate = { ...shapeOf(lattice, given), cost, marks: () => given, second: () => null };
    return { lattice, given: true, candidates: [only], every: [only] };
  }
  const candidates: Candidate[] = [];
  for (const path of searchLine(lattice, weights)) {
    for (let emptyEnd = 0; emptyEnd <= EMPTY_END_MAX; emptyEnd++) {
      const length = path.lastBeat + 1 + emptyEnd;
      if (beats !== null && length !== beats) continue;
      const ends = totalOf(weights, (sink) => {
        chargeLength(length, emptyEnd, sink);
      });
      candidates.push({
        upbeat: path.upbeat,
        beats: length,
        tail: path.tail,
        emptyEnd,
        stretched: path.stretched,
        cost: path.cost + ends,
        marks: () => [...path.marks(), ...emptyMarks(emptyEnd)],
        second: () => {
          const second = path.second();
          return second === null
            ? null
            : { cost: second.cost + ends, marks: [...second.marks, ...emptyMarks(emptyEnd)] };
        },
      });
    }
  }
  return { lattice, given: false, candidates: worthwhile(candidates, weights), every: candidates };
}

function emptyMarks(count: number): readonly Mark[] {
  return Array.from({ length: count }, () => ({ kind: 'empty', sound: 'free' }));
}

/** What a line pays with the lines around it, chosen as they are, when it takes this shape. */
export function chargeContext(choice: VerseChoice, index: number, shape: Shape, sink: Sink): void {
  const own = choice.lines[index]?.lattice.line;
  const at = (other: number): { readonly shape: Shape; readonly line: Line } | null => {
    const line = choice.lines[other];
    const chosen = line?.candidates[choice.chosen[other] ?? 0];
    return line === undefined || chosen === undefined ? null : { shape: chosen, line: line.lattice.line };
  };
  if (own === undefined) return;
  const before = at(index - 1);
  const after = at(index + 1);
  const twoBack = at(index - 2);
  const twoOn = at(index + 2);
  if (before !== null) chargePair(before.shape, shape, kinshipOf(before.line, own), choice.beatClass, sink);
  if (after !== null) chargePair(shape, after.shape, kinshipOf(own, after.line), choice.beatClass, sink);
  if (twoBack !== null) chargeCouplet(twoBack.shape, shape, kinshipOf(twoBack.line, own), sink);
  if (twoOn !== null) chargeCouplet(shape, twoOn.shape, kinshipOf(own, twoOn.line), sink);
}

/** The best other way to place one line, everything else as chosen; null when there is none. */
export function runnerUpOf(
  choice: VerseChoice,
  index: number,
  weights: Weights,
): (Way & { shape: Shape }) | null {
  const line = choice.lines[index];
  const chosen = line?.candidates[choice.chosen[index] ?? 0];
  if (line === undefined || chosen === undefined || line.given) return null;
  const context = (shape: Shape): number =>
    totalOf(weights, (sink) => {
      chargeContext(choice, index, shape, sink);
    });
  const second = chosen.second();
  let best =
    second === null ? null : { candidate: chosen, way: second, total: second.cost + context(chosen) };
  for (const candidate of line.every) {
    if (candidate === chosen || (best !== null && candidate.cost > best.total + 4000)) continue;
    const total = candidate.cost + context(candidate);
    if (best !== null && total >= best.total) continue;
    best = { candidate, way: { cost: candidate.cost, marks: candidate.marks() }, total };
  }
  return best === null ? null : { cost: best.total, marks: best.way.marks, shape: best.candidate };
}

/**
 * The candidates that could be in a best placement. One is left out only when another, which fits beside every
 * neighbour that it fits beside, is cheaper by more than the rules between lines could make up.
 */
function worthwhile(candidates: readonly Candidate[], weights: Weights): readonly Candidate[] {
  const gap = replacementGap(weights);
  const kept: Candidate[] = [];
  for (const candidate of candidates.toSorted((a, b) => a.cost - b.cost)) {
    const beaten = kept.some(
      (other) =>
        other.upbeat <= candidate.upbeat &&
        seamRoom(other) <= seamRoom(candidate) &&
        other.cost + gap(other, candidate) < candidate.cost,
    );
    if (!beaten) kept.push(candidate);
  }
  return kept;
}

/** How much of the next line's upbeat a shape keeps out: 0 none, else one more than its tail. */
function seamRoom(shape: Shape): number {
  return shape.emptyEnd > 0 ? 0 : shape.tail + 1;
}

/** What two neighbouring lines pay together. */
export function pairCost(
  before: Shape,
  after: Shape,
  kinship: Kinship,
  beatClass: BeatClass,
  weights: Weights,
): number {
  return totalOf(weights, (sink) => {
    chargePair(before, after, kinship, beatClass, sink);
  });
}

/** Charges two neighbouring lines: their seam and their likeness. */
export function chargePair(
  before: Shape,
  after: Shape,
  kinship: Kinship,
  beatClass: BeatClass,
  sink: Sink,
): void {
  chargeSeam(before, after, ROOM[beatClass], sink);
  chargeNeighbours(before, after, kinship, sink);
}

/** What a line pays for the one two lines back. */
export function coupletCost(twoBack: Shape, after: Shape, kinship: Kinship, weights: Weights): number {
  return totalOf(weights, (sink) => {
    chargeCouplet(twoBack, after, kinship, sink);
  });
}

const NONE = 0x3fffffff;

/**
 * Viterbi over (ending of the line before, candidate of this line), so the cost two lines back is part of the state.
 */
function bestChain(
  lines: readonly LineChoices[],
  beatClass: BeatClass,
  weights: Weights,
): VerseChoice | { readonly stuckAt: number } {
  const pairs = pairTable(beatClass, weights);
  // Rows: for each line, cost and back pointer at [group of the line before][candidate].
  const rows: Row[] = [];
  let groups: readonly Shape[] = [{ upbeat: 0, beats: 0, tail: 0, emptyEnd: 0, stretched: false }];
  for (const [index, { candidates }] of lines.entries()) {
    const before = lines[index - 1]?.candidates ?? [];
    const row =
      index === 0
        ? firstRow(candidates)
        : nextRow(rows[index - 1], before, groups, candidates, pairs, kinships(lines, index));
    if (row.cost.every((cost) => cost >= NONE)) return { stuckAt: index };
    rows.push(row);
    if (index > 0) groups = endings(before);
  }
  const last = rows.at(-1);
  if (last === undefined) return { stuckAt: 0 };
  let state = last.cost.reduce((best, cost, at) => (cost < (last.cost[best] ?? NONE) ? at : best), 0);
  const cost = last.cost[state] ?? NONE;
  const chosen: number[] = [];
  for (let index = rows.length - 1; index >= 0; index--) {
    const row = rows[index];
    chosen.push(state % (row?.width ?? 1));
    state = row?.back[state] ?? 0;
  }
  return {
    beatClass,
    cost: cost + (beatClass === 'compound' ? costOf(weights, 'compound-metre') : 0),
    lines,
    chosen: chosen.reverse(),
  };
}

/** Costs between shapes, each worked out once. */
interface PairTable {
  readonly pair: (before: Shape, after: Shape, kinship: Kinship) => number;
  readonly couplet: (twoBack: Shape, after: Shape, kinship: Kinship) => number;
}

function pairTable(beatClass: BeatClass, weights: Weights): PairTable {
  const known = {
    none: new Map<number, number>(),
    rhyme: new Map<number, number>(),
    return: new Map<number, number>(),
  };
  const couplets = {
    none: new Map<number, number>(),
    rhyme: new Map<number, number>(),
    return: new Map<number, number>(),
  };
  return {
    pair: (before, after, kinship) => {
      const key = shapeKey(before) * 0x10000 + shapeKey(after);
      let cost = known[kinship].get(key);
      if (cost === undefined) {
        cost = pairCost(before, after, kinship, beatClass, weights);
        known[kinship].set(key, cost);
      }
      return cost;
    },
    couplet: (twoBack, after, kinship) => {
      const key = endingKey(twoBack) * 0x10000 + endingKey(after);
      let cost = couplets[kinship].get(key);
      if (cost === undefined) {
        cost = coupletCost(twoBack, after, kinship, weights);
        couplets[kinship].set(key, cost);
      }
      return cost;
    },
  };
}

/** A number for each shape; exact while lines have fewer than 1,000 beats. */
function shapeKey(shape: Shape): number {
  return (
    (((shape.beats * 4 + shape.upbeat) * 4 + shape.tail) * 4 + shape.emptyEnd) * 2 + Number(shape.stretched)
  );
}

interface Row {
  /** Candidates of the line. */
  readonly width: number;
  /** At `group * width + candidate`. */
  readonly cost: Int32Array;
  /** State of the row before. */
  readonly back: Int32Array;
}

function kinships(lines: readonly LineChoices[], index: number): { before: Kinship; twoBack: Kinship } {
  const own = lines[index]?.lattice.line;
  const kin = (other: LineChoices | undefined): Kinship =>
    own === undefined || other === undefined ? 'none' : kinshipOf(other.lattice.line, own);
  return { before: kin(lines[index - 1]), twoBack: kin(lines[index - 2]) };
}

function firstRow(candidates: readonly Candidate[]): Row {
  return {
    width: candidates.length,
    cost: Int32Array.from(candidates, (candidate) => candidate.cost),
    back: new Int32Array(candidates.length).fill(-1),
  };
}

/** The distinct endings of a line's candidates, in the order of their first candidate. */
function endings(candidates: readonly Candidate[]): readonly Shape[] {
  const seen = new Map<number, Shape>();
  for (const candidate of candidates) {
    const key = endingKey(candidate);
    if (!seen.has(key)) seen.set(key, candidate);
  }
  return [...seen.values()];
}

function nextRow(
  previous: Row | undefined,
  before: readonly Candidate[],
  groups: readonly Shape[],
  candidates: readonly Candidate[],
  pairs: PairTable,
  kin: { readonly before: Kinship; readonly twoBack: Kinship },
): Row {
  if (previous === undefined) throw new RangeError('A row follows another.');
  const own = endings(before);
  const ownKeys = own.map(endingKey);
  const groupOf = before.map((candidate) => ownKeys.indexOf(endingKey(candidate)));
  const width = candidates.length;
  const cost = new Int32Array(own.length * width).fill(NONE);
  const back = new Int32Array(own.length * width).fill(-1);
  const nextEndings = endings(candidates);
  const nextKeys = nextEndings.map(endingKey);
  const nextGroup = candidates.map((candidate) => nextKeys.indexOf(endingKey(candidate)));
  const first = groups.length === 1 && groups[0]?.beats === 0;
  const couplets = nextEndings.map((after) =>
    groups.map((twoBack) => (first ? 0 : pairs.couplet(twoBack, after, kin.twoBack))),
  );
  before.forEach((shape, from) => {
    // The best way to have reached `shape`, for each ending that the next line may take.
    const reached = couplets.map((row) => {
      let best = NONE;
      let state = -1;
      row.forEach((couplet, group) => {
        const so = (previous.cost[group * previous.width + from] ?? NONE) + couplet;
        if (so < best) {
          best = so;
          state = group * previous.width + from;
        }
      });
      return { best, state };
    });
    candidates.forEach((candidate, to) => {
      const way = reached[nextGroup[to] ?? 0];
      if (way === undefined || way.best >= NONE) return;
      const pair = pairs.pair(shape, candidate, kin.before);
      const total = way.best + pair + candidate.cost;
      const state = (groupOf[from] ?? 0) * width + to;
      if (total < (cost[state] ?? NONE)) {
        cost[state] = total;
        back[state] = way.state;
      }
    });
  });
  return { width, cost, back };
}
