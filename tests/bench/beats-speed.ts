/**
 * bench:beats-speed : placing rhymes of 10 to 10,000 lines. Each size runs in a process of its own, turn by turn with
 * an empty one (`node -e 0`), medians of `--rounds` (5). Prints the times, the exponent of their growth, and how the
 * whole process of 1,000 lines compares with the empty one. Lines vary, so nothing is found twice.
 */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { placeBeats } from '../../src/setting/placement.ts';
import { openLexicon, readVerse } from '../../src/syllabify/index.ts';

const SIZES = [10, 100, 1000, 10_000];
const sizeAt = process.argv.indexOf('--size');

if (sizeAt > 0) one(Number(process.argv[sizeAt + 1]));
else all();

/** Invented lines, no two alike within a thousand. */
function rhymeOf(lines: number): string {
  const who = 'goat owl fox mouse tailor miller robin badger baker sailor'.split(' ');
  const did = [
    'ran up',
    'sat on',
    'looked in',
    'went round',
    'sang to',
    'jumped off',
    'slept by',
    'hid under',
    'fell from',
    'came past',
  ];
  const what = 'hill gate basket window pond haystack balloon garden ladder kettle'.split(' ');
  const line = (i: number): string =>
    `The ${who[i % 10] ?? ''} ${did[Math.floor(i / 10) % 10] ?? ''} the ${what[Math.floor(i / 100) % 10] ?? ''}${i % 2 === 0 ? '' : ' one day'}`;
  return Array.from({ length: lines }, (_, i) => line(i) + (i % 4 === 3 ? '\n' : '')).join('\n');
}

/** One size, in this process: milliseconds of reading and of placing. */
function one(lines: number): void {
  const lexicon = openLexicon(readFileSync('dist/pronunciations.bin'));
  const start = performance.now();
  const verse = readVerse(rhymeOf(lines), { lexicon });
  if (!verse.ok) throw new Error('the rhyme reads');
  const read = performance.now();
  const placed = placeBeats(verse.value, { beatClass: null, beats: null });
  if (!placed.ok) throw new Error('the rhyme is placed');
  console.log(JSON.stringify({ read: read - start, place: performance.now() - read }));
}

function all(): void {
  const script = fileURLToPath(import.meta.url);
  const roundsAt = process.argv.indexOf('--rounds');
  const rounds = roundsAt > 0 ? Number(process.argv[roundsAt + 1]) : 5;
  const empty: number[] = [];
  const runs = new Map(
    SIZES.map((size) => [size, { whole: [] as number[], read: [] as number[], place: [] as number[] }]),
  );
  const time = (args: readonly string[]): { ms: number; out: string } => {
    const start = performance.now();
    const { stdout, status } = spawnSync(process.execPath, args, { encoding: 'utf8' });
    if (status !== 0) throw new Error(`${args.join(' ')} failed`);
    return { ms: performance.now() - start, out: stdout };
  };
  for (let round = 0; round < rounds; round++) {
    empty.push(time(['-e', '0']).ms);
    for (const [size, run] of runs) {
      const { ms, out } = time([script, '--size', String(size)]);
      const own = JSON.parse(out) as { read: number; place: number };
      run.whole.push(ms);
      run.read.push(own.read);
      run.place.push(own.place);
    }
  }
  const base = median(empty);
  console.log(`node -e 0: ${base.toFixed(0)} ms`);
  for (const [size, { whole, read, place }] of runs) {
    console.log(
      `${String(size).padStart(6)} lines: read ${median(read).toFixed(1)} ms, place ${median(place).toFixed(1)} ms (${(median(place) / base).toFixed(2)} times empty), whole process ${(median(whole) / base).toFixed(2)} times empty`,
    );
  }
  const placing = [...runs].map(([size, { place }]) => [size, median(place)] as const);
  const [from, to] = [placing.at(-2), placing.at(-1)];
  if (from !== undefined && to !== undefined) {
    console.log(
      `exponent from ${String(from[0])} to ${String(to[0])} lines: ${(Math.log(to[1] / from[1]) / Math.log(to[0] / from[0])).toFixed(2)}`,
    );
  }
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
}
