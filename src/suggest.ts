/**
 * The nearest name to one that nobody knows: the "did you mean" of every message. Knows no names itself.
 */

/**
 * The candidate with the fewest slips from the name, or null when none is near.
 *
 * Slips are letters added, left out, changed, or two neighbours swapped (the optimal string alignment distance of
 * Damerau 1964). Near is one slip in names of up to four letters, then one more for every three letters. A name
 * that only one candidate starts with is near too. The first of equals wins. Case does not count.
 *
 * @example nearest('so-me', ['so-mi', 'so-mi-la']) // => 'so-mi'
 */
export function nearest(name: string, candidates: readonly string[]): string | null {
  const wanted = name.toLowerCase();
  let best: string | null = null;
  let fewest = 1 + Math.max(1, Math.ceil((wanted.length - 1) / 3));
  for (const candidate of candidates) {
    const slips = slipsBetween(wanted, candidate.toLowerCase());
    if (slips < fewest) {
      best = candidate;
      fewest = slips;
    }
  }
  if (best !== null || wanted.length < 2) return best;
  const begun = candidates.filter((candidate) => candidate.toLowerCase().startsWith(wanted));
  return begun.length === 1 ? (begun[0] ?? null) : null;
}

/** Optimal string alignment distance; O(length x length) time, three rows of memory. */
export function slipsBetween(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const changed = (above[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      let least = Math.min(changed, (above[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) least = Math.min(least, (before[j - 2] ?? 0) + 1);
      row.push(least);
    }
    before = above;
    above = row;
  }
  return above[b.length] ?? 0;
}
