/**
 * One line as marks in order of time: syllables on and off the beat, and empty beats. This is the form in which a
 * placement is given by the teacher, charged, and written out.
 */
import type { EmptySound } from '../verse.ts';
import {
  chargeLength,
  chargePlace,
  chargeStart,
  chargeStress,
  chargeStretch,
  chargeStretched,
  chargeTail,
  isStretched,
  patternOf,
  stressesOf,
  type Stretch,
} from './line-costs.ts';
import type { LineLattice, Node } from './line-lattice.ts';
import type { Shape } from './line-pairs.ts';
import type { Sink } from './placement-rules.ts';

/** A syllable (by its node) on or off the beat, or a beat on which none begins. */
export type Mark =
  | { readonly kind: 'on'; readonly node: number }
  | { readonly kind: 'off'; readonly node: number }
  | { readonly kind: 'empty'; readonly sound: EmptySound };

/** The marks of a line whose beats the teacher gave. */
export function givenMarks({ line, nodes }: LineLattice): readonly Mark[] | null {
  if (line.given === null) return null;
  let node = 0;
  const marks = line.given.map((mark): Mark =>
    mark.kind === 'empty' ? mark : { kind: mark.kind, node: node++ },
  );
  if (node !== nodes.length) throw new RangeError('Given marks count the syllables of the first readings.');
  return marks;
}

/** What the neighbours see of a line with these marks. */
export function shapeOf(lattice: LineLattice, marks: readonly Mark[]): Shape {
  const isBeat = (mark: Mark): boolean => mark.kind !== 'off';
  const first = marks.findIndex(isBeat);
  const lastOn = marks.findLastIndex((mark) => mark.kind === 'on');
  const after = marks.slice(lastOn + 1);
  const last = marks[lastOn];
  const before = marks[lastOn - 1];
  return {
    upbeat: first,
    beats: marks.filter(isBeat).length,
    tail: after.filter((mark) => mark.kind === 'off').length,
    emptyEnd: after.filter((mark) => mark.kind === 'empty').length,
    stretched:
      last?.kind === 'on' &&
      before?.kind === 'on' &&
      isStretched(nodeAt(lattice, before.node), nodeAt(lattice, last.node)),
  };
}

/** Charges a whole line, mark by mark, exactly as the search does. */
export function chargeMarks(lattice: LineLattice, marks: readonly Mark[], sink: Sink): void {
  let from = -1;
  let fillers: number[] = [];
  let empty = 0;
  let beat = -1;
  for (const mark of marks) {
    if (mark.kind === 'off') fillers.push(mark.node);
    else beat += 1;
    if (mark.kind === 'empty') empty += 1;
    if (mark.kind !== 'on') continue;
    if (from < 0) chargeStart(lattice, fillers, mark.node, sink);
    else {
      const stretch: Stretch = { from, fillers, to: mark.node };
      chargeStretch(lattice, stretch, empty, sink);
      if (
        fillers.length === 0 &&
        empty === 0 &&
        isStretched(nodeAt(lattice, from), nodeAt(lattice, mark.node))
      ) {
        chargeStretched(lattice, from, mark.node, sink);
      }
      chargePlace(patternOf(fillers.length, empty), beat, sink);
      chargeStress(lattice, mark.node, beat, sink);
    }
    from = mark.node;
    fillers = [];
    empty = 0;
  }
  chargeTail(lattice, from, fillers, sink);
  chargeLength(beat + 1, empty, stressesOf(lattice), sink);
}

/** The node with this index. */
export function nodeAt({ nodes }: LineLattice, index: number): Node {
  const node = nodes[index];
  if (node === undefined) throw new RangeError(`No node ${String(index)} in the line.`);
  return node;
}

/**
 * The marks of a stretch: its empty beats come after the syllables that complete the word or phrase on the beat,
 * and the rest lead, like an upbeat, to the next filled beat.
 */
export function stretchMarks(
  lattice: LineLattice,
  { from, fillers, to }: Stretch,
  empty: number,
): readonly Mark[] {
  const marks: Mark[] = fillers.map((node) => ({ kind: 'off', node }));
  const rest: readonly Mark[] = Array.from({ length: empty }, () => ({ kind: 'empty', sound: 'free' }));
  marks.splice(staying(lattice, from, fillers), 0, ...rest);
  return [...marks, { kind: 'on', node: to }];
}

/** How many fillers stay with the beat before them when an empty beat follows. */
function staying(lattice: LineLattice, from: number, fillers: readonly number[]): number {
  const a = nodeAt(lattice, from);
  if (a.edge > 0) return 0;
  const edge = fillers.findIndex((index) => nodeAt(lattice, index).edge > 0);
  if (edge >= 0) return edge + 1;
  return fillers.filter((index) => nodeAt(lattice, index).word === a.word).length;
}
