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
  const blocks: { sum: number; count: number }[] = [];
  for (const value of values) {
    blocks.push({ sum: value, count: 1 });
    for (;;) {
      const [before, last] = blocks.slice(-2);
      if (before === undefined || last === undefined || before.sum / before.count <= last.sum / last.count)
        break;
      blocks.splice(-2, 2, { sum: before.sum + last.sum, count: before.count + last.count });
    }
  }
  return blocks.flatMap(({ sum, count }) => Array.from({ length: count }, () => sum / count));
}
