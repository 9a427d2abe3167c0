/**
 * What lines pay for standing beside one another: the shape of a line is what its neighbours see of it, and parallel
 * lines like parallel shapes. The seam between two lines is a beat like any other.
 */
import { costOf, ONCE, type RuleName, type Sink, type Weights } from './placement-rules.ts';
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

/** How two lines belong together: by nothing, by rhyme, or because the second says the same words again. */
export type Kinship = 'none' | 'rhyme' | 'return';

/** The kinship of two lines of the rhyme. */
export function kinshipOf(before: Line, after: Line): Kinship {
  if (fold(before.text) === fold(after.text)) return 'return';
  const one = before.words.at(-1)?.readings[0].rhyme ?? '';
  return one !== '' && one === after.words.at(-1)?.readings[0].rhyme ? 'rhyme' : 'none';
}

function fold(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/** The second line's upbeat needs room after the first line's last syllable when they share a beat. */
export function chargeSeam(before: Shape, after: Shape, room: number, sink: Sink): void {
  if (before.emptyEnd > 0) return;
  const between = before.tail + after.upbeat;
  if (between > 1) sink('seam-crowded', -1, ONCE * (between - 1));
  if (between > room) sink('seam-over-full', -1, ONCE * (between - room));
}

/** Neighbours keep one pattern (Hayes and MacEachern 1998). */
export function chargeNeighbours(before: Shape, after: Shape, kinship: Kinship, sink: Sink): void {
  if (before.beats !== after.beats) sink('beats-differ', -1);
  if (before.upbeat !== after.upbeat) sink('upbeat-differs', -1);
  if (before.emptyEnd !== after.emptyEnd) sink('empty-end-differs', -1);
  if (before.tail !== after.tail) sink('tail-differs', -1);
  if (feminine(after) && before.emptyEnd !== after.emptyEnd) sink('feminine-end-differs', -1);
  if (feminine(before) && before.emptyEnd !== after.emptyEnd) sink('feminine-end-before-differs', -1);
  chargeKin(before, after, kinship, sink);
}

/** Every second line answers (4343, 43f43f: Hayes and MacEachern 1998): beats and ending two lines back. */
export function chargeCouplet(twoBack: Shape, after: Shape, kinship: Kinship, sink: Sink): void {
  if (twoBack.beats !== after.beats) sink('couplet-beats-differ', -1);
  if (twoBack.emptyEnd !== after.emptyEnd) sink('couplet-end-differs', -1);
  if (twoBack.stretched !== after.stretched && twoBack.tail !== after.tail)
    sink('couplet-feminine-differs', -1);
  chargeKin(twoBack, after, kinship, sink);
}

/** A line that ends weak may close in the beat of its last stress or wait for the next: then its neighbours decide. */
function feminine(shape: Shape): boolean {
  return shape.stretched || shape.tail === 1;
}

/** Rhyme partners end alike, and a line that returns keeps its shape. */
function chargeKin(before: Shape, after: Shape, kinship: Kinship, sink: Sink): void {
  if (kinship === 'none') return;
  if (before.beats !== after.beats) sink('rhyme-beats-differ', -1);
  if (before.emptyEnd !== after.emptyEnd) sink('rhyme-end-differs', -1);
  if (before.tail !== after.tail) sink('rhyme-tail-differs', -1);
  if (kinship === 'return' && (before.tail !== after.tail || before.emptyEnd !== after.emptyEnd)) {
    sink('return-differs', -1);
  }
}

/** The part of a shape that the line after next sees. */
export type Ending = Pick<Shape, 'beats' | 'emptyEnd' | 'tail' | 'stretched'>;

/** A number that tells endings apart; exact while tails and empty ends stay under 8. */
export function endingKey(shape: Ending): number {
  return ((shape.beats * 8 + shape.emptyEnd) * 8 + shape.tail) * 2 + Number(shape.stretched);
}

/**
 * The most that a line could pay more, with the lines around it, when its shape `before` is replaced by another that
 * fits wherever `before` fits: each rule between lines looks at one part of the shape, on either side.
 */
export function replacementGap(weights: Weights): (after: Shape, before: Shape) => number {
  const part = (twice: readonly RuleName[], four: readonly RuleName[]): number =>
    twice.reduce((most, rule) => most + 2 * Math.abs(costOf(weights, rule)), 0) +
    four.reduce((most, rule) => most + 4 * Math.abs(costOf(weights, rule)), 0);
  const beats = part(['beats-differ', 'couplet-beats-differ'], ['rhyme-beats-differ']);
  const upbeat = part(['upbeat-differs'], []);
  const emptyEnd = part(
    ['empty-end-differs', 'couplet-end-differs', 'feminine-end-differs', 'feminine-end-before-differs'],
    ['rhyme-end-differs', 'return-differs'],
  );
  const tail = part(
    ['tail-differs', 'couplet-feminine-differs', 'feminine-end-differs', 'feminine-end-before-differs'],
    ['rhyme-tail-differs', 'return-differs'],
  );
  return (after, before) =>
    (after.beats === before.beats ? 0 : beats) +
    (after.upbeat === before.upbeat ? 0 : upbeat) +
    (after.emptyEnd === before.emptyEnd ? 0 : emptyEnd) +
    (after.tail === before.tail && after.stretched === before.stretched ? 0 : tail);
}
