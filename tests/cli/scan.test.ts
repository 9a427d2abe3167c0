import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

const OWL = 'The owl is late, the owl is slow,\nHe stops to count the flakes of snow.\n';

describe('scan', () => {
  test('prints the rhyme with its beats, which sings the same song', async () => {
    const { run, put } = newWorld();
    put('owl.txt', `---\ntitle: The Owl # hoot\ntempo: 96\n---\n${OWL}`);
    const scanned = await run(['scan', '@/owl.txt']);
    expect(scanned.code).toBe(0);
    expect(scanned.out).toMatch(/^---\ntitle: The Owl # hoot\ntempo: 96\n---\n/);
    expect(scanned.out).toContain('The |owl is |late, the |owl is |slow,\n');
    const again = await run(['scan'], { stdin: scanned.out });
    expect(again.out).toBe(scanned.out);
    const sung = await run(['sing', '@/owl.txt', '--rung', 'so-mi-la', '--to', 'json']);
    expect((await run(['sing', '--rung', 'so-mi-la', '--to', 'json'], { stdin: scanned.out })).out).toBe(
      sung.out,
    );
  });

  test('keeps the metre and the beats that were asked for', async () => {
    const { run } = newWorld();
    const { out } = await run(['scan', '--metre', '6/8', '--beats', '4'], { stdin: OWL });
    expect(out).toMatch(/^---\nmetre: 6\/8\nbeats: "?4"?\n---\n/);
    const sung = await run(['sing', '--to', 'json', '--metre', '6/8', '--beats', '4'], { stdin: OWL });
    expect((await run(['sing', '--to', 'json'], { stdin: out })).out).toBe(sung.out);
  });

  test('writes one JSON object a line', async () => {
    const { run, put } = newWorld();
    put('a.txt', OWL);
    put('b.txt', OWL);
    const { out } = await run(['scan', '@/', '--to', 'json']);
    const scans = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as { format: string; lines: unknown[] });
    expect(scans.map(({ format, lines }) => [format, lines.length])).toEqual([
      ['chantwright-scan', 2],
      ['chantwright-scan', 2],
    ]);
  });

  test('writes files that are rhymes again', async () => {
    const { run, put, list } = newWorld();
    put('owl.txt', OWL);
    await run(['scan', '@/owl.txt', '--to', 'notation,json', '--out', '@/scans']);
    expect(list('scans')).toEqual(['owl.scan.json', 'owl.scan.txt']);
    expect((await run(['sing', '@/scans'])).code).toBe(0);
  });

  test('refuses a form that it does not have', async () => {
    const { run } = newWorld();
    const { code, err } = await run(['scan', '--to', 'score'], { stdin: OWL });
    expect(code).toBe(2);
    expect(err).toContain('notation and json');
  });
});
