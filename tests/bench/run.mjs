// Bundle one TypeScript bench with esbuild and run it: node tests/bench/run.mjs tests/bench/beats.ts [arguments]
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const [script, ...rest] = process.argv.slice(2);
const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(root, 'node_modules', '.bench-'));
try {
  const outfile = join(folder, 'bench.mjs');
  await build({
    entryPoints: [script],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    logLevel: 'warning',
  });
  const { status } = spawnSync(process.execPath, [outfile, ...rest], { stdio: 'inherit' });
  process.exitCode = status ?? 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
