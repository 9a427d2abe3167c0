/**
 * Fancy: the leaning that a seed gives to each tone at each moment, so that the best song of one rhyme is not the
 * plainest song of all. The cheapest song under double-exponential leanings comes out about as one drawn from the
 * costs without them would (Papandreou and Yuille, "Perturb-and-MAP random fields", 2011).
 */
import type { Random } from '../random.ts';

/** The 64 mid-quantiles of the standard double-exponential (Gumbel) distribution, in hundredths. */
const LIKINGS = [
  -158, -132, -118, -107, -98, -90, -83, -76, -70, -65, -59, -54, -49, -44, -40, -35, -30, -26, -22, -17, -13,
  -9, -4, 0, 4, 8, 13, 17, 21, 26, 30, 34, 39, 43, 48, 53, 58, 63, 68, 73, 78, 84, 89, 95, 101, 108, 114, 121,
  128, 136, 144, 153, 162, 172, 183, 195, 208, 223, 241, 262, 288, 322, 374, 485,
] as const;

/** A leaning for the best song, as a cost: negative where the tone is liked. `percent` scales it. */
export function strongFancy(random: Random, percent: number): number {
  return -Math.trunc(((LIKINGS[random() & 63] ?? 0) * percent) / 100);
}

/** A leaning for a drawn song, which varies enough by itself: even chances from -40 to 40. */
export function mildFancy(random: Random): number {
  return (random() % 81) - 40;
}
