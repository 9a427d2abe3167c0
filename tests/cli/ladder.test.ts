import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

describe('ladder', () => {
  test('shows the tones of each rung, easiest first, then the rhythms', async () => {
    const { run } = newWorld();
    const { code, out } = await run(['ladder']);
    expect(code).toBe(0);
    expect(out).toMatch(/so-mi +m s +d +D\n *so-mi-la +m s l +l +d +D\n *so-mi-la-do +d m s l +d +d +D\n/);
    expect(out.indexOf('so-mi ')).toBeLessThan(out.indexOf('natural-minor'));
    expect(out.indexOf('natural-minor')).toBeLessThan(out.indexOf('half-note'));
  });

  test('is one JSON object on demand', async () => {
    const { run } = newWorld();
    const { out } = await run(['ladder', '--to', 'json']);
    const ladder = JSON.parse(out) as {
      tones: { rung: string; tones: string }[];
      rhythms: { rung: string }[];
    };
    expect(ladder.tones.slice(0, 3).map(({ rung, tones }) => [rung, tones])).toEqual([
      ['so-mi', 'm s'],
      ['so-mi-la', 'm s l'],
      ['so-mi-la-do', 'd m s l'],
    ]);
    expect(ladder.rhythms.map(({ rung }) => rung)).toContain('half-note');
  });

  test('refuses a form that it does not have', async () => {
    const { run } = newWorld();
    expect(await run(['ladder', '--to', 'pdf'])).toMatchObject({ code: 2, out: '' });
  });
});
