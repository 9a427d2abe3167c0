// `npm run verify`: installs what is missing, builds, and checks everything. Each step before the tests counts as
// one check; the last line sums up, and the exit code is 1 when anything failed.
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build, installMissing, runNode } from './steps.mjs';

const TSC = 'node_modules/typescript/bin/tsc';
const steps = [
  ['install', installMissing],
  ['build', build],
  ['type declarations', () => runNode(TSC, ['-p', 'tsconfig.types.json'])],
  ['type check', () => runNode(TSC, ['--noEmit'])],
  ['lint', () => runNode('node_modules/eslint/bin/eslint.js', ['.'])],
  [
    'format',
    () => runNode('node_modules/prettier/bin/prettier.cjs', ['--check', '--log-level', 'warn', '.']),
  ],
];

const sum = { passed: 0, failed: 0, skipped: 0 };
for (const [name, step] of steps) {
  const well = step();
  console.log(`${well ? 'ok' : 'FAILED'}: ${name}`);
  sum[well ? 'passed' : 'failed'] += 1;
  if (name === 'install' && !well) break;
}
if (sum.passed > 0) runTests();
console.log(`verify: ${sum.passed} passed, ${sum.failed} failed, ${sum.skipped} skipped`);
process.exitCode = sum.failed === 0 ? 0 : 1;

function runTests() {
  const folder = mkdtempSync(join(tmpdir(), 'chantwright-verify-'));
  const report = join(folder, 'tests.json');
  const well = runNode('node_modules/vitest/vitest.mjs', [
    'run',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
  ]);
  const before = sum.failed;
  try {
    const tests = JSON.parse(readFileSync(report, 'utf8'));
    sum.passed += tests.numPassedTests;
    sum.failed += tests.numFailedTests;
    sum.skipped += tests.numPendingTests + tests.numTodoTests;
    // a test file that could not be loaded has no tests to count
    sum.failed += tests.testResults.filter(
      (f) => f.status === 'failed' && f.assertionResults.length === 0,
    ).length;
  } catch {
    console.error('The tests left no report.');
  }
  if (!well && sum.failed === before) sum.failed += 1;
  rmSync(folder, { recursive: true, force: true });
}
