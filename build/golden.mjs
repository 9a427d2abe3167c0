// `npm run golden`: accepts what the program now writes as right, in examples/songs, in the README and in the tests'
// own golden files. Look at `git diff` before you commit it.
import { build, runNode } from './steps.mjs';

process.env.GOLDEN = 'accept';
const tests = ['run', 'tests/examples.test.ts', 'tests/readme.test.ts', 'tests/export', 'tests/golden'];
process.exitCode = build() && runNode('node_modules/vitest/vitest.mjs', tests) ? 0 : 1;
