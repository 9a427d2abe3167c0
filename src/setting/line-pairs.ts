/**
 * What lines pay for standing beside one another: the shape of a line is what its neighbours see of it, and parallel
 * lines like parallel shapes. The seam between two lines is a beat like any other.
 */
import { costOf, ONCE, type RuleName, type Sink, type Weights } from './placement-rules.ts';

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
}

/** Whether the second line's upbeat finds room after the first line's last syllable, and what crowding costs. */
export function chargeSeam(before: Shape, after: Shape, room: number, sink: Sink): boolean {
  if (before.emptyEnd > 0) return true;
  const between = before.tail + after.upbeat;
  if (between > room) return false;
  if (between > 1) sink('seam-crowded', -1, ONCE * (between - 1));
  return true;
}

/** Neighbours keep one pattern (Hayes and MacEachern 1998). */
export function chargeNeighbours(before: Shape, after: Shape, sink: Sink): void {
  if (before.beats !== after.beats) sink('beats-differ', -1);
  if (before.upbeat !== after.upbeat) sink('upbeat-differs', -1);
  if (before.emptyEnd !== after.emptyEnd) sink('empty-end-differs', -1);
  if (before.tail !== after.tail) sink('tail-differs', -1);
}

/** Every second line answers (4343, 43f43f: Hayes and MacEachern 1998): beats and ending two lines back. */
export function chargeCouplet(twoBack: Ending, after: Ending, sink: Sink): void {
  if (twoBack.beats !== after.beats) sink('couplet-beats-differ', -1);
  if (twoBack.emptyEnd !== after.emptyEnd) sink('couplet-end-differs', -1);
}

/** The part of a shape that the line after next sees. */
export type Ending = Pick<Shape, 'beats' | 'emptyEnd'>;

/**
 * The most that a line could pay more, with the lines around it, when its shape `before` is replaced by another that
 * fits wherever `before` fits: each rule between lines looks at one part of the shape, on either side.
 */
export function replacementGap(weights: Weights): (after: Shape, before: Shape) => number {
  const part = (...rules: readonly RuleName[]): number =>
    rules.reduce((most, rule) => most + 2 * Math.abs(costOf(weights, rule)), 0);
  const beats = part('beats-differ', 'couplet-beats-differ');
  const upbeat = part('upbeat-differs');
  const emptyEnd = part('empty-end-differs', 'couplet-end-differs');
  const tail = part('tail-differs');
  return (after, before) =>
    (after.beats === before.beats ? 0 : beats) +
    (after.upbeat === before.upbeat ? 0 : upbeat) +
    (after.emptyEnd === before.emptyEnd ? 0 : emptyEnd) +
    (after.tail === before.tail ? 0 : tail);
}
