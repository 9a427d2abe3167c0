import { describe, expect, test } from 'vitest';
import { fillerTicks, ROOM } from '../../src/setting/grid.ts';
import { ticksPerBeat } from '../../src/time.ts';

describe('syllables inside a beat', () => {
  // Counted in two song books of 1877 and 1893 (345 single and 177 double fillers in compound time, 606 single ones in
  // simple time): 2/3; 1/3 and 2/3; 1/2. Two in simple time: 1/2 and 3/4 (62 % of 26).
  test.each([
    ['compound', 1, [480]],
    ['compound', 2, [240, 480]],
    ['simple', 1, [240]],
    ['simple', 2, [240, 360]],
    ['simple', 3, [120, 240, 360]],
  ] as const)('%s time, %i off the beat', (beatClass, count, ticks) => {
    expect(fillerTicks(beatClass, count)).toEqual(ticks);
  });

  test('rise inside the beat, whole ticks, however many were marked', () => {
    for (const beatClass of ['simple', 'compound'] as const) {
      for (let count = 0; count <= 20; count++) {
        const ticks = fillerTicks(beatClass, count);
        expect(ticks).toHaveLength(count);
        [0, ...ticks].forEach((tick, i, all) => {
          expect(Number.isInteger(tick)).toBe(true);
          expect(tick).toBeLessThan(all[i + 1] ?? ticksPerBeat(beatClass));
        });
      }
    }
    expect(ROOM.simple).toBe(3);
  });
});
