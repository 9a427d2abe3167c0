/**
 * Before the tests: brings dist/ up to date when a source is newer than it. Tests that run the shipped program or
 * read the compiled pronunciations need it. A build that fails is left to those tests to show.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const lock = join(root, 'dist/.building');
/** A build takes a few seconds; a lock older than this was left by one that was stopped. */
const STALE_MS = 60_000;

export async function setup(): Promise<void> {
  mkdirSync(join(root, 'dist'), { recursive: true });
  await takeLock();
  try {
    if (isOlder('dist/pronunciations.bin', ['build/lexicon.mjs', 'package-lock.json']))
      runScript('build/lexicon.mjs');
    if (
      isOlder('dist/cli.cjs', [
        'build/bundle.mjs',
        'bin/load.js',
        'package-lock.json',
        'package.json',
        ...filesUnder('src'),
      ])
    ) {
      runScript('build/bundle.mjs');
    }
  } finally {
    rmSync(lock, { recursive: true, force: true });
  }
}

async function takeLock(): Promise<void> {
  for (;;) {
    try {
      mkdirSync(lock);
      return;
    } catch {
      if (Date.now() - (statSync(lock, { throwIfNoEntry: false })?.mtimeMs ?? Infinity) > STALE_MS) {
        rmSync(lock, { recursive: true, force: true });
      }
      await sleep(200);
    }
  }
}

function isOlder(made: string, sources: readonly string[]): boolean {
  const time = statSync(join(root, made), { throwIfNoEntry: false })?.mtimeMs ?? 0;
  return sources.some(
    (source) => (statSync(join(root, source), { throwIfNoEntry: false })?.mtimeMs ?? 0) > time,
  );
}

function filesUnder(folder: string): readonly string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' }).map((name) =>
    join(folder, name),
  );
}

function runScript(script: string): void {
  if (!existsSync(join(root, script))) return;
  const { status, stderr } = spawnSync(process.execPath, [join(root, script)], {
    cwd: root,
    encoding: 'utf8',
  });
  if (status !== 0) process.stderr.write(`${script} failed:\n${stderr}\n`);
}
