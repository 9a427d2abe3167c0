import { describe, expect, test } from 'vitest';
import {
  bestPath,
  countPaths,
  FORBIDDEN,
  nthPath,
  pathSampler,
  unitDraw,
  weave,
  weightTable,
  type Lattice,
} from '../src/lattice.ts';
import { seededRandom } from '../src/random.ts';

/** A small lattice with costs by seed, a fifth of its edges forbidden. */
function someLattice(seed: number, layers: number, states: number, choices: number): Lattice {
  const random = seededRandom(seed);
  const cells = layers * states * choices;
  const costs = Array.from({ length: cells }, () =>
    random() % 5 === 0 ? FORBIDDEN : (random() % 400) - 100,
  );
  const nexts = Array.from({ length: cells }, () => random() % states);
  const at = (layer: number, state: number, choice: number): number =>
    (layer * states + state) * choices + choice;
  return {
    layers,
    states,
    choices,
    start: seed % states,
    edges(layer, state, rowCosts, rowNexts) {
      for (let choice = 0; choice < choices; choice += 1) {
        rowCosts[choice] = costs[at(layer, state, choice)] ?? FORBIDDEN;
        rowNexts[choice] = nexts[at(layer, state, choice)] ?? 0;
      }
    },
  };
}

function edge(lattice: Lattice, layer: number, state: number, choice: number, before: number) {
  const costs = new Int32Array(lattice.choices);
  const nexts = new Int32Array(lattice.choices);
  lattice.edges(layer, state, costs, nexts);
  return { cost: before + (costs[choice] ?? 0), state: nexts[choice] ?? 0 };
}

/** Every path by trying every choice: the yardstick, which shares nothing with the search. */
function everyPath(lattice: Lattice): { choices: number[]; cost: number }[] {
  let paths = [{ choices: [] as number[], cost: 0, state: lattice.start }];
  for (let layer = 0; layer < lattice.layers; layer += 1) {
    paths = paths.flatMap(({ choices, cost, state }) =>
      Array.from({ length: lattice.choices }, (_, choice) => ({
        choices: [...choices, choice],
        ...edge(lattice, layer, state, choice, cost),
      })).filter((path) => path.cost < FORBIDDEN / 2),
    );
  }
  return paths.map(({ choices, cost }) => ({ choices, cost }));
}

const smallOnes = Array.from({ length: 60 }, (_, i) =>
  someLattice(i + 1, 1 + (i % 6), 1 + (i % 5), 1 + (i % 4)),
);

describe('beside every path there is', () => {
  test('the best path costs the least, and among equals has the lowest first choice', () => {
    for (const lattice of smallOnes) {
      const all = everyPath(lattice);
      const least = Math.min(...all.map((path) => path.cost));
      const first = all.find((path) => path.cost === least) ?? null;
      expect(bestPath(weave(lattice))).toEqual(first);
    }
  });

  test('paths are counted, and numbered in the order of their choices', () => {
    for (const lattice of smallOnes) {
      const all = everyPath(lattice);
      const woven = weave(lattice);
      expect(countPaths(woven)).toBe(all.length);
      expect(all.map((_, n) => nthPath(woven, n))).toEqual(all.map((path) => path.choices));
      expect(nthPath(woven, all.length)).toBeNull();
    }
  });

  test('paths are drawn as often as exp(-cost/100) says (Pearson chi-square, 0.1 % level)', () => {
    const weightOf = weightTable();
    let tested = 0;
    for (const lattice of smallOnes) {
      const all = everyPath(lattice);
      if (all.length < 2 || all.length > 400) continue;
      const draw = pathSampler(weave(lattice), weightOf);
      if (draw === null) throw new Error('no path');
      const least = Math.min(...all.map((path) => path.cost));
      const weights = all.map((path) => Math.exp((least - path.cost) / 100));
      const total = weights.reduce((a, b) => a + b, 0);
      const costOf = new Map(all.map((path) => [path.choices.join(), path.cost]));
      const draws = 4000;
      const counts = new Map<string, number>();
      const random = seededRandom(tested + 99);
      for (let i = 0; i < draws; i += 1) {
        const path = draw(random);
        const key = path.choices.join();
        if (path.cost !== costOf.get(key)) throw new Error(`${key} costs ${String(costOf.get(key))}`);
        counts.set(key, (counts.get(key) ?? 0) + 1);
      }
      // Rare paths are pooled so that every cell expects at least five.
      let chi = 0;
      let cells = 0;
      let [rareSeen, rareExpected] = [0, 0];
      all.forEach((path, i) => {
        const expected = (draws * (weights[i] ?? 0)) / total;
        const seen = counts.get(path.choices.join()) ?? 0;
        if (expected < 5) {
          rareSeen += seen;
          rareExpected += expected;
        } else {
          chi += (seen - expected) ** 2 / expected;
          cells += 1;
        }
      });
      if (rareExpected >= 5) {
        chi += (rareSeen - rareExpected) ** 2 / rareExpected;
        cells += 1;
      }
      if (cells > 1) expect(chi).toBeLessThan(chiSquareLimit(cells - 1));
      tested += 1;
    }
    expect(tested).toBeGreaterThan(30);
  });
});

test('a lattice without a way through has no best path, no draw and no count', () => {
  const woven = weave({
    layers: 2,
    states: 1,
    choices: 2,
    start: 0,
    edges(layer, _, costs, nexts) {
      costs.fill(layer === 1 ? FORBIDDEN : 0);
      nexts.fill(0);
    },
  });
  expect([bestPath(woven), pathSampler(woven, weightTable()), countPaths(woven), nthPath(woven, 0)]).toEqual([
    null,
    null,
    0,
    null,
  ]);
});

test('no layers at all is one empty path', () => {
  const woven = weave({ layers: 0, states: 1, choices: 1, start: 0, edges: () => undefined });
  expect(bestPath(woven)).toEqual({ choices: [], cost: 0 });
  expect(countPaths(woven)).toBe(1);
});

test('a long lattice with heavy costs neither overflows nor vanishes', () => {
  const lattice: Lattice = {
    layers: 3000,
    states: 2,
    choices: 2,
    start: 0,
    edges(layer, state, costs, nexts) {
      nexts.set([0, 1]);
      costs.set([5000 + (layer % 7), 5000 + (layer % 7)]);
      costs[state] = 0;
    },
  };
  const draw = pathSampler(weave(lattice), weightTable());
  expect(draw?.(seededRandom(1)).choices.length).toBe(3000);
});

test('weights are exp(-cost/100) to fourteen digits', () => {
  const weightOf = weightTable();
  for (const cost of [0, 1, 7, 100, 999, 1024, 2500, 5000]) {
    expect(weightOf(cost) / Math.exp(-cost / 100)).toBeCloseTo(1, 10);
  }
});

test('a unit draw lies in [0, 1) and fills it evenly', () => {
  const random = seededRandom(3);
  const draws = Array.from({ length: 10_000 }, () => unitDraw(random));
  expect(Math.min(...draws)).toBeGreaterThanOrEqual(0);
  expect(Math.max(...draws)).toBeLessThan(1);
  expect(draws.reduce((a, b) => a + b, 0) / draws.length).toBeCloseTo(0.5, 1);
});

/** The 99.9 % point of chi-square (Wilson and Hilferty, 1931). */
function chiSquareLimit(freedom: number): number {
  const k = 2 / (9 * freedom);
  return freedom * (1 - k + 3.09 * Math.sqrt(k)) ** 3;
}
