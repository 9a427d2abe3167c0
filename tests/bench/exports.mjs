// `node tests/bench/exports.mjs`: what each writer and reader costs for one song, in microseconds (medians, interleaved),
// and what loading it costs. Sources are bundled first, as the shipped program is.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const root = new URL('../../', import.meta.url).pathname;
const out = mkdtempSync(join(root, 'node_modules', '.bench-'));
try {
  await build({
    entryPoints: {
      songs: join(root, 'tests/export/songs.ts'),
      formats: join(root, 'src/export/index.ts'),
      score: join(root, 'src/read/score.ts'),
      'song-json': join(root, 'src/read/song-json.ts'),
      musicxml: join(root, 'src/read/musicxml.ts'),
      'tonic-solfa': join(root, 'src/read/tonic-solfa.ts'),
    },
    outdir: out,
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    logLevel: 'error',
  });
  const load = (name) => import(pathToFileURL(join(out, `${name}.js`)).href);
  const { KETTLE } = await load('songs');
  const { FORMATS } = await load('formats');
  const writers = await Promise.all(
    Object.entries(FORMATS).map(async ([name, format]) => [`write ${name}`, await format.load()]),
  );
  const written = Object.fromEntries(writers.map(([name, write]) => [name.slice(6), write(KETTLE)]));
  const { readScore } = await load('score');
  const [, matter, body] = /^---\n([\s\S]*?)^---\n([\s\S]*)/m.exec(written.score);
  const values = Object.fromEntries(
    matter
      .trim()
      .split('\n')
      .map((line) => line.split(/: (.*)/s).slice(0, 2)),
  );
  const text = { values, spans: {}, body, offset: 0 };
  const readers = [
    ['read score', () => readScore(text)],
    ['read json', async () => (await load('song-json')).readSongJson(written.json)],
    ['read musicxml', async () => (await load('musicxml')).readMusicXml(written.musicxml)],
    ['read tonic-solfa', async () => (await load('tonic-solfa')).readTonicSolfa(written['tonic-solfa'])],
  ];
  const { readSongJson } = await load('song-json');
  const { readMusicXml } = await load('musicxml');
  const { readTonicSolfa } = await load('tonic-solfa');
  readers[1][1] = () => readSongJson(written.json);
  readers[2][1] = () => readMusicXml(written.musicxml);
  readers[3][1] = () => readTonicSolfa(written['tonic-solfa']);
  const jobs = [...writers.map(([name, write]) => [name, () => write(KETTLE)]), ...readers];
  const times = new Map(jobs.map(([name]) => [name, []]));
  for (let round = 0; round < 60; round++) {
    for (const [name, job] of jobs) {
      const start = process.cpuUsage();
      for (let i = 0; i < 50; i++) job();
      times.get(name).push(process.cpuUsage(start).user / 50);
    }
  }
  console.log('one song of four lines (microseconds of processor time, median of 60 rounds of 50)');
  for (const [name, all] of times) console.log(`  ${name.padEnd(18)} ${median(all).toFixed(0).padStart(5)}`);

  console.log('loading a writer in a fresh process, beyond an empty one (milliseconds, median of 15)');
  const names = ['(nothing)', ...Object.keys(FORMATS)];
  const loads = new Map(names.map((name) => [name, []]));
  for (let round = 0; round < 15; round++) {
    for (const name of names) {
      const code = `import(${JSON.stringify(pathToFileURL(join(out, 'formats.js')).href)}).then(({ FORMATS }) => FORMATS[${JSON.stringify(name)}]?.load())`;
      const start = process.hrtime.bigint();
      execFileSync(process.execPath, ['-e', code], { cwd: tmpdir() });
      loads.get(name).push(Number(process.hrtime.bigint() - start) / 1e6);
    }
  }
  const empty = median(loads.get('(nothing)'));
  for (const [name, all] of loads)
    console.log(`  ${name.padEnd(18)} ${(median(all) - empty).toFixed(1).padStart(5)}`);
  console.log(
    `  (the empty process and the table of formats: ${empty.toFixed(0)}; files: ${readdirSync(out).length})`,
  );
} finally {
  rmSync(out, { recursive: true, force: true });
}

function median(all) {
  const sorted = [...all].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}
