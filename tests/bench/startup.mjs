// Whole-process time of one rhyme to a score against `node -e 0`, interleaved in one run, medians.
//
//     npm run bench:startup [-- rounds]
//
// Goal: 1.6 or less. The two kinds of process take turns, so that a busy machine slows both alike; the ratio of the
// medians is steadier than either time.
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const rounds = Number(process.argv[2] ?? 41);
const rhyme = readFileSync(`${root}examples/late-owl.txt`, 'utf8').replace(/^---[^]*?---\n/, '');
const settings = readFileSync(`${root}examples/late-owl.txt`, 'utf8');

const cases = [
  { name: 'node -e 0', argv: ['-e', '0'], input: '' },
  { name: 'chantwright --version', argv: ['bin/chantwright.js', '--version'], input: '' },
  { name: 'sing, a rhyme on standard input', argv: ['bin/chantwright.js', 'sing'], input: rhyme },
  { name: 'sing, a rhyme with front matter', argv: ['bin/chantwright.js', 'sing'], input: settings },
  {
    name: 'sing, three rungs',
    argv: ['bin/chantwright.js', 'sing', '--rung', 'so-mi..so-mi-la-do'],
    input: rhyme,
  },
  { name: 'sing, to midi', argv: ['bin/chantwright.js', 'sing', '--to', 'midi'], input: rhyme },
];

const times = cases.map(() => []);
for (let round = -2; round < rounds; round++) {
  cases.forEach(({ argv, input }, index) => {
    const start = process.hrtime.bigint();
    const { status, stderr } = spawnSync(process.execPath, argv, { cwd: root, input });
    const ms = Number(process.hrtime.bigint() - start) / 1e6;
    if (status !== 0) throw new Error(`${argv.join(' ')} ended with ${status}: ${stderr}`);
    if (round >= 0) times[index].push(ms); // the first two rounds warm the file cache
  });
}

const median = (list) => list.toSorted((a, b) => a - b)[list.length >> 1];
const base = median(times[0]);
console.log(`${rounds} rounds, Node ${process.version}; medians`);
cases.forEach(({ name }, index) => {
  const ms = median(times[index]);
  console.log(`${ms.toFixed(1).padStart(7)} ms  ${(ms / base).toFixed(2).padStart(5)}  ${name}`);
});
