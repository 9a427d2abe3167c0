/**
 * The ways to place one line, as the lines around it see them: every shape with its cheapest path and its empty end.
 */
import { arcsOf } from './line-arcs.ts';
import { chargeLength, EMPTY_END_MAX, emptyEndMost, stressesOf } from './line-costs.ts';
import type { LineLattice } from './line-lattice.ts';
import { chargeMarks, shapeOf, type Mark } from './line-marks.ts';
import {
  emptyEndOf,
  gapBetween,
  shapeCode,
  type Around,
  type Gaps,
  type PairCosts,
  type ShapeCode,
} from './line-pairs.ts';
import {
  keyParts,
  NOT_FOUND,
  pathAt,
  pathMarks,
  searchLine,
  secondPath,
  type LineSearch,
} from './line-search.ts';
import { totalOf, type Weights } from './placement-rules.ts';

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
  /** Of its path in the search of its line; 0 for a line whose beats are given. */
  readonly key: number;
}

/** A line with its ways in one beat class. */
export interface LineChoices {
  readonly lattice: LineLattice;
  /** The marks that the teacher gave, or null. */
  readonly given: readonly Mark[] | null;
  /** Null when given. */
  readonly search: LineSearch | null;
  readonly ways: Ways | null;
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
  readonly lengths: Map<number, number[]>;
}

/** Lines of one signature searched by themselves in each beat class, before the lines around are known. */
export interface SearchedLine {
  /** In the order of the beat classes. */
  readonly searches: readonly LineSearch[];
  readonly ways: readonly Ways[];
  /** For each beat class, the candidates for each set of gaps that has been asked for. */
  readonly candidates: readonly Map<Gaps, readonly Candidate[]>[];
}

/** Every way to place a line in one beat class, in columns. */
export interface Ways {
  /** For each way: the key of its path in the search, its shape with its empty end, and what it costs the line. */
  readonly keys: Int32Array;
  readonly codes: Int32Array;
  readonly costs: Int32Array;
}

export function searchAlone(lattice: LineLattice, classes: readonly ClassCosts[]): SearchedLine {
  const arcs = arcsOf(
    lattice,
    classes.map((own) => own.weights),
  );
  const searches = classes.map((_, which) => searchLine(lattice, arcs, which));
  return {
    searches,
    ways: classes.flatMap((own, which) => waysOf(searches[which], own)),
    candidates: classes.map(() => new Map<Gaps, readonly Candidate[]>()),
  };
}

function waysOf(search: LineSearch | undefined, costs: ClassCosts): Ways | [] {
  if (search === undefined) return [];
  const { cheapest, lattice } = search;
  const room = cheapest.length * (EMPTY_END_MAX + 1);
  const keys = new Int32Array(room);
  const codes = new Int32Array(room);
  const all = new Int32Array(room);
  const lengths = lengthCosts(costs, stressesOf(lattice));
  let count = 0;
  for (let key = 0; key < cheapest.length; key++) {
    const own = cheapest[key] ?? NOT_FOUND;
    if (own === NOT_FOUND) continue;
    const { upbeat, lastBeat, tail, stretched } = keyParts(key);
    // A fixed number of beats may need a longer silence.
    const most = costs.beats === null ? emptyEndMost(lastBeat) : EMPTY_END_MAX;
    for (let emptyEnd = 0; emptyEnd <= most; emptyEnd++) {
      const beats = lastBeat + 1 + emptyEnd;
      if (costs.beats !== null && costs.beats !== beats) continue;
      keys[count] = key;
      codes[count] = shapeCode({ upbeat, beats, tail, emptyEnd, stretched });
      all[count] = own + lengths(beats, emptyEnd);
      count++;
    }
  }
  return { keys: keys.subarray(0, count), codes: codes.subarray(0, count), costs: all.subarray(0, count) };
}

/** One of the ways, as a candidate. */
export function candidateAt(ways: Ways, index: number): Candidate {
  return { code: ways.codes[index] ?? 0, cost: ways.costs[index] ?? 0, key: ways.keys[index] ?? 0 };
}

/** The ways to place a line in each beat class, in their order. */
export function choicesOf(
  lattice: LineLattice,
  { searches, ways, candidates }: SearchedLine,
  around: Around,
  classes: readonly ClassCosts[],
): readonly LineChoices[] {
  return classes.flatMap((own, which): LineChoices | [] => {
    const search = searches[which];
    const all = ways[which];
    const known = candidates[which];
    if (search === undefined || all === undefined || known === undefined) return [];
    const gaps = own.pairs.gaps(around);
    const kept = known.get(gaps) ?? worthwhile(all, gaps);
    known.set(gaps, kept);
    return { lattice, given: null, search, ways: all, candidates: kept };
  });
}

/** The one way to place a line whose beats are given, in each beat class. */
export function givenChoices(
  lattice: LineLattice,
  given: readonly Mark[],
  classes: readonly ClassCosts[],
): readonly LineChoices[] {
  const code = shapeCode(shapeOf(lattice, given));
  return classes.map(({ weights }): LineChoices => {
    const cost = totalOf(weights, (sink) => {
      chargeMarks(lattice, given, sink);
    });
    return { lattice, given, search: null, ways: null, candidates: [{ code, cost, key: 0 }] };
  });
}

/** What lengths and empty ends cost a line with so many strong syllables. */
function lengthCosts(
  { weights, lengths }: ClassCosts,
  stresses: number,
): (beats: number, emptyEnd: number) => number {
  let known = lengths.get(stresses);
  if (known === undefined) {
    known = [];
    lengths.set(stresses, known);
  }
  const own = known;
  return (beats, emptyEnd) =>
    (own[beats * (EMPTY_END_MAX + 1) + emptyEnd] ??= totalOf(weights, (sink) => {
      chargeLength(beats, emptyEnd, stresses, sink);
    }));
}

/** The whole line's marks, its empty end included. */
export function candidateMarks({ given, search }: LineChoices, { key, code }: Candidate): readonly Mark[] {
  if (given !== null || search === null) return given ?? [];
  return close(pathMarks(search, pathAt(search, key)), emptyEndOf(code));
}

/** The next best way with the candidate's shape, or null. */
export function secondWay({ search }: LineChoices, { key, code, cost }: Candidate): Way | null {
  if (search === null) return null;
  const second = secondPath(search, key);
  return second === null
    ? null
    : {
        cost: cost - (search.cheapest[key] ?? 0) + second.cost,
        marks: close(second.marks, emptyEndOf(code)),
      };
}

function close(marks: readonly Mark[], emptyEnd: number): readonly Mark[] {
  return [...marks, ...Array.from({ length: emptyEnd }, (): Mark => ({ kind: 'empty', sound: 'free' }))];
}

/**
 * The candidates that could be in a best placement. One is left out only when another, which fits beside every
 * neighbour that it fits beside, is cheaper by more than the rules between lines could make up.
 */
function worthwhile(ways: Ways, gaps: Gaps): readonly Candidate[] {
  const { costs, codes } = ways;
  const beats = (other: number, way: number): boolean => {
    const room = (costs[way] ?? 0) - (costs[other] ?? 0);
    const its = codes[other] ?? 0;
    const code = codes[way] ?? 0;
    return room > 0 && gapBetween(gaps, its, code) < room && fitsWherever(its, code);
  };
  // The cheapest way of all, and the cheapest that fits beside every line, leave out most of the others.
  let first = 0;
  let anywhere = -1;
  for (let way = 1; way < costs.length; way++) {
    if ((costs[way] ?? 0) < (costs[first] ?? 0)) first = way;
    if (!fitsAnywhere(codes[way] ?? 0)) continue;
    if (anywhere < 0 || (costs[way] ?? 0) < (costs[anywhere] ?? 0)) anywhere = way;
  }
  const order: number[] = [];
  for (let way = 0; way < costs.length; way++) {
    if (!beats(first, way) && (anywhere < 0 || !beats(anywhere, way))) order.push(way);
  }
  order.sort((a, b) => (costs[a] ?? 0) - (costs[b] ?? 0) || a - b);
  const kept: number[] = [];
  for (const way of order) {
    let beaten = false;
    for (let place = 0; place < kept.length && !beaten; place++) beaten = beats(kept[place] ?? 0, way);
    if (!beaten) kept.push(way);
  }
  return kept.map((way) => candidateAt(ways, way));
}

/** No upbeat and an empty end. */
function fitsAnywhere(code: ShapeCode): boolean {
  return ((code >> 9) & 7) === 0 && (code & 0x1c0) !== 0;
}

/** Whether the one shape's seams are never fuller than the other's. */
function fitsWherever(one: ShapeCode, other: ShapeCode): boolean {
  return ((one >> 9) & 7) <= ((other >> 9) & 7) && keepsOut(one) <= keepsOut(other);
}

/** How much of the next line's upbeat a shape keeps out: 0 none, else one more than its tail. */
export function keepsOut(code: ShapeCode): number {
  return code & 0x1c0 ? 0 : ((code >> 3) & 7) + 1;
}
