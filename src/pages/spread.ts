/**
 * Words that want to stand at given places and must not touch: each is moved as little as can be.
 *
 * Least squares under order constraints, solved exactly by pooling neighbours that would collide (isotonic regression
 * by pool adjacent violators: Barlow, Bartholomew, Bremner and Brunk, "Statistical Inference under Order
 * Restrictions", 1972), then held inside the row.
 */

export interface Wanted {
  /** Where its middle wants to stand. */
  readonly centreMm: number;
  readonly widthMm: number;
  /** Least room to the next one; on the last, to the row's end. */
  readonly gapAfterMm: number;
}

export interface Spread {
  /** Where the middles stand, in the order given. */
  readonly centresMm: readonly number[];
  /** The longest way that one was moved. */
  readonly worstMm: number;
}

/** Places for all, from `leftMm` to `rightMm`; null when they do not fit in one row. */
export function spread(items: readonly Wanted[], leftMm: number, rightMm: number): Spread | null {
  const first = items[0];
  if (first === undefined) return { centresMm: [], worstMm: 0 };
  // distance of each middle from the first one's when all stand as close as they may
  const packed: number[] = [];
  let at = 0;
  items.forEach((item, i) => {
    const before = items[i - 1];
    if (before !== undefined) at += (before.widthMm + item.widthMm) / 2 + before.gapAfterMm;
    packed.push(at);
  });
  const last = items.at(-1) ?? first;
  const low = leftMm + first.widthMm / 2;
  const high = rightMm - at - last.widthMm / 2 - last.gapAfterMm;
  if (low > high + 1e-9) return null;
  const free = pool(items.map((item, i) => item.centreMm - (packed[i] ?? 0)));
  const centresMm = free.map((value, i) => Math.max(low, Math.min(high, value)) + (packed[i] ?? 0));
  const moves = centresMm.map((centre, i) => Math.abs(centre - (items[i]?.centreMm ?? 0)));
  return { centresMm, worstMm: Math.max(...moves) };
}

/** The closest rising sequence, by least squares. */
function pool(values: readonly number[]): readonly number[] {
  const sums: number[] = [];
  const counts: number[] = [];
  for (const value of values) {
    let [sum, count] = [value, 1];
    let last = sums.length - 1;
    while (last >= 0 && (sums[last] ?? 0) / (counts[last] ?? 1) > sum / count) {
      sum += sums.pop() ?? 0;
      count += counts.pop() ?? 0;
      last -= 1;
    }
    sums.push(sum);
    counts.push(count);
  }
  return sums.flatMap((sum, i) => new Array<number>(counts[i] ?? 0).fill(sum / (counts[i] ?? 1)));
}
