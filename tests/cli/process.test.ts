/**
 * The shipped program as a process: what only a real pipe, a real exit and a real terminal-less stream show.
 */
import { spawn, spawnSync } from 'node:child_process';
import { cpSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const program = join(root, 'bin/chantwright.js');
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

  test('starts as well when what V8 compiled at build time is missing or of another Node', () => {
    const { folder } = newWorld();
    cpSync(root, folder, {
      recursive: true,
      filter: (path) => path === root || /[\\/](?:bin|dist)(?:[\\/][^\\/]+)?$/.test(path),
    });
    const copy = join(folder, 'bin/chantwright.js');
    const cache = join(folder, 'dist/cli.cache');
    const expected = start(['sing'], BEE).stdout;
    const sung = (): string =>
      spawnSync(process.execPath, [copy, 'sing'], { input: BEE, encoding: 'utf8' }).stdout;
    writeFileSync(cache, 'of no use');
    expect(sung()).toBe(expected);
    rmSync(cache, { force: true });
    expect(sung()).toBe(expected);
  });

  test('says what to do when it is not built', () => {
    const { folder } = newWorld();
    cpSync(join(root, 'bin'), join(folder, 'bin'), { recursive: true });
    const { status, stderr } = spawnSync(process.execPath, [join(folder, 'bin/chantwright.js')], {
      encoding: 'utf8',
    });
    expect([status, stderr]).toEqual([2, 'error: The program is not built yet. Run: npm run build\n']);
  });
});
