/**
 * What a line pays for each stretch from one beat's syllable to the next, for its start and for its end. The search
 * and the ledger both charge through these functions, so an explanation is never a second opinion.
 */
import type { LineLattice, Node } from './line-lattice.ts';
import { ONCE, type Sink } from './placement-rules.ts';

/** Most syllables that may stand between two beats. */
export const FILLERS_MAX = 3;
/** Most syllables before a line's first beat and after its last: of three, one is lifted onto a beat. */
export const OUTER_MAX = 2;
/** Most beats without an onset inside a line, and after its last syllable. */
export const EMPTY_INSIDE_MAX = 1;
export const EMPTY_END_MAX = 3;

/** Most beats without an onset after the line's last filled beat, counted from 0: a line is not mostly silent. */
export function emptyEndMost(lastBeat: number): number {
  return lastBeat === 0 ? EMPTY_END_MAX : EMPTY_END_MAX - 1;
}

/** The words of a stretch: node `from` is on a beat, `fillers` are off the beat, `to` is on the next filled beat. */
export interface Stretch {
  readonly from: number;
  readonly fillers: readonly number[];
  readonly to: number;
}

/** Charges each syllable for standing on or off a beat: the log-odds of its prominence. */
export function chargeOn(node: Node, index: number, sink: Sink): void {
  if (node.prominence < 0) sink('weak-on-beat', index, -node.prominence);
  if (node.count > 1 && node.syllable.stress === 0) sink('promoted-syllable', index);
  if (node.readingCost > 0) sink('rare-reading', index, node.readingCost);
}

function chargeOff(node: Node, index: number, sink: Sink): void {
  if (node.prominence > 0) sink('strong-off-beat', index, node.prominence);
  if (node.readingCost > 0) sink('rare-reading', index, node.readingCost);
}

/**
 * Relative stress (Halle and Lerdahl 1993; Keshet 2006): a syllable off the beat should not be stronger than its
 * neighbour on the beat; worst inside a word, next inside a phrase, free across a phrase edge.
 */
function chargeInversion(off: Node, on: Node, edgeBetween: number, index: number, sink: Sink): void {
  const excess = off.prominence - on.prominence;
  if (excess <= 0) return;
  if (off.word === on.word) sink('inverted-in-word', index, excess);
  else if (edgeBetween === 0) sink('inverted-in-phrase', index, excess);
}

/** Charges a stretch between two beats; `empty` beats without onset lie between, after `split` of the fillers. */
export function chargeStretch(
  { nodes }: LineLattice,
  { from, fillers, to }: Stretch,
  empty: number,
  sink: Sink,
): void {
  const a = nodes[from];
  const b = nodes[to];
  if (a === undefined || b === undefined) return;
  chargeOn(b, to, sink);
  chargeFillers(nodes, a, fillers, b, sink);
  if (empty === 0) chargeGap(a, fillers.length, b, from, sink);
  else chargeEmpty(nodes, a, fillers, b, empty, from, sink);
}

function chargeFillers(
  nodes: readonly Node[],
  a: Node | null,
  fillers: readonly number[],
  b: Node | null,
  sink: Sink,
): void {
  fillers.forEach((index, place) => {
    const filler = nodes[index];
    if (filler === undefined) return;
    chargeOff(filler, index, sink);
    if (place === 0 && a !== null) chargeInversion(filler, a, a.edge, index, sink);
    if (filler.prominence > 0 && b !== null && b.prominence > 0 && place === fillers.length - 1) {
      if (a === null) sink('strong-upbeat', index, filler.prominence);
      else if (place === 1) sink('yields-to-beat', index, filler.prominence);
      else if (place === 0 && a.prominence > 0)
        sink('strong-pair', index, Math.min(filler.prominence, a.prominence));
    }
    if (place === fillers.length - 1 && b !== null) chargeInversion(filler, b, filler.edge, index, sink);
  });
}

/** How many syllables share the beat (TEXTSETTING counts: simple none or one, compound one or two). */
function chargeGap(a: Node, fillers: number, b: Node, from: number, sink: Sink): void {
  if (fillers === 0) {
    sink('no-filler', from);
    if (a.word === b.word && b.syllable.stress > 0) sink('no-filler-inside-compound', from);
    else if (a.word === b.word && !isStretched(a, b)) sink('no-filler-inside-word', from);
    else if (sameWord(a, b)) sink('no-filler-in-repeat', from);
    if (a.prominence < 0) sink('no-filler-after-weak', from);
    if (a.edge > 0) sink('no-filler-before-edge', from);
  } else if (fillers === 1) sink('one-filler', from);
  else if (fillers === 2) sink('two-fillers', from);
  else sink('three-fillers', from, ONCE * (fillers - 2));
}

/**
 * Whether the line ends stretched (`Jack and Jill`: |wa|ter): its weak last syllable waits for the next beat. Both
 * syllables are on beats with nothing between.
 */
export function isStretched(a: Node, b: Node): boolean {
  return b.next.length === 0 && b.prominence < a.prominence;
}

/** Whether two syllables are the same word said again: `Rain, rain`. */
function sameWord(a: Node, b: Node): boolean {
  return a.count === 1 && b.count === 1 && a.key !== '' && a.key === b.key;
}

/** A beat on which nothing begins, inside the line: a lapse (Hayes 2009), bearable at a phrase edge. */
function chargeEmpty(
  nodes: readonly Node[],
  a: Node,
  fillers: readonly number[],
  b: Node,
  empty: number,
  from: number,
  sink: Sink,
): void {
  sink('empty-inside', from, ONCE * empty);
  const edged = a.edge > 0 || fillers.some((index) => (nodes[index]?.edge ?? 0) > 0);
  if (edged) sink('empty-inside-at-edge', from);
  if (a.word === b.word) sink('empty-inside-word', from);
  if (fillers.length > 1) sink('two-fillers', from, ONCE * (fillers.length - 1));
}

/**
 * Charges a strong syllable for the beat of four that it stands on (`beat`, from 0): beats 1 and 3 are strong and the
 * fourth closes the phrase.
 */
export function chargeStress({ nodes }: LineLattice, index: number, beat: number, sink: Sink): void {
  const strength = nodes[index]?.prominence ?? 0;
  if (strength <= 0) return;
  if (beat % 4 === 1) sink('strong-on-second-beat', index, strength);
  if (beat % 4 === 3) sink('strong-on-fourth-beat', index, strength);
}

/** What a stretch looks like to the place it stands in: an empty beat, none off the beat, one, or more. */
export type Pattern = number;

export function patternOf(fillers: number, empty: number): Pattern {
  return empty > 0 ? 0 : Math.min(fillers, 2) + 1;
}

/**
 * Charges a stretch of this pattern that arrives on this beat of four, from 0: time is spread so that the beats fill
 * towards the line's end, and the fourth beat is the one to leave empty.
 */
export function chargePlace(pattern: Pattern, beat: number, sink: Sink): void {
  const before = (beat + 3) % 4;
  if (pattern === 0) sink(EMPTY[before] ?? 'empty-early-beat', -1);
  else if (pattern === 1) sink(BARE[before] ?? 'bare-first-beat', -1);
  else if (pattern === 3 && before > 1) sink('full-late-beat', -1);
}

const EMPTY = ['empty-early-beat', 'empty-early-beat', 'empty-third-beat', 'empty-fourth-beat'] as const;
const BARE = ['bare-first-beat', 'bare-second-beat', 'bare-third-beat', 'bare-fourth-beat'] as const;

/** Charges the line's upbeat and its first beat, on node `to`. */
export function chargeStart({ nodes }: LineLattice, upbeat: readonly number[], to: number, sink: Sink): void {
  const b = nodes[to];
  if (b === undefined) return;
  chargeOn(b, to, sink);
  chargeFillers(nodes, null, upbeat, b, sink);
  if (b.prominence < 0) sink('weak-first-beat', to, -b.prominence);
  if (upbeat.length === 1) sink('upbeat-one', to);
  else if (upbeat.length === 2) sink('upbeat-two', to);
  else if (upbeat.length > 2) sink('upbeat-three', to, ONCE * (upbeat.length - 2));
}

/** Charges a stretched ending; its two syllables pay for their beats like any others. */
export function chargeStretched({ nodes }: LineLattice, from: number, to: number, sink: Sink): void {
  sink('stretched-ending', to);
  if (nodes[from]?.word !== nodes[to]?.word) sink('stretched-over-words', to);
}

/** Charges the syllables after the line's last filled beat, on node `from`. */
export function chargeTail({ nodes }: LineLattice, from: number, tail: readonly number[], sink: Sink): void {
  const a = nodes[from];
  if (a === undefined) return;
  chargeFillers(nodes, a, tail, null, sink);
  if (a.prominence < 0) sink('weak-last-beat', from, -a.prominence);
  if (tail.length === 1) sink('tail-one', from);
  else if (tail.length === 2) sink('tail-two', from);
  else if (tail.length > 2) sink('tail-three', from, ONCE * (tail.length - 2));
}

/** How many syllables of a line are strong, counted in its usual readings. */
export function stressesOf({ nodes }: LineLattice): number {
  return nodes.reduce((count, node) => count + (node.reading === 0 && node.prominence >= STRONG ? 1 : 0), 0);
}

const STRONG = 60;

/**
 * Charges the line's length in beats and its empty end (Burling 1966; Attridge 1982: four beats by far, and three
 * stresses imply an unrealised fourth). `stresses` is the number of its strong syllables.
 */
export function chargeLength(beats: number, emptyEnd: number, stresses: number, sink: Sink): void {
  const filled = beats - emptyEnd;
  if (stresses > filled) sink('stresses-over', -1, ONCE * Math.min(3, stresses - filled));
  if (stresses < filled) sink('beats-over', -1, ONCE * Math.min(3, filled - stresses));
  if (emptyEnd === 1) sink('empty-end-one', -1);
  else if (emptyEnd === 2) sink('empty-end-two', -1);
  else if (emptyEnd > 2) sink('empty-end-three', -1, ONCE * (emptyEnd - 2));
  if (beats === 1) sink('one-beat-line', -1);
  else if (beats === 2) sink('two-beat-line', -1);
  else if (beats === 3) sink('three-beat-line', -1);
  else if (beats === 4) sink('four-beat-line', -1);
  else if (beats === 6) sink('six-beat-line', -1);
  else if (beats === 8) sink('eight-beat-line', -1);
  else if (beats % 2 === 1) sink('odd-beat-line', -1);
  if (beats > 8) sink('long-line', -1, ONCE * (beats - 8));
}
