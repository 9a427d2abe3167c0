/**
 * Exact best path, exact sampling and counting through a layered graph with integer edge costs. Knows no music.
 *
 * Path cost is the sum of its edge costs. A path is drawn with probability proportional to exp(-cost / UNIT):
 * backward sums over all paths, then one forward pass of draws (Rabiner, "A tutorial on hidden Markov models",
 * 1989, section III, run from the other end). Weights are products of one constant, never `Math.exp`, whose last
 * digit engines may choose; so a seed draws the same path everywhere.
 */
import type { Random } from './random.ts';

/** Costs are in hundredths of a natural-log unit. */
export const UNIT = 100;

/** The cost of an edge that may not be taken. */
export const FORBIDDEN = Infinity as number;

export interface Lattice {
  /** Choices made one after the other; 0 or more. */
  readonly layers: number;
  /** States are numbered from 0 to `states` - 1. */
  readonly states: number;
  /** Choices are numbered from 0 to `choices` - 1 in every layer. */
  readonly choices: number;
  /** The state before the first choice. */
  readonly start: number;
  /** Integer cost, negative for a reward, or FORBIDDEN, of a choice made in a state. */
  readonly cost: (layer: number, state: number, choice: number) => number;
  /** The state that the choice leads to. Asked only where the cost is not FORBIDDEN. */
  readonly next: (layer: number, state: number, choice: number) => number;
}

/** A lattice with its edges worked out once, for any number of searches and draws. */
export interface Woven {
  readonly layers: number;
  readonly choices: number;
  readonly start: number;
  /** For each layer, the states that can be reached before it, in rising order. */
  readonly reached: readonly Int32Array[];
  /** For each layer, cost of `slot * choices + choice`; slot counts along `reached`. */
  readonly costs: readonly Float64Array[];
  /** For each layer, slot in the next layer that the edge leads to; -1 where it is forbidden. */
  readonly nexts: readonly Int32Array[];
}

/** A path: the choice in each layer, and the sum of its edge costs. */
export interface Path {
  readonly choices: readonly number[];
  readonly cost: number;
}

/** Work out every edge that can be reached. O(layers x states x choices). */
export function weave(lattice: Lattice): Woven {
  const { layers, states, choices, start } = lattice;
  const reached: Int32Array[] = [Int32Array.of(start)];
  const costs: Float64Array[] = [];
  const nexts: Int32Array[] = [];
  const slotOf = new Int32Array(states);
  for (let layer = 0; layer < layers; layer += 1) {
    const here = reached[layer] ?? new Int32Array(0);
    const layerCosts = new Float64Array(here.length * choices).fill(FORBIDDEN);
    const layerNexts = new Int32Array(here.length * choices).fill(-1);
    slotOf.fill(-1);
    for (let slot = 0; slot < here.length; slot += 1) {
      const state = here[slot] ?? 0;
      for (let choice = 0; choice < choices; choice += 1) {
        const cost = lattice.cost(layer, state, choice);
        if (cost === FORBIDDEN) continue;
        const to = lattice.next(layer, state, choice);
        layerCosts[slot * choices + choice] = cost;
        layerNexts[slot * choices + choice] = to;
        slotOf[to] = 0;
      }
    }
    const ahead: number[] = [];
    for (let state = 0; state < states; state += 1) {
      if (slotOf[state] !== 0) continue;
      slotOf[state] = ahead.length;
      ahead.push(state);
    }
    for (let edge = 0; edge < layerNexts.length; edge += 1) {
      const to = layerNexts[edge] ?? -1;
      if (to >= 0) layerNexts[edge] = slotOf[to] ?? -1;
    }
    reached.push(Int32Array.from(ahead));
    costs.push(layerCosts);
    nexts.push(layerNexts);
  }
  return { layers, choices, start, reached, costs, nexts };
}

/**
 * The cheapest path, or null when there is none.
 *
 * Exact. Among equal costs the path whose first differing choice has the lower number wins.
 */
export function bestPath(woven: Woven): Path | null {
  const { layers, choices } = woven;
  const toGo: Float64Array[] = Array.from({ length: layers + 1 }, (_, i) =>
    new Float64Array(woven.reached[i]?.length ?? 0).fill(i === layers ? 0 : FORBIDDEN),
  );
  for (let layer = layers - 1; layer >= 0; layer -= 1) {
    const [costs, nexts, here, ahead] = layerOf(woven, toGo, layer);
    for (let edge = 0; edge < costs.length; edge += 1) {
      const to = nexts[edge] ?? -1;
      if (to < 0) continue;
      const total = (costs[edge] ?? FORBIDDEN) + (ahead[to] ?? FORBIDDEN);
      const slot = (edge / choices) | 0;
      if (total < (here[slot] ?? FORBIDDEN)) here[slot] = total;
    }
  }
  const cost = toGo[0]?.[0] ?? FORBIDDEN;
  if (cost === FORBIDDEN) return null;
  const path: number[] = [];
  let slot = 0;
  for (let layer = 0; layer < layers; layer += 1) {
    const [costs, nexts, here, ahead] = layerOf(woven, toGo, layer);
    for (let choice = 0; choice < choices; choice += 1) {
      const edge = slot * choices + choice;
      const to = nexts[edge] ?? -1;
      if (to < 0 || (costs[edge] ?? FORBIDDEN) + (ahead[to] ?? FORBIDDEN) !== here[slot]) continue;
      path.push(choice);
      slot = to;
      break;
    }
  }
  return { choices: path, cost };
}

/**
 * Draws paths, each with probability proportional to exp(-cost / UNIT); null when there is no path.
 *
 * Exact up to the rounding of double-precision sums: no burn-in, no rejection. The sums are made once, then any
 * number of paths may be drawn.
 */
export function pathSampler(
  woven: Woven,
  weightOf: (cost: number) => number,
): ((random: Random) => Path) | null {
  const { layers, choices } = woven;
  const sums: Float64Array[] = Array.from({ length: layers + 1 }, (_, i) =>
    new Float64Array(woven.reached[i]?.length ?? 0).fill(i === layers ? 1 : 0),
  );
  const weights: Float64Array[] = [];
  for (let layer = layers - 1; layer >= 0; layer -= 1) {
    const [costs, nexts, here, ahead] = layerOf(woven, sums, layer);
    const layerWeights = new Float64Array(costs.length);
    let least = FORBIDDEN;
    for (const cost of costs) if (cost < least) least = cost;
    let most = 0;
    for (let edge = 0; edge < costs.length; edge += 1) {
      const to = nexts[edge] ?? -1;
      if (to < 0) continue;
      const weight = weightOf((costs[edge] ?? 0) - least) * (ahead[to] ?? 0);
      layerWeights[edge] = weight;
      const slot = (edge / choices) | 0;
      const sum = (here[slot] ?? 0) + weight;
      here[slot] = sum;
      if (sum > most) most = sum;
    }
    // A power of two keeps the sums in range without rounding them.
    let scale = 1;
    while (most * scale > 0 && most * scale < 0.5) scale *= 2;
    while (most * scale > 1) scale /= 2;
    for (let slot = 0; slot < here.length; slot += 1) here[slot] = (here[slot] ?? 0) * scale;
    for (let edge = 0; edge < costs.length; edge += 1) layerWeights[edge] = (layerWeights[edge] ?? 0) * scale;
    weights[layer] = layerWeights;
  }
  if ((sums[0]?.[0] ?? 0) === 0) return null;
  return (random) => {
    const path: number[] = [];
    let cost = 0;
    let slot = 0;
    for (let layer = 0; layer < layers; layer += 1) {
      const layerWeights = weights[layer] ?? new Float64Array(0);
      let left = unitDraw(random) * (sums[layer]?.[slot] ?? 0);
      let taken = -1;
      for (let choice = 0; choice < choices; choice += 1) {
        const weight = layerWeights[slot * choices + choice] ?? 0;
        if (weight === 0) continue;
        taken = choice;
        left -= weight;
        if (left < 0) break;
      }
      path.push(taken);
      cost += woven.costs[layer]?.[slot * choices + taken] ?? 0;
      slot = woven.nexts[layer]?.[slot * choices + taken] ?? 0;
    }
    return { choices: path, cost };
  };
}

/** How many paths there are: exact below 2^53. */
export function countPaths(woven: Woven): number {
  return pathCounts(woven)[0]?.[0] ?? 0;
}

/** The path with `n` paths before it in the order of their choices; null when there are no more than `n`. */
export function nthPath(woven: Woven, n: number): readonly number[] | null {
  const counts = pathCounts(woven);
  if (n >= (counts[0]?.[0] ?? 0)) return null;
  const path: number[] = [];
  let slot = 0;
  let left = n;
  for (let layer = 0; layer < woven.layers; layer += 1) {
    const [, nexts, , ahead] = layerOf(woven, counts, layer);
    for (let choice = 0; choice < woven.choices; choice += 1) {
      const to = nexts[slot * woven.choices + choice] ?? -1;
      const count = to < 0 ? 0 : (ahead[to] ?? 0);
      if (left >= count) left -= count;
      else {
        path.push(choice);
        slot = to;
        break;
      }
    }
  }
  return path;
}

/** For each layer, how many paths lead on from each slot. */
function pathCounts(woven: Woven): readonly Float64Array[] {
  const counts: Float64Array[] = Array.from({ length: woven.layers + 1 }, (_, i) =>
    new Float64Array(woven.reached[i]?.length ?? 0).fill(i === woven.layers ? 1 : 0),
  );
  for (let layer = woven.layers - 1; layer >= 0; layer -= 1) {
    const [, nexts, here, ahead] = layerOf(woven, counts, layer);
    nexts.forEach((to, edge) => {
      const slot = (edge / woven.choices) | 0;
      if (to >= 0) here[slot] = (here[slot] ?? 0) + (ahead[to] ?? 0);
    });
  }
  return counts;
}

/** exp(-cost / UNIT) by repeated multiplication of one constant; costs are integers of 0 or more. */
export function weightTable(): (cost: number) => number {
  // exp(-1/100), correctly rounded.
  const step = 0.9900498337491681;
  const small = new Float64Array(1024);
  let weight = 1;
  for (let cost = 0; cost < 1024; cost += 1) {
    small[cost] = weight;
    weight *= step;
  }
  const large = weight;
  return (cost) => {
    let product = small[cost & 1023] ?? 0;
    for (let times = cost >> 10; times > 0; times -= 1) product *= large;
    return product;
  };
}

/** A draw from 0 up to but not including 1, in steps of 2^-53. */
export function unitDraw(random: Random): number {
  const high = random() >>> 5;
  const low = random() >>> 6;
  return (high * 67108864 + low) / 9007199254740992;
}

type Layer = readonly [costs: Float64Array, nexts: Int32Array, here: Float64Array, ahead: Float64Array];

function layerOf(woven: Woven, values: readonly Float64Array[], layer: number): Layer {
  const none = new Float64Array(0);
  return [
    woven.costs[layer] ?? none,
    woven.nexts[layer] ?? new Int32Array(0),
    values[layer] ?? none,
    values[layer + 1] ?? none,
  ];
}
