// A booklet of 30 songs against the engraver alone drawing the same songs: whole processes, taking turns.
//
//     npm run bench:pages [-- rounds]
//
// Goal: 1.5 or less in time, and under 400 MB. Both start the engraver in the same way; the booklet also reads the
// songs, lays out 30 pages and a contents page, and writes a PDF with its fonts. CPU seconds are those of the process
// and its threads, which a busy machine moves less than the clock.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const program = join(root, 'bin/chantwright.js');
const rounds = Number(process.argv[2] ?? 9);
const SONGS = 30;
const folder = mkdtempSync(join(tmpdir(), 'chantwright-bench-'));

/** Written to stderr by the child as it ends: CPU in microseconds and the most memory in kilobytes. */
const REPORT = `process.on('exit',()=>{const u=process.resourceUsage();require('node:fs').writeSync(2,'\\n#'+JSON.stringify([u.userCPUTime+u.systemCPUTime,u.maxRSS]))});`;

function run(argv) {
  const start = process.hrtime.bigint();
  const { status, stderr, stdout } = spawnSync(
    process.execPath,
    ['--require', join(folder, 'report.cjs'), ...argv],
    {
      cwd: root,
      encoding: 'utf8',
      maxBuffer: 1 << 28,
    },
  );
  const ms = Number(process.hrtime.bigint() - start) / 1e6;
  if (status !== 0) throw new Error(`${argv.join(' ')} ended with ${status}: ${stderr}`);
  const [cpu, rss] = JSON.parse(stderr.slice(stderr.lastIndexOf('\n#') + 2));
  return { ms, cpuMs: cpu / 1000, megabytes: rss / 1024, stdout };
}

try {
  writeFileSync(join(folder, 'report.cjs'), REPORT);
  const examples = readdirSync(join(root, 'examples')).filter(
    (name) => name.endsWith('.txt') && !name.includes('score'),
  );
  const sing = (form) =>
    run([
      program,
      'sing',
      ...examples.map((name) => join('examples', name)),
      '--rung',
      'so-mi..mi-re-do',
      '--to',
      form,
      ...(form === 'json' ? [] : ['--out', join(folder, form)]),
    ]).stdout;
  const songs = sing('json').trimEnd().split('\n').slice(0, SONGS);
  if (songs.length < SONGS) throw new Error(`The examples give ${songs.length} songs only.`);
  const songFile = join(folder, 'songs.json');
  writeFileSync(songFile, songs.join('\n') + '\n');
  sing('musicxml');
  const titles = songs.map((line) => JSON.parse(line)).map(({ title, rung }) => `${title}|${rung}`);
  const music = readdirSync(join(folder, 'musicxml'))
    .slice(0, SONGS)
    .map((name) => join(folder, 'musicxml', name));
  if (new Set(titles).size < SONGS || music.length < SONGS) throw new Error('Some songs are alike.');
  writeFileSync(join(folder, 'music.json'), JSON.stringify(music));

  const from = createRequire(join(root, 'package.json'));
  writeFileSync(
    join(folder, 'engraver.mjs'),
    `import { readFileSync } from 'node:fs';
     import v8 from 'node:v8';
     v8.setFlagsFromString('--liftoff-only');
     const { default: createModule } = await import(${JSON.stringify(from.resolve('verovio/wasm'))});
     const { VerovioToolkit } = await import(${JSON.stringify(from.resolve('verovio/esm').replace(/\.cjs$/, '.mjs'))});
     const toolkit = new VerovioToolkit(await createModule());
     toolkit.setOptions({ breaks: 'encoded', header: 'none', footer: 'none', adjustPageHeight: true, pageWidth: 1400, pageHeight: 60000, svgViewBox: true, xmlIdSeed: 1 });
     let size = 0;
     for (const path of JSON.parse(readFileSync(${JSON.stringify(join(folder, 'music.json'))}, 'utf8'))) {
       toolkit.loadData(readFileSync(path, 'utf8'));
       size += toolkit.renderToSVG(1).length;
     }
     console.log(size);`,
  );

  const cases = [
    { name: 'verovio alone, 30 songs to SVG', argv: [join(folder, 'engraver.mjs')] },
    {
      name: 'booklet of 30 songs, PDF',
      argv: [program, 'pages', songFile, '--page', 'song', '--out', join(folder, 'pdf')],
    },
    {
      name: 'booklet of 30 songs, letters and sticks too',
      argv: [program, 'pages', songFile, '--page', 'song,sticks', '--letters', '--out', join(folder, 'pdf')],
    },
  ];
  const found = cases.map(() => []);
  for (let round = -1; round < rounds; round++) {
    cases.forEach(({ argv }, index) => {
      const result = run(argv);
      if (round >= 0) found[index].push(result); // the first round warms the file cache
    });
  }
  const median = (list) => list.toSorted((a, b) => a - b)[list.length >> 1];
  const of = (index, what) => median(found[index].map((result) => result[what]));
  console.log(`${rounds} rounds, Node ${process.version}; medians`);
  cases.forEach(({ name }, index) => {
    const [ms, cpu, megabytes] = [of(index, 'ms'), of(index, 'cpuMs'), of(index, 'megabytes')];
    const ratios = `${(ms / of(0, 'ms')).toFixed(2)} x time, ${(cpu / of(0, 'cpuMs')).toFixed(2)} x CPU`;
    console.log(
      `${ms.toFixed(0).padStart(6)} ms ${cpu.toFixed(0).padStart(6)} ms CPU ${megabytes.toFixed(0).padStart(4)} MB  ${ratios}  ${name}`,
    );
  });
} finally {
  rmSync(folder, { recursive: true, force: true });
}
