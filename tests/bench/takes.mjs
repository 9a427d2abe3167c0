// bench: a hundred takes of an eight-line rhyme on the largest rung, whole process, beside `node -e 0` in the same run.
// Medians of interleaved runs: node tests/bench/takes.mjs [rounds]
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const rounds = Number(process.argv[2] ?? 15);
const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(root, 'node_modules', '.bench-'));
const median = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];
try {
  const outfile = join(folder, 'takes.mjs');
  await build({
    entryPoints: [join(root, 'tests/bench/takes-run.ts')],
    outfile,
    bundle: true,
    minify: true,
    platform: 'node',
    format: 'esm',
  });
  const times = { nothing: [], takes: [] };
  for (let round = 0; round < rounds; round += 1) {
    for (const [name, args] of [
      ['nothing', ['-e', '0']],
      ['takes', [outfile]],
    ]) {
      const start = process.hrtime.bigint();
      const { status } = spawnSync(process.execPath, args, { stdio: 'inherit' });
      if (status !== 0) throw new Error(`${name} failed`);
      times[name].push(Number(process.hrtime.bigint() - start) / 1e6);
    }
  }
  const [nothing, takes] = [median(times.nothing), median(times.takes)];
  console.log(
    `node -e 0: ${nothing.toFixed(0)} ms; 100 takes: ${takes.toFixed(0)} ms; ratio ${(takes / nothing).toFixed(2)} (goal 4 or less), medians of ${rounds}`,
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
