/**
 * What lines pay for standing beside one another: the shape of a line is what its neighbours see of it, and parallel
 * lines like parallel shapes. The seam between two lines is a beat like any other.
 */
import { ONCE, totalOf, type Sink, type Weights } from './placement-rules.ts';
import type { Line } from '../verse.ts';

/** What the lines around it see of a placed line. */
export interface Shape {
  /** Syllables before the first beat. */
  readonly upbeat: number;
  /** Beats from this line's first beat to the next line's. */
  readonly beats: number;
  /** Syllables after the last filled beat. */
  readonly tail: number;
  /** Beats after the last filled one. */
  readonly emptyEnd: number;
  /** Whether the last filled beat carries a weak last syllable that waited for it: |wa|ter. */
  readonly stretched: boolean;
}

/** How two lines belong together: not at all, by rhyme, by beginning alike, or as the same words said again. */
export type Kinship = 'none' | 'rhyme' | 'parallel' | 'return';

export const KINSHIPS: readonly Kinship[] = ['none', 'rhyme', 'parallel', 'return'];

/** The kinship of two lines of the rhyme. */
export function kinshipOf(before: Line, after: Line): Kinship {
  if (before.words.length === after.words.length && fold(before.text) === fold(after.text)) return 'return';
  if (beginsAlike(before, after)) return 'parallel';
  const one = before.words.at(-1)?.readings[0].rhyme ?? '';
  return one !== '' && one === after.words.at(-1)?.readings[0].rhyme ? 'rhyme' : 'none';
}

/** Whether two lines of about the same length begin with the same word. */
function beginsAlike(before: Line, after: Line): boolean {
  const first = (line: Line): string => fold(line.words[0]?.text ?? '');
  const length = (line: Line): number =>
    line.words.reduce((n, word) => n + word.readings[0].syllables.length, 0);
  return (
    first(before) !== '' && first(before) === first(after) && Math.abs(length(before) - length(after)) <= 1
  );
}

function fold(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/**
 * How two shapes differ, as bits: all that the rules between lines look at, so each answer is worked out once.
 */
export type Likeness = number;

const BEATS = 1;
const UPBEAT = 2;
const EMPTY_END = 4;
const TAIL = 8;
const STRETCHED = 16;
const FEMININE_BEFORE = 32;
const FEMININE_AFTER = 64;
export const LIKENESSES = 128;

export function likeness(before: ShapeCode, after: ShapeCode): Likeness {
  const differ = before ^ after;
  return (
    (differ & 0x7ffff000 ? BEATS : 0) |
    (differ & 0xe00 ? UPBEAT : 0) |
    (differ & 0x1c0 ? EMPTY_END : 0) |
    (differ & 0x38 ? TAIL : 0) |
    (differ & 0x4 ? STRETCHED : 0) |
    ((before & 1) << 5) |
    ((after & 1) << 6)
  );
}

/** A shape as one number, so that comparing two is cheap. Equal exactly when the shapes are. */
export type ShapeCode = number;

/** Upbeats and tails that the teacher gave may be longer than the search makes them: 7 stands for 7 and more. */
export function shapeCode({ beats, upbeat, emptyEnd, tail, stretched }: Shape): ShapeCode {
  const few = (count: number): number => Math.min(count, 7);
  // A line that ends weak may close in the beat of its last stress or wait for the next: its neighbours decide.
  const feminine = stretched || tail === 1;
  return (
    (beats << 12) |
    (few(upbeat) << 9) |
    (few(emptyEnd) << 6) |
    (few(tail) << 3) |
    (stretched ? 4 : 0) |
    (feminine ? 1 : 0)
  );
}

/** Beats after the last filled one. */
export function emptyEndOf(code: ShapeCode): number {
  return (code >> 6) & 7;
}

/** The part of a code that the line after next sees: all but the upbeat. */
export function endingCode(code: ShapeCode): number {
  return code & ~0xe00;
}

/** Syllables between the last beat of one line and the first of the next, when they share that beat. */
export function seamOf(before: ShapeCode, after: ShapeCode): number {
  return before & 0x1c0 ? 0 : ((before >> 3) & 7) + ((after >> 9) & 7);
}

/** The second line's upbeat needs room after the first line's last syllable when they share a beat. */
export function chargeSeam(between: number, room: number, sink: Sink): void {
  if (between > 1) sink('seam-crowded', -1, ONCE * (between - 1));
  if (between > room) sink('seam-over-full', -1, ONCE * (between - room));
}

/** Neighbours keep one pattern (Hayes and MacEachern 1998). */
export function chargeNeighbours(differs: Likeness, kinship: Kinship, sink: Sink): void {
  if (differs & BEATS) sink('beats-differ', -1);
  if (differs & UPBEAT) sink('upbeat-differs', -1);
  if (differs & TAIL) sink('tail-differs', -1);
  if (differs & EMPTY_END) {
    sink('empty-end-differs', -1);
    if (differs & FEMININE_AFTER) sink('feminine-end-differs', -1);
    if (differs & FEMININE_BEFORE) sink('feminine-end-before-differs', -1);
  }
  chargeKin(differs, kinship, sink);
}

/** Every second line answers (4343, 43f43f: Hayes and MacEachern 1998): beats and ending two lines back. */
export function chargeCouplet(differs: Likeness, kinship: Kinship, sink: Sink): void {
  if (differs & BEATS) sink('couplet-beats-differ', -1);
  if (differs & EMPTY_END) sink('couplet-end-differs', -1);
  if (differs & STRETCHED && differs & TAIL) sink('couplet-feminine-differs', -1);
  // The upbeat two lines back is no part of the search's state.
  chargeKin(differs & ~UPBEAT, kinship, sink);
}

/** Rhyme partners end alike, and a line that returns keeps its shape. */
function chargeKin(differs: Likeness, kinship: Kinship, sink: Sink): void {
  if (kinship === 'none') return;
  if (kinship === 'parallel' && differs & UPBEAT) sink('parallel-upbeat-differs', -1);
  if (kinship === 'parallel' && differs & (BEATS | EMPTY_END)) sink('parallel-differs', -1);
  if (kinship === 'parallel') return;
  if (differs & BEATS) sink('rhyme-beats-differ', -1);
  if (differs & EMPTY_END) sink('rhyme-end-differs', -1);
  if (differs & TAIL) sink('rhyme-tail-differs', -1);
  if (kinship === 'return' && differs & (TAIL | EMPTY_END | UPBEAT)) sink('return-differs', -1);
}

/** The kinship of a line with the lines around it; null where there is none. */
export interface Around {
  readonly twoBack: Kinship | null;
  readonly before: Kinship | null;
  readonly after: Kinship | null;
  readonly twoOn: Kinship | null;
}

/**
 * For each set of parts in which two shapes differ (the low bits of their likeness): how much dearer the one could
 * make the lines around it than the other.
 */
export type Gaps = Int32Array;

/** What pairs of shapes cost at given weights, each answer worked out once. */
export interface PairCosts {
  readonly neighbours: (before: ShapeCode, after: ShapeCode, kinship: Kinship) => number;
  /** The part of `neighbours` that their seam costs, 0 or more. */
  readonly seam: (before: ShapeCode, after: ShapeCode) => number;
  readonly couplet: (twoBack: ShapeCode, after: ShapeCode, kinship: Kinship) => number;
  readonly gaps: (around: Around) => Gaps;
}

/** How much dearer than `before` the shape `after` could make the lines around it. */
export function gapBetween(gaps: Gaps, after: ShapeCode, before: ShapeCode): number {
  return gaps[likeness(after, before) & (FEMININE_BEFORE - 1)] ?? 0;
}

type Table = Readonly<Record<Kinship, Int32Array>>;

/** `room`: syllables that the seam can hold. */
export function pairCosts(weights: Weights, room: number): PairCosts {
  const tabulate = (charge: typeof chargeNeighbours, kinship: Kinship): Int32Array =>
    Int32Array.from({ length: LIKENESSES }, (_, differs) =>
      totalOf(weights, (sink) => {
        charge(differs, kinship, sink);
      }),
    );
  const table = (charge: typeof chargeNeighbours): Table => ({
    none: tabulate(charge, 'none'),
    rhyme: tabulate(charge, 'rhyme'),
    parallel: tabulate(charge, 'parallel'),
    return: tabulate(charge, 'return'),
  });
  const neighbours = table(chargeNeighbours);
  const couplets = table(chargeCouplet);
  const seams = Int32Array.from({ length: 16 }, (_, between) =>
    totalOf(weights, (sink) => {
      chargeSeam(between, room, sink);
    }),
  );
  const known = new Map<string, Gaps>();
  return {
    neighbours: (before, after, kinship) =>
      (neighbours[kinship][likeness(before, after)] ?? 0) + (seams[seamOf(before, after)] ?? 0),
    seam: (before, after) => seams[seamOf(before, after)] ?? 0,
    couplet: (twoBack, after, kinship) => couplets[kinship][likeness(twoBack, after)] ?? 0,
    gaps: ({ twoBack, before, after, twoOn }) => {
      const key = [twoBack, before, after, twoOn].join();
      let gaps = known.get(key);
      if (gaps === undefined) {
        gaps = addUp([
          partRanges(couplets, twoBack, FEMININE_AFTER),
          partRanges(neighbours, before, FEMININE_AFTER),
          partRanges(neighbours, after, FEMININE_BEFORE),
          partRanges(couplets, twoOn, FEMININE_BEFORE),
        ]);
        known.set(key, gaps);
      }
      return gaps;
    },
  };
}

const PARTS = [BEATS, UPBEAT, EMPTY_END, TAIL, STRETCHED] as const;

/** For each part of a shape, the widest range that it gives a cost; `feminine` is the bit that goes with its ending. */
function partRanges(table: Table, kinship: Kinship | null, feminine: number): readonly number[] {
  if (kinship === null) return PARTS.map(() => 0);
  return PARTS.map((part) =>
    widest(table[kinship], part === TAIL || part === STRETCHED ? part | feminine : part),
  );
}

/** The widest range of a cost when these bits change and the others stay. */
function widest(costs: Int32Array, bits: number): number {
  let most = 0;
  for (let base = 0; base < LIKENESSES; base++) {
    if (base & bits) continue;
    let low = costs[base] ?? 0;
    let high = low;
    for (let subset = bits; subset > 0; subset = (subset - 1) & bits) {
      const cost = costs[base | subset] ?? 0;
      low = Math.min(low, cost);
      high = Math.max(high, cost);
    }
    most = Math.max(most, high - low);
  }
  return most;
}

/** The parts of several relations added, for each set of parts. */
function addUp(relations: readonly (readonly number[])[]): Gaps {
  const parts = PARTS.map((_, part) => relations.reduce((sum, ranges) => sum + (ranges[part] ?? 0), 0));
  return Int32Array.from({ length: FEMININE_BEFORE }, (_, differs) =>
    parts.reduce((sum, range, part) => sum + (differs & (1 << part) ? range : 0), 0),
  );
}
