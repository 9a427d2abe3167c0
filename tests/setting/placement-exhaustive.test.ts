/**
 * The search against trying everything: on small rhymes every placement of every line is written out as marks, charged
 * mark by mark, and every combination of lines is added up. The search must find the least.
 */
import { describe, expect, test } from 'vitest';
import { ROOM } from '../../src/setting/grid.ts';
import { emptyEndMost, EMPTY_INSIDE_MAX, FILLERS_MAX, OUTER_MAX } from '../../src/setting/line-costs.ts';
import { latticeOf, type LineLattice } from '../../src/setting/line-lattice.ts';
import { chargeMarks, shapeOf, stretchMarks, type Mark } from '../../src/setting/line-marks.ts';
import {
  chargeCouplet,
  chargeNeighbours,
  chargeSeam,
  kinshipOf,
  likeness,
  seamOf,
  shapeCode,
} from '../../src/setting/line-pairs.ts';
import { placeBeats } from '../../src/setting/placement.ts';
import { costOf, totalOf, weightsFor, type Weights } from '../../src/setting/placement-rules.ts';
import { seededRandom } from '../../src/random.ts';
import type { BeatClass } from '../../src/time.ts';
import { linesOf, type Line, type Verse } from '../../src/verse.ts';
import { randomWords, verseFrom } from './some-verse.ts';

interface Whole {
  readonly marks: readonly Mark[];
  readonly code: number;
  readonly cost: number;
}

/** Every path of readings through the line, as nodes. */
function paths({ nodes, first }: LineLattice): readonly (readonly number[])[] {
  const walk = (starts: readonly number[]): (readonly number[])[] =>
    starts.flatMap((node) => {
      const next = nodes[node]?.next ?? [];
      return next.length === 0 ? [[node]] : walk(next).map((rest) => [node, ...rest]);
    });
  return walk(first);
}

/** Every placement of one line that the model allows. */
function everyPlacement(line: Line, weights: Weights): readonly Whole[] {
  const lattice = latticeOf(line);
  const found: Whole[] = [];
  for (const path of paths(lattice)) {
    for (let pattern = 1; pattern < 2 ** path.length; pattern++) {
      const beats = path.flatMap((_, at) => (pattern & (1 << at) ? [at] : []));
      const runs = [beats[0] ?? 0, ...beats.map((at, i) => (beats[i + 1] ?? path.length) - at - 1)];
      const outer = [runs[0] ?? 0, runs.at(-1) ?? 0];
      if (runs.some((run) => run > FILLERS_MAX) || outer.some((run) => run > OUTER_MAX)) continue;
      const gaps = beats.length - 1;
      for (let empties = 0; empties < (EMPTY_INSIDE_MAX + 1) ** gaps; empties++) {
        const inside = Array.from(
          { length: gaps },
          (_, gap) => Math.floor(empties / (EMPTY_INSIDE_MAX + 1) ** gap) % (EMPTY_INSIDE_MAX + 1),
        );
        const lastBeat = gaps + inside.reduce((sum, empty) => sum + empty, 0);
        for (let emptyEnd = 0; emptyEnd <= emptyEndMost(lastBeat); emptyEnd++) {
          const marks: Mark[] = path.slice(0, beats[0]).map((node) => ({ kind: 'off', node }));
          marks.push({ kind: 'on', node: path[beats[0] ?? 0] ?? 0 });
          for (let gap = 0; gap < gaps; gap++) {
            const from = beats[gap] ?? 0;
            const to = beats[gap + 1] ?? 0;
            const stretch = { from: path[from] ?? 0, fillers: path.slice(from + 1, to), to: path[to] ?? 0 };
            const empty = inside[gap] ?? 0;
            marks.push(...stretchMarks(lattice, stretch, empty));
          }
          marks.push(...path.slice((beats.at(-1) ?? 0) + 1).map((node): Mark => ({ kind: 'off', node })));
          for (let i = 0; i < emptyEnd; i++) marks.push({ kind: 'empty', sound: 'free' });
          const cost = totalOf(weights, (sink) => {
            chargeMarks(lattice, marks, sink);
          });
          found.push({ marks, code: shapeCode(shapeOf(lattice, marks)), cost });
        }
      }
    }
  }
  return found;
}

/** What the lines of one combination pay for standing beside one another. */
function between(
  lines: readonly Line[],
  codes: readonly number[],
  beatClass: BeatClass,
  weights: Weights,
): number {
  return totalOf(weights, (sink) => {
    lines.forEach((line, index) => {
      const code = codes[index] ?? 0;
      const before = lines[index - 1];
      const twoBack = lines[index - 2];
      if (before !== undefined) {
        chargeSeam(seamOf(codes[index - 1] ?? 0, code), ROOM[beatClass], sink);
        chargeNeighbours(likeness(codes[index - 1] ?? 0, code), kinshipOf(before, line), sink);
      }
      if (twoBack !== undefined) {
        chargeCouplet(likeness(codes[index - 2] ?? 0, code), kinshipOf(twoBack, line), sink);
      }
    });
  });
}

/** The least cost over every combination of shapes; for each shape only its cheapest placement can matter. */
function leastOfAll(verse: Verse, beatClass: BeatClass): number {
  const weights = weightsFor(beatClass);
  const lines = linesOf(verse);
  const ways = lines.map((line) => {
    const cheapest = new Map<number, number>();
    for (const { code, cost } of everyPlacement(line, weights)) {
      cheapest.set(code, Math.min(cheapest.get(code) ?? Infinity, cost));
    }
    return [...cheapest];
  });
  let least = Infinity;
  const choose = (codes: readonly number[], cost: number): void => {
    const own = ways[codes.length];
    if (own === undefined) {
      least = Math.min(least, cost + between(lines, codes, beatClass, weights));
      return;
    }
    for (const [code, more] of own) choose([...codes, code], cost + more);
  };
  choose([], beatClass === 'compound' ? costOf(weights, 'compound-metre') : 0);
  return least;
}

/** What the placement found costs, from its ledgers: pairs stand in the ledgers of both their lines. */
function costOfPlacement(verse: Verse, beatClass: BeatClass): number {
  const weights = weightsFor(beatClass);
  const lines = linesOf(verse);
  const placed = placeBeats(verse, { beatClass, beats: null });
  if (!placed.ok) throw new Error('every small rhyme can be placed');
  const marked = placed.value.lines.map((line) => marksOfLine(line.line, line));
  const own = marked.reduce((sum, { cost }) => sum + cost(weights), 0);
  const codes = marked.map(({ code }) => code);
  const prior = beatClass === 'compound' ? costOf(weights, 'compound-metre') : 0;
  return own + prior + between(lines, codes, beatClass, weights);
}

/** The marks of a placed line, read back from its syllables and empty beats. */
function marksOfLine(
  line: Line,
  placed: {
    readonly syllables: readonly {
      readonly word: number;
      readonly beat: number | null;
      readonly at: number;
    }[];
    readonly emptyBeats: readonly { readonly beat: number }[];
  },
): { readonly code: number; readonly cost: (weights: Weights) => number } {
  const lattice = latticeOf(line);
  const counts = new Map<number, number>();
  for (const { word } of placed.syllables) counts.set(word, (counts.get(word) ?? 0) + 1);
  const nodes = lattice.nodes.flatMap((node, index) => (counts.get(node.word) === node.count ? [index] : []));
  const ticks = placed.syllables.length > 0 ? 1 : 1;
  const events = [
    ...placed.syllables.map(({ beat, at }, index) => ({
      at,
      mark: { kind: beat === null ? 'off' : 'on', node: nodes[index] ?? 0 } as Mark,
    })),
  ];
  const perBeat =
    placed.syllables.flatMap(({ beat, at }) => (beat !== null && beat > 0 ? [at / beat] : []))[0] ??
    480 * ticks;
  const empties = placed.emptyBeats.map(({ beat }) => ({
    at: beat * perBeat,
    mark: { kind: 'empty', sound: 'free' } as Mark,
  }));
  const marks = [...events, ...empties].sort((a, b) => a.at - b.at).map(({ mark }) => mark);
  return {
    code: shapeCode(shapeOf(lattice, marks)),
    cost: (weights) =>
      totalOf(weights, (sink) => {
        chargeMarks(lattice, marks, sink);
      }),
  };
}

describe('the search finds what trying everything finds', () => {
  for (const beatClass of ['simple', 'compound'] as const) {
    test.each([
      ['one line', [6], 30],
      ['two lines', [4, 4], 20],
      ['three lines', [3, 2, 3], 12],
      ['four short lines', [2, 1, 2, 1], 6],
    ] as const)(`${beatClass} time, %s`, (_name, sizes, rounds) => {
      for (let round = 0; round < rounds; round++) {
        const random = seededRandom(1000 * sizes.length + round);
        const verse = verseFrom(sizes.map((size) => randomWords(random, size)));
        expect(costOfPlacement(verse, beatClass), `round ${String(round)}`).toBe(
          leastOfAll(verse, beatClass),
        );
      }
    });
  }
});

describe('the runner-up', () => {
  test('is the least of all other placements of its line, the others staying as they are', () => {
    for (let round = 0; round < 12; round++) {
      const random = seededRandom(77 + round);
      const verse = verseFrom([5, 4, 5].map((size) => randomWords(random, size)));
      const lines = linesOf(verse);
      const placed = placeBeats(verse, { beatClass: 'simple', beats: null });
      if (!placed.ok) throw new Error('placed');
      const weights = weightsFor('simple');
      const codes = placed.value.lines.map((line) => marksOfLine(line.line, line).code);
      placed.value.lines.forEach((line, index) => {
        const rest = (code: number): number =>
          between(lines, codes.with(index, code), 'simple', weights) -
          between(lines.toSpliced(index, lines.length), codes.slice(0, index), 'simple', weights);
        const all = everyPlacement(line.line, weights)
          .map(({ code, cost }) => cost + rest(code))
          .sort((a, b) => a - b);
        const margin = (line.runnerUp?.cost ?? NaN) - line.cost;
        expect(margin, `round ${String(round)}, line ${String(index + 1)}`).toBe(
          (all[1] ?? NaN) - (all[0] ?? NaN),
        );
        expect(line.cost).toBe(line.ledger.reduce((sum, charge) => sum + charge.cost, 0));
        expect(line.runnerUp?.cost).toBe(line.runnerUp?.ledger.reduce((sum, charge) => sum + charge.cost, 0));
      });
    }
  });
});
