/**
 * The best placement of the whole rhyme: for each beat class, for each line one of its shapes, so that the lines' own
 * costs and what neighbours and couplets pay are least together. Exact; linear in lines.
 */
import { ROOM } from './grid.ts';
import {
  choicesOf,
  givenChoices,
  candidateAt,
  candidateMarks,
  keepsOut,
  searchAlone,
  secondWay,
  type Candidate,
  type ClassCosts,
  type LineChoices,
  type SearchedLine,
} from './line-choices.ts';
import {
  chargeCouplet,
  chargeNeighbours,
  chargeSeam,
  emptyEndOf,
  endingCode,
  gapBetween,
  kinshipOf,
  likeness,
  pairCosts,
  seamOf,
  type Around,
  type Gaps,
  type Kinship,
  type PairCosts,
  type ShapeCode,
} from './line-pairs.ts';
import { latticeOf, signatureOf } from './line-lattice.ts';
import { givenMarks, type Mark } from './line-marks.ts';
import { costOf, type Sink, type Weights } from './placement-rules.ts';
import type { BeatClass } from '../time.ts';
import type { Line } from '../verse.ts';

/** The rhyme placed in one beat class. */
export interface VerseChoice {
  readonly beatClass: BeatClass;
  readonly costs: ClassCosts;
  readonly cost: number;
  readonly lines: readonly LineChoices[];
  /** For each line, its kinship with the line before and with the one two lines back. */
  readonly kin: readonly Kin[];
  /** For each line, the candidate chosen. */
  readonly chosen: readonly Candidate[];
}

interface Kin {
  readonly before: Kinship | null;
  readonly twoBack: Kinship | null;
}

function aroundOf(kin: readonly Kin[], index: number): Around {
  return {
    twoBack: kin[index]?.twoBack ?? null,
    before: kin[index]?.before ?? null,
    after: kin[index + 1]?.before ?? null,
    twoOn: kin[index + 2]?.twoBack ?? null,
  };
}

/**
 * The best choice of all lines in each beat class of `weights`, in their order; or the index of the first line that
 * has no way to be placed.
 */
export function searchVerse(
  lines: readonly Line[],
  weights: readonly (readonly [BeatClass, Weights])[],
  beats: number | null,
): readonly VerseChoice[] | { readonly stuckAt: number } {
  const classes = weights.map(([beatClass, own]): ClassCosts => ({
    weights: own,
    pairs: pairCosts(own, ROOM[beatClass]),
    beats,
    lengths: new Map(),
  }));
  const kin = lines.map((line, index): Kin => {
    const before = lines[index - 1];
    const twoBack = lines[index - 2];
    return {
      before: before === undefined ? null : kinshipOf(before, line),
      twoBack: twoBack === undefined ? null : kinshipOf(twoBack, line),
    };
  });
  // Lines that sound alike are searched once.
  const searched = new Map<string, SearchedLine>();
  const choices = lines.map((line, index) => {
    const lattice = latticeOf(line);
    const given = givenMarks(lattice);
    if (given !== null) return givenChoices(lattice, given, classes);
    const signature = signatureOf(lattice);
    const own = searched.get(signature) ?? searchAlone(lattice, classes);
    searched.set(signature, own);
    return choicesOf(lattice, own, aroundOf(kin, index), classes);
  });
  const stuckAt = choices.findIndex((choice) => choice.some(({ candidates }) => candidates.length === 0));
  if (stuckAt >= 0) return { stuckAt };
  return classes.map((costs, which) => {
    const beatClass = weights[which]?.[0] ?? 'simple';
    const ways = choices.flatMap((choice) => choice[which] ?? []);
    const { cost, chosen } = bestChain(ways, kin, costs.pairs);
    const prior = beatClass === 'compound' ? costOf(costs.weights, 'compound-metre') : 0;
    return { beatClass, costs, cost: cost + prior, lines: ways, kin, chosen };
  });
}

/** Charges a line of this shape, in the place of the one chosen, with the lines around it. */
export function chargeContext(
  { beatClass, chosen, kin }: VerseChoice,
  index: number,
  shape: ShapeCode,
  sink: Sink,
): void {
  const before = chosen[index - 1];
  const after = chosen[index + 1];
  const twoBack = chosen[index - 2];
  const twoOn = chosen[index + 2];
  const neighbours = (one: ShapeCode, other: ShapeCode, kinship: Kinship): void => {
    chargeSeam(seamOf(one, other), ROOM[beatClass], sink);
    chargeNeighbours(likeness(one, other), kinship, sink);
  };
  if (before !== undefined) neighbours(before.code, shape, kin[index]?.before ?? 'none');
  if (after !== undefined) neighbours(shape, after.code, kin[index + 1]?.before ?? 'none');
  if (twoBack !== undefined)
    chargeCouplet(likeness(twoBack.code, shape), kin[index]?.twoBack ?? 'none', sink);
  if (twoOn !== undefined)
    chargeCouplet(likeness(shape, twoOn.code), kin[index + 2]?.twoBack ?? 'none', sink);
}

/** What `chargeContext` charges. */
function contextCost(
  { costs: { pairs }, chosen, kin }: VerseChoice,
  index: number,
  shape: ShapeCode,
): number {
  const before = chosen[index - 1];
  const after = chosen[index + 1];
  const twoBack = chosen[index - 2];
  const twoOn = chosen[index + 2];
  let cost = 0;
  if (before !== undefined) cost += pairs.neighbours(before.code, shape, kin[index]?.before ?? 'none');
  if (after !== undefined) cost += pairs.neighbours(shape, after.code, kin[index + 1]?.before ?? 'none');
  if (twoBack !== undefined) cost += pairs.couplet(twoBack.code, shape, kin[index]?.twoBack ?? 'none');
  if (twoOn !== undefined) cost += pairs.couplet(shape, twoOn.code, kin[index + 2]?.twoBack ?? 'none');
  return cost;
}

/** What a line pays by itself and with the lines around it, as chosen. */
export function costInPlace(choice: VerseChoice, index: number): number {
  const chosen = choice.chosen[index];
  return chosen === undefined ? 0 : chosen.cost + contextCost(choice, index, chosen.code);
}

/** Another way to place a line, everything else as chosen. */
export interface OtherWay {
  /** Of the line by itself and with the lines around it. */
  readonly cost: number;
  readonly code: ShapeCode;
  readonly marks: () => readonly Mark[];
}

/** The best other way to place one line; null when there is none. */
export function runnerUpOf(choice: VerseChoice, index: number): OtherWay | null {
  const line = choice.lines[index];
  const chosen = choice.chosen[index];
  if (line === undefined || line.ways === null || chosen === undefined) return null;
  const { pairs } = choice.costs;
  const context = contextCost(choice, index, chosen.code);
  const second = secondWay(line, chosen);
  let cost = second === null ? NONE : second.cost + context;
  let other = -1;
  // No other shape's context is cheaper than this: seams cost 0 or more, and the gaps bound the rest.
  const before = choice.chosen[index - 1];
  const after = choice.chosen[index + 1];
  const seams =
    (before === undefined ? 0 : pairs.seam(before.code, chosen.code)) +
    (after === undefined ? 0 : pairs.seam(chosen.code, after.code));
  const least = context - seams - (pairs.gaps(aroundOf(choice.kin, index)).at(-1) ?? 0);
  const { codes, costs } = line.ways;
  for (let way = 0; way < costs.length; way++) {
    const code = codes[way] ?? 0;
    const own = costs[way] ?? NONE;
    if (code === chosen.code || own + least >= cost) continue;
    const total = own + contextCost(choice, index, code);
    if (total >= cost) continue;
    cost = total;
    other = way;
  }
  if (other >= 0) {
    const candidate = candidateAt(line.ways, other);
    return { cost, code: candidate.code, marks: () => candidateMarks(line, candidate) };
  }
  return second === null ? null : { cost, code: chosen.code, marks: () => second.marks };
}

/** No cost is near this, so sums stay exact integers. */
const NONE = 0x3fffffff;

/**
 * Viterbi over states (shape of the line before, less its upbeat; candidate of this line), so the cost two lines back
 * is part of the state. A state is left out when another in its row is cheaper by more than all that is to come could
 * make up. O(lines x states x candidates).
 */
function bestChain(
  lines: readonly LineChoices[],
  kin: readonly Kin[],
  pairs: PairCosts,
): { readonly cost: number; readonly chosen: readonly Candidate[] } {
  let row: readonly State[] = (lines[0]?.candidates ?? []).map((candidate) => ({
    candidate,
    before: null,
    cost: candidate.cost,
  }));
  const nothing: Around = { twoBack: null, before: null, after: null, twoOn: null };
  for (let index = 1; index < lines.length; index++) {
    // What the row's states, and then those of this line, could still make up.
    const gapsAt = (at: number): readonly [Gaps, Gaps] => [
      pairs.gaps({ ...aroundOf(kin, at), twoBack: null, before: null }),
      pairs.gaps({ ...nothing, twoOn: kin[at + 1]?.twoBack ?? null }),
    ];
    const [gaps, groups] = gapsAt(index - 1);
    const most = gapsAt(index).reduce((sum, own) => sum + (own.at(-1) ?? 0), 0);
    row = nextRow(hopeful(row, gaps, groups), lines[index]?.candidates ?? [], kin[index], pairs, most);
  }
  const [first] = row;
  if (first === undefined) return { cost: 0, chosen: [] };
  const best = row.reduce((least, state) => (state.cost < least.cost ? state : least), first);
  const chosen: Candidate[] = [];
  for (let state: State | null = best; state !== null; state = state.before) chosen.push(state.candidate);
  return { cost: best.cost, chosen: chosen.reverse() };
}

interface State {
  readonly candidate: Candidate;
  /** The best state of the line before for this candidate and that line's ending. */
  readonly before: State | null;
  /** Of the whole way from the first line. */
  readonly cost: number;
}

/**
 * The states that could be on a best way.
 *
 * @param gaps what the shape of a row's line could still change.
 * @param groups what the shape of the line before could still change.
 */
function hopeful(row: readonly State[], gaps: Gaps, groups: Gaps): readonly State[] {
  const kept: State[] = [];
  for (const state of row.toSorted((a, b) => a.cost - b.cost)) {
    let beaten = false;
    for (let place = 0; place < kept.length && !beaten; place++) {
      const other = kept[place];
      beaten = other !== undefined && isBeatenBy(state, other, gaps, groups);
    }
    if (!beaten) kept.push(state);
  }
  return kept;
}

function isBeatenBy(state: State, other: State, gaps: Gaps, groups: Gaps): boolean {
  const room = state.cost - other.cost;
  if (room <= 0) return false;
  const its = other.candidate.code;
  const gap = gapBetween(gaps, its, state.candidate.code);
  const before = gapBetween(groups, other.before?.candidate.code ?? 0, state.before?.candidate.code ?? 0);
  return gap + before < room && keepsOut(its) <= keepsOut(state.candidate.code);
}

/**
 * The states of the next line that a best way could hold: for each candidate and each ending of the line before, the
 * best. Those dearer by `most` than one with an empty end, which any line can follow, are left out at once.
 */
function nextRow(
  row: readonly State[],
  candidates: readonly Candidate[],
  kin: Kin | undefined,
  pairs: PairCosts,
  most: number,
): readonly State[] {
  const endings: number[] = [];
  const groupOf = row.map(({ candidate }) => {
    const ending = endingCode(candidate.code);
    const known = endings.indexOf(ending);
    return known >= 0 ? known : endings.push(ending) - 1;
  });
  const groups = endings.length;
  const best = new Int32Array(candidates.length * groups).fill(NONE);
  const by = new Int16Array(best.length);
  let bound = NONE;
  for (let to = 0; to < candidates.length; to++) {
    const candidate = candidates[to];
    if (candidate === undefined) continue;
    const { code, cost } = candidate;
    for (let place = 0; place < row.length; place++) {
      const before = row[place];
      if (before === undefined) continue;
      const twoBack = before.before?.candidate.code;
      const couplet = twoBack === undefined ? 0 : pairs.couplet(twoBack, code, kin?.twoBack ?? 'none');
      const pair = pairs.neighbours(before.candidate.code, code, kin?.before ?? 'none');
      const total = before.cost + couplet + pair + cost;
      const at = to * groups + (groupOf[place] ?? 0);
      if (total >= (best[at] ?? NONE)) continue;
      best[at] = total;
      by[at] = place;
      if (emptyEndOf(code) > 0 && total + most < bound) bound = total + most;
    }
  }
  const next: State[] = [];
  for (let at = 0; at < best.length; at++) {
    const cost = best[at] ?? NONE;
    const candidate = candidates[Math.floor(at / groups)];
    const before = row[by[at] ?? 0];
    if (cost <= bound && cost < NONE && candidate !== undefined && before !== undefined)
      next.push({ candidate, before, cost });
  }
  return next;
}
