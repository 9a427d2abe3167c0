/**
 * The ways to place one line, as the lines around it see them: every shape with its cheapest path and its empty end.
 */
import { arcsOf } from './line-arcs.ts';
import { chargeLength, EMPTY_END_MAX, stressesOf } from './line-costs.ts';
import { latticeOf, type LineLattice } from './line-lattice.ts';
import { chargeMarks, givenMarks, shapeOf, type Mark } from './line-marks.ts';
import {
  gapBetween,
  shapeCode,
  type Around,
  type Gaps,
  type PairCosts,
  type Shape,
  type ShapeCode,
} from './line-pairs.ts';
import { pathMarks, searchLine, secondPath, type LinePath, type LineSearch } from './line-search.ts';
import { totalOf, type Weights } from './placement-rules.ts';
import type { Line } from '../verse.ts';

/** A line's marks and what they cost the line itself. */
export interface Way {
  readonly cost: number;
  readonly marks: readonly Mark[];
}

/** One way to place a line, as its neighbours see it. */
export interface Candidate {
  readonly code: ShapeCode;
  /** What it costs the line itself. */
  readonly cost: number;
  /** Null for a line whose beats are given. */
  readonly path: LinePath | null;
  readonly emptyEnd: number;
}

/** A line with its ways in one beat class. */
export interface LineChoices {
  readonly lattice: LineLattice;
  /** The marks that the teacher gave, or null. */
  readonly given: readonly Mark[] | null;
  /** Null when given. */
  readonly search: LineSearch | null;
  /** Those that a best placement may hold, cheapest first. */
  readonly candidates: readonly Candidate[];
}

/** What a beat class brings to the search. */
export interface ClassCosts {
  readonly weights: Weights;
  readonly pairs: PairCosts;
  /** Beats that every line has, or null. */
  readonly beats: number | null;
  /** What lengths and empty ends cost, as far as they have been asked for. */
  readonly lengths: Map<number, number>;
}

/** A line searched by itself in each beat class: all of its ways, before the lines around it are known. */
export interface SearchedLine {
  readonly lattice: LineLattice;
  readonly given: readonly Mark[] | null;
  /** In the order of the beat classes; empty when the beats are given. */
  readonly searches: readonly LineSearch[];
}

export function searchAlone(line: Line, classes: readonly ClassCosts[]): SearchedLine {
  const lattice = latticeOf(line);
  const given = givenMarks(lattice);
  if (given !== null) return { lattice, given, searches: [] };
  const arcs = arcsOf(
    lattice,
    classes.map((own) => own.weights),
  );
  return { lattice, given, searches: classes.map((_, which) => searchLine(lattice, arcs, which)) };
}

/** The ways to place a line in each beat class, in their order; a given line has one. */
export function choicesOf(
  { lattice, given, searches }: SearchedLine,
  around: Around,
  classes: readonly ClassCosts[],
): readonly LineChoices[] {
  return classes.map((own, which): LineChoices => {
    const search = searches[which] ?? null;
    if (search !== null) {
      return { lattice, given, search, candidates: worthwhile(search, own, own.pairs.gaps(around)) };
    }
    const shape = shapeOf(lattice, given ?? []);
    const cost = totalOf(own.weights, (sink) => {
      chargeMarks(lattice, given ?? [], sink);
    });
    const only = { code: shapeCode(shape), cost, path: null, emptyEnd: shape.emptyEnd };
    return { lattice, given, search, candidates: [only] };
  });
}

/**
 * Visits every way to place a line whose beats are not given that costs no more than `most`: its path, its empty end,
 * what it costs the line.
 */
export function visitWays(
  { paths, lattice }: LineSearch,
  costs: ClassCosts,
  most: number,
  visit: (path: LinePath, emptyEnd: number, cost: number) => void,
): void {
  const stresses = stressesOf(lattice);
  for (const path of paths) {
    for (let emptyEnd = 0; emptyEnd <= EMPTY_END_MAX; emptyEnd++) {
      const beats = path.lastBeat + 1 + emptyEnd;
      if (costs.beats !== null && costs.beats !== beats) continue;
      const cost = path.cost + lengthCost(costs, beats, emptyEnd, stresses);
      if (cost <= most) visit(path, emptyEnd, cost);
    }
  }
}

/** The code of the shape of a path with its empty end. */
export function codeOf(path: LinePath, emptyEnd: number): ShapeCode {
  return shapeCode(shapeOfPath(path, emptyEnd));
}

function shapeOfPath({ upbeat, lastBeat, tail }: LinePath, emptyEnd: number): Shape {
  return {
    upbeat,
    beats: lastBeat + 1 + emptyEnd,
    tail: tail.fillers.length,
    emptyEnd,
    stretched: tail.stretch !== null,
  };
}

function lengthCost(
  { weights, lengths }: ClassCosts,
  beats: number,
  emptyEnd: number,
  stresses: number,
): number {
  const key = (stresses * 1024 + beats) * (EMPTY_END_MAX + 1) + emptyEnd;
  let cost = lengths.get(key);
  if (cost === undefined) {
    cost = totalOf(weights, (sink) => {
      chargeLength(beats, emptyEnd, stresses, sink);
    });
    lengths.set(key, cost);
  }
  return cost;
}

/** The whole line's marks, its empty end included. */
export function candidateMarks(
  { given, search }: LineChoices,
  { path, emptyEnd }: Candidate,
): readonly Mark[] {
  if (given !== null || search === null || path === null) return given ?? [];
  return close(pathMarks(search, path), emptyEnd);
}

/** The next best way with the candidate's shape, or null. */
export function secondWay({ search }: LineChoices, { path, emptyEnd, cost }: Candidate): Way | null {
  if (search === null || path === null) return null;
  const second = secondPath(search, path);
  return second === null
    ? null
    : { cost: cost - path.cost + second.cost, marks: close(second.marks, emptyEnd) };
}

function close(marks: readonly Mark[], emptyEnd: number): readonly Mark[] {
  return [...marks, ...Array.from({ length: emptyEnd }, (): Mark => ({ kind: 'empty', sound: 'free' }))];
}

/**
 * The candidates that could be in a best placement. One is left out only when another, which fits beside every
 * neighbour that it fits beside, is cheaper by more than the rules between lines could make up.
 */
function worthwhile(search: LineSearch, costs: ClassCosts, gaps: Gaps): readonly Candidate[] {
  // Without an upbeat and with an empty end a line fits beside every other: a first, coarse bound.
  let bound = Infinity;
  visitWays(search, costs, Infinity, ({ upbeat }, emptyEnd, cost) => {
    if (upbeat === 0 && emptyEnd > 0) bound = Math.min(bound, cost);
  });
  bound += gaps.at(-1) ?? 0;
  const hopeful: Candidate[] = [];
  visitWays(search, costs, bound, (path, emptyEnd, cost) => {
    hopeful.push({ code: codeOf(path, emptyEnd), cost, path, emptyEnd });
  });
  const kept: Candidate[] = [];
  for (const candidate of hopeful.sort((a, b) => a.cost - b.cost)) {
    if (!kept.some((other) => isBeatenBy(candidate, other, gaps))) kept.push(candidate);
  }
  return kept;
}

function isBeatenBy(candidate: Candidate, other: Candidate, gaps: Gaps): boolean {
  const room = candidate.cost - other.cost;
  return (
    room > 0 &&
    gapBetween(gaps, other.code, candidate.code) < room &&
    fitsWherever(other.code, candidate.code)
  );
}

/** Whether the one shape's seams are never fuller than the other's. */
export function fitsWherever(one: ShapeCode, other: ShapeCode): boolean {
  return ((one >> 9) & 7) <= ((other >> 9) & 7) && keepsOut(one) <= keepsOut(other);
}

/** How much of the next line's upbeat a shape keeps out: 0 none, else one more than its tail. */
function keepsOut(code: ShapeCode): number {
  return code & 0x1c0 ? 0 : ((code >> 3) & 7) + 1;
}
