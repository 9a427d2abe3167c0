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

/** What an edge costs that may not be taken. Rewards cannot buy it back: half of it still forbids. */
export const FORBIDDEN = 1_000_000_000;

export interface Lattice {
  /** Choices made one after the other; 0 or more. */
  readonly layers: number;
  /** States are numbered from 0 to `states` - 1. */
  readonly states: number;
  /** Choices are numbered from 0 to `choices` - 1 in every layer. */
  readonly choices: number;
  /** The state before the first choice. */
  readonly start: number;
  /**
   * Fills in, for each choice made in a state, its integer cost (negative for a reward, FORBIDDEN for
   * never) and the state that it leads to.
   */
  readonly edges: (layer: number, state: number, costs: Int32Array, nexts: Int32Array) => void;
}

/**
 * Memory for lattices woven one after the other. A lattice woven in a room is good until the room is used again; it
 * saves clearing away the arrays of thousands of small lattices.
 */
export interface Room {
  stateOf: Int32Array<ArrayBuffer>;
  edgeStart: Int32Array<ArrayBuffer>;
  choice: Int32Array<ArrayBuffer>;
  cost: Int32Array<ArrayBuffer>;
  to: Int32Array<ArrayBuffer>;
  sums: Float64Array<ArrayBuffer>;
  weights: Float64Array<ArrayBuffer>;
}

export function makeRoom(): Room {
  const none = new Int32Array(0);
  const noSums = new Float64Array(0);
  return {
    stateOf: none,
    edgeStart: none,
    choice: none,
    cost: none,
    to: none,
    sums: noSums,
    weights: noSums,
  };
}

/**
 * A lattice with its edges worked out once, for any number of searches and draws. A slot is a state that can be
 * reached in a layer; slots and edges are numbered from the first layer on, edges of a slot by rising choice.
 */
export interface Woven {
  readonly layers: number;
  readonly slots: number;
  readonly edges: number;
  /** The first slot of each layer, the end layer's included, and the number of slots behind it. */
  readonly slotStart: Int32Array;
  /** The first edge of each slot, and the number of edges behind the last. */
  readonly edgeStart: Int32Array;
  readonly choice: Int32Array;
  readonly cost: Int32Array;
  /** The slot that the edge leads to. */
  readonly to: Int32Array;
  readonly room: Room;
}

/** A path: the choice in each layer, and the sum of its edge costs. */
export interface Path {
  readonly choices: readonly number[];
  readonly cost: number;
}

/** Work out every edge that can be reached. O(layers x states x choices). */
export function weave(lattice: Lattice, room: Room = makeRoom()): Woven {
  const { layers, states, choices, start } = lattice;
  const slotStart = new Int32Array(layers + 2);
  const slotOf = new Int32Array(states);
  const rowCosts = new Int32Array(choices);
  const rowNexts = new Int32Array(choices);
  room.stateOf = withRoom(room.stateOf, states + 1);
  room.stateOf[0] = start;
  let slots = 1;
  let edges = 0;
  let here = 0;
  for (let layer = 0; layer < layers; layer += 1) {
    const ahead = slots;
    slotStart[layer] = here;
    slotOf.fill(-1);
    const stateOf = (room.stateOf = withRoom(room.stateOf, ahead + states));
    const edgeStart = (room.edgeStart = withRoom(room.edgeStart, ahead + states + 1));
    const most = edges + (ahead - here) * choices;
    const choice = (room.choice = withRoom(room.choice, most));
    const cost = (room.cost = withRoom(room.cost, most));
    const to = (room.to = withRoom(room.to, most));
    for (let slot = here; slot < ahead; slot += 1) {
      edgeStart[slot] = edges;
      lattice.edges(layer, stateOf[slot] ?? 0, rowCosts, rowNexts);
      for (let taken = 0; taken < choices; taken += 1) {
        const edgeCost = rowCosts[taken] ?? FORBIDDEN;
        if (edgeCost >= FORBIDDEN / 2) continue;
        const state = rowNexts[taken] ?? 0;
        let slotAhead = slotOf[state] ?? -1;
        if (slotAhead < 0) {
          slotAhead = slots;
          slotOf[state] = slotAhead;
          stateOf[slots] = state;
          slots += 1;
        }
        choice[edges] = taken;
        cost[edges] = edgeCost;
        to[edges] = slotAhead;
        edges += 1;
      }
    }
    here = ahead;
  }
  slotStart[layers] = here;
  slotStart[layers + 1] = slots;
  const edgeStart = (room.edgeStart = withRoom(room.edgeStart, slots + 1));
  edgeStart.fill(edges, here, slots + 1);
  const { choice, cost, to } = room;
  return { layers, slots, edges, slotStart, edgeStart, choice, cost, to, room };
}

/** The same numbers with room for at least `length`. */
function withRoom(numbers: Int32Array<ArrayBuffer>, length: number): Int32Array<ArrayBuffer> {
  if (numbers.length >= length) return numbers;
  const wider = new Int32Array(Math.max(length, numbers.length * 2));
  wider.set(numbers);
  return wider;
}

/**
 * The cheapest path, or null when there is none.
 *
 * Exact. Among equal costs the path whose first differing choice has the lower number wins.
 */
export function bestPath(woven: Woven): Path | null {
  const { slotStart, edgeStart, cost, to } = woven;
  const end = slotStart[woven.layers] ?? 0;
  const { slots } = woven;
  const toGo = new Float64Array(slots).fill(Infinity, 0, end);
  const taken = new Int32Array(slots).fill(-1);
  for (let slot = end - 1; slot >= 0; slot -= 1) {
    let least = Infinity;
    const behind = edgeStart[slot + 1] ?? 0;
    for (let edge = edgeStart[slot] ?? 0; edge < behind; edge += 1) {
      const total = (cost[edge] ?? 0) + (toGo[to[edge] ?? 0] ?? Infinity);
      if (total >= least) continue;
      least = total;
      taken[slot] = edge;
    }
    toGo[slot] = least;
  }
  if (toGo[0] === Infinity || slots === end) return null;
  return follow(woven, (slot) => taken[slot] ?? 0);
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
  const { slotStart, edgeStart, cost, to } = woven;
  const end = slotStart[woven.layers] ?? 0;
  const { room, slots } = woven;
  if (room.sums.length < slots) room.sums = new Float64Array(2 * slots);
  if (room.weights.length < woven.edges) room.weights = new Float64Array(2 * woven.edges);
  const { sums, weights } = room;
  sums.fill(1, end, slots);
  for (let layer = woven.layers - 1; layer >= 0; layer -= 1) {
    const [firstSlot, slotBehind] = [slotStart[layer] ?? 0, slotStart[layer + 1] ?? 0];
    const [firstEdge, edgeBehind] = [edgeStart[firstSlot] ?? 0, edgeStart[slotBehind] ?? 0];
    let least = FORBIDDEN;
    for (let edge = firstEdge; edge < edgeBehind; edge += 1) least = Math.min(least, cost[edge] ?? FORBIDDEN);
    let most = 0;
    for (let slot = firstSlot; slot < slotBehind; slot += 1) {
      let sum = 0;
      const behind = edgeStart[slot + 1] ?? 0;
      for (let edge = edgeStart[slot] ?? 0; edge < behind; edge += 1) {
        const weight = weightOf((cost[edge] ?? 0) - least) * (sums[to[edge] ?? 0] ?? 0);
        weights[edge] = weight;
        sum += weight;
      }
      sums[slot] = sum;
      if (sum > most) most = sum;
    }
    // A power of two keeps the sums in range without rounding them.
    const scale = intoRange(most);
    if (scale === 1) continue;
    for (let slot = firstSlot; slot < slotBehind; slot += 1) sums[slot] = (sums[slot] ?? 0) * scale;
    for (let edge = firstEdge; edge < edgeBehind; edge += 1) weights[edge] = (weights[edge] ?? 0) * scale;
  }
  if (sums[0] === 0 || slots === end) return null;
  return (random) =>
    follow(woven, (slot) => {
      let left = unitDraw(random) * (sums[slot] ?? 0);
      let taken = -1;
      const behind = edgeStart[slot + 1] ?? 0;
      for (let edge = edgeStart[slot] ?? 0; edge < behind; edge += 1) {
        const weight = weights[edge] ?? 0;
        if (weight === 0) continue;
        taken = edge;
        left -= weight;
        if (left < 0) break;
      }
      return taken;
    });
}

/** How many paths there are: exact below 2^53. */
export function countPaths(woven: Woven): number {
  const counts = pathCounts(woven);
  return counts[0] ?? 0;
}

/** The path with `n` paths before it in the order of their choices; null when there are no more than `n`. */
export function nthPath(woven: Woven, n: number): readonly number[] | null {
  const counts = pathCounts(woven);
  if (n >= (counts[0] ?? 0)) return null;
  let left = n;
  return follow(woven, (slot) => {
    let edge = woven.edgeStart[slot] ?? 0;
    while (left >= (counts[woven.to[edge] ?? 0] ?? 0)) {
      left -= counts[woven.to[edge] ?? 0] ?? 0;
      edge += 1;
    }
    return edge;
  }).choices;
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

/** The path that takes in each slot the edge that `edgeAt` names. */
function follow(woven: Woven, edgeAt: (slot: number) => number): Path {
  const choices: number[] = [];
  let cost = 0;
  let slot = 0;
  for (let layer = 0; layer < woven.layers; layer += 1) {
    const edge = edgeAt(slot);
    choices.push(woven.choice[edge] ?? 0);
    cost += woven.cost[edge] ?? 0;
    slot = woven.to[edge] ?? 0;
  }
  return { choices, cost };
}

/** How many paths lead on from each slot to the end. */
function pathCounts({ layers, slots, slotStart, edgeStart, to }: Woven): Float64Array {
  const end = slotStart[layers] ?? 0;
  const counts = new Float64Array(slots).fill(1, end);
  for (let slot = end - 1; slot >= 0; slot -= 1) {
    let count = 0;
    const behind = edgeStart[slot + 1] ?? 0;
    for (let edge = edgeStart[slot] ?? 0; edge < behind; edge += 1) count += counts[to[edge] ?? 0] ?? 0;
    counts[slot] = count;
  }
  return counts;
}

/** The power of two that brings a number above 0 between a half and one. */
function intoRange(most: number): number {
  let scale = 1;
  while (most > 0 && most * scale < 0.5) scale *= 2;
  while (most * scale > 1) scale /= 2;
  return scale;
}
