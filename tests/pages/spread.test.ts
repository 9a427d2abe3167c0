/** Words that want to stand at given places and must not touch. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { spread, type Wanted } from '../../src/pages/spread.ts';

const wanted: fc.Arbitrary<Wanted> = fc.record({
  centreMm: fc.integer({ min: 0, max: 30 }),
  widthMm: fc.integer({ min: 1, max: 6 }),
  gapAfterMm: fc.integer({ min: 0, max: 2 }),
});

function stands(items: readonly Wanted[], centres: readonly number[], left: number, right: number): boolean {
  const first = items[0];
  const last = items.at(-1);
  if (first === undefined || last === undefined) return true;
  const apart = items.every((item, i) => {
    const next = items[i + 1];
    if (next === undefined) return true;
    const room = (centres[i + 1] ?? 0) - (centres[i] ?? 0) - (item.widthMm + next.widthMm) / 2;
    return room >= item.gapAfterMm - 1e-9;
  });
  const inside =
    (centres[0] ?? 0) - first.widthMm / 2 >= left - 1e-9 &&
    (centres.at(-1) ?? 0) + last.widthMm / 2 + last.gapAfterMm <= right + 1e-9;
  return apart && inside;
}

function cost(items: readonly Wanted[], centres: readonly number[]): number {
  return items.reduce((sum, item, i) => sum + ((centres[i] ?? 0) - item.centreMm) ** 2, 0);
}

describe('spread', () => {
  test('leaves alone what does not touch', () => {
    const items = [
      { centreMm: 5, widthMm: 4, gapAfterMm: 1 },
      { centreMm: 20, widthMm: 4, gapAfterMm: 1 },
    ];
    expect(spread(items, 0, 40)).toEqual({ centresMm: [5, 20], worstMm: 0 });
  });

  test('moves two that collide apart by the same way', () => {
    const items = [
      { centreMm: 10, widthMm: 4, gapAfterMm: 1 },
      { centreMm: 11, widthMm: 4, gapAfterMm: 1 },
    ];
    expect(spread(items, 0, 40)?.centresMm).toEqual([8, 13]);
  });

  test('says when there is no room', () => {
    expect(spread([{ centreMm: 1, widthMm: 50, gapAfterMm: 0 }], 0, 40)).toBeNull();
  });

  test('never lets words touch or leave the row, and finds no place worse than any on a grid (exhaustive)', () => {
    const sorted = fc
      .array(wanted, { minLength: 1, maxLength: 3 })
      .map((items) => [...items].sort((a, b) => a.centreMm - b.centreMm));
    fc.assert(
      fc.property(sorted, (items) => {
        const found = spread(items, 0, 30);
        const grid = Array.from({ length: 61 }, (_, i) => i / 2);
        let best = Infinity;
        const tryAll = (centres: readonly number[]): void => {
          if (centres.length === items.length) {
            if (stands(items, centres, 0, 30)) best = Math.min(best, cost(items, centres));
            return;
          }
          for (const centre of grid) if (centre > (centres.at(-1) ?? -1)) tryAll([...centres, centre]);
        };
        tryAll([]);
        if (found === null) expect(best).toBe(Infinity);
        else {
          expect(stands(items, found.centresMm, 0, 30)).toBe(true);
          expect(cost(items, found.centresMm)).toBeLessThanOrEqual(best + 1e-9);
        }
      }),
      { numRuns: 60, seed: 5 },
    );
  });
});
