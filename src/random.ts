/**
 * The one source of chance: xoshiro128** (Blackman and Vigna, "Scrambled linear pseudorandom number generators",
 * 2021), seeded by splitmix32. Integers only, so a seed gives the same draws on every machine.
 */

/** Gives the next integer from 0 to 2^32 - 1. */
export type Random = () => number;

export function seededRandom(seed: number): Random {
  let mix = seed >>> 0;
  const splitmix = (): number => {
    mix = (mix + 0x9e3779b9) >>> 0;
    let z = mix;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
  return xoshiro128([splitmix(), splitmix(), splitmix(), splitmix()]);
}

/** The generator on a given state; exported for the published test values. */
export function xoshiro128(state: readonly [number, number, number, number]): Random {
  let [a, b, c, d] = state;
  const rotate = (x: number, k: number): number => ((x << k) | (x >>> (32 - k))) >>> 0;
  return () => {
    const result = Math.imul(rotate(Math.imul(b, 5) >>> 0, 7), 9) >>> 0;
    const t = (b << 9) >>> 0;
    c = (c ^ a) >>> 0;
    d = (d ^ b) >>> 0;
    b = (b ^ c) >>> 0;
    a = (a ^ d) >>> 0;
    c = (c ^ t) >>> 0;
    d = rotate(d, 11);
    return result;
  };
}
