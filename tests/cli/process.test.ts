/**
 * The shipped program as a process: what only a real pipe, a real exit and a real terminal-less stream show.
 */
import { spawn, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

const program = fileURLToPath(new URL('../../bin/chantwright.js', import.meta.url));
const BEE = 'Bee, bee, bumblebee\nStung a man upon his knee\n';

function start(
  argv: readonly string[],
  input = '',
): { status: number | null; stdout: string; stderr: string } {
  return spawnSync(process.execPath, [program, ...argv], { input, encoding: 'utf8' });
}

describe('the program', () => {
  test('sings what is piped in', () => {
    const { status, stdout, stderr } = start(['sing'], BEE);
    expect([status, stderr]).toEqual([0, '']);
    expect(stdout).toContain('Bee,');
  });

  test('gives what the source gives, byte for byte', async () => {
    const argv = ['sing', '--rung', 'all', '--to', 'json'];
    const { out } = await newWorld().run(argv, { stdin: BEE });
    expect(start(argv, BEE).stdout).toBe(out);
  });

  test('ends with 2 and a message, not a stack, on bad usage', () => {
    const { status, stdout, stderr } = start(['sing', '--tempo', 'x'], BEE);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(/^error: /);
    expect(stderr).not.toMatch(/\n\s+at /);
  });

  test('knows its version', () => {
    expect(start(['--version']).stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
  });

  test('ends well when its reader goes away', async () => {
    const { put, folder } = newWorld();
    for (let i = 0; i < 40; i++) put(`${String(i)}.txt`, BEE.repeat(20));
    const child = spawn(process.execPath, [program, 'sing', folder, '--rung', 'all', '--to', 'json']);
    let complaint = '';
    child.stderr.on('data', (part: Buffer) => (complaint += part.toString()));
    child.stdout.once('data', () => child.stdout.destroy());
    const code = await new Promise((resolve) => child.on('close', resolve));
    expect([code, complaint]).toEqual([0, '']);
  });

  test('loads neither YAML, MIDI nor colour for a plain rhyme', () => {
    const dist = join(program, '../../dist');
    const script = `
      import { register } from 'node:module';
      register('data:text/javascript,' + encodeURIComponent(
        "export async function load(u, c, n) { const r = await n(u, c); if (u.startsWith('file:')) console.error(String(r.source).length, u); return r; }"));
      const { run } = await import(${JSON.stringify(join(dist, 'cli.js'))});
      process.exitCode = await run(['sing']);`;
    const { status, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', script], {
      input: BEE,
      encoding: 'utf8',
    });
    expect(status).toBe(0);
    const loaded = stderr.split('\n').filter((line) => line.includes('dist'));
    const bytes = loaded.reduce((sum, line) => sum + Number(line.split(' ')[0]), 0);
    expect(loaded.length).toBeGreaterThan(0);
    // everything for a score, and no more; yaml alone would be another 100 kB
    expect(bytes).toBeLessThan(260_000);
    expect(loaded.join('\n')).not.toMatch(/midi|yaml|chalk/);
  });
});
