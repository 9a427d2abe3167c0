// Bundles the program into dist/:
//   dist/cli.cjs    what bin/ runs: one file, parts that are imported lazily in src are only run when asked for
//   dist/cli.cache  what V8 has compiled of it after singing one rhyme, for the Node that runs this script
//   dist/index.js   what a library user imports, with a file for each part that is imported lazily
// Every file is written whole under a temporary name and renamed, so a program that is running meanwhile never reads
// half a file.
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as esbuild from 'esbuild';

const root = fileURLToPath(new URL('..', import.meta.url));
const dist = join(root, 'dist');

/**
 * commander loads node:child_process to run subcommands that are programs of their own. We have none, and the
 * module costs 5 ms of every start, so it is left out.
 */
const withoutChildProcess = {
  name: 'without-child-process',
  setup(build) {
    build.onResolve({ filter: /^node:child_process$/ }, () => ({ path: 'absent', namespace: 'absent' }));
    build.onLoad({ filter: /.*/, namespace: 'absent' }, () => ({
      contents: 'module.exports = {};',
      loader: 'js',
    }));
  },
};

/** Packages that may be missing; each is imported only when it is needed. */
const OPTIONAL = ['verovio', 'pdfkit', 'wasm-media-encoders'];

function settings() {
  const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  return {
    absWorkingDir: root,
    outdir: 'dist',
    bundle: true,
    platform: 'node',
    target: 'node20',
    minify: true,
    charset: 'utf8',
    legalComments: 'none', // the licences of what is bundled stand in NOTICE
    define: { CHANTWRIGHT_VERSION: JSON.stringify(version) },
    // yaml's ES modules; its CommonJS form, which Node would take, loses its names in a lazy import
    alias: { yaml: join(root, 'node_modules/yaml/browser/dist/index.js') },
    // optional packages, loaded from node_modules by the parts that need them
    external: OPTIONAL,
    write: false,
    logLevel: 'silent',
  };
}

function buildProgram() {
  const common = settings();
  return esbuild.build({
    ...common,
    entryPoints: { cli: 'src/cli/main.ts' },
    format: 'cjs',
    outExtension: { '.js': '.cjs' },
    define: { ...common.define, 'import.meta.url': '__url' },
    banner: { js: "const __url=require('node:url').pathToFileURL(__filename).href;" },
    plugins: [withoutChildProcess],
  });
}

function buildLibrary() {
  return esbuild.build({
    ...settings(),
    entryPoints: { index: 'src/index.ts' },
    format: 'esm',
    splitting: true,
    chunkNames: 'part-[name]-[hash]',
    // midi-writer-js is CommonJS and asks for other packages by `require`
    banner: { js: "import{createRequire as __cr}from'node:module';const require=__cr(import.meta.url);" },
  });
}

/** Bundle src into dist; gives the names and sizes of the files written. */
export async function bundle() {
  const results = await Promise.all([buildProgram(), buildLibrary()]);
  mkdirSync(dist, { recursive: true });
  rmSync(join(dist, 'cli.cache'), { force: true });
  const written = new Map();
  for (const file of results.flatMap((result) => result.outputFiles)) {
    const contents = basename(file.path) === 'cli.cjs' ? importedByLoader(file.text) : file.contents;
    writeWhole(file.path, contents);
    written.set(basename(file.path), contents.length);
  }
  for (const name of readdirSync(dist)) {
    if (name.startsWith('part-') && !written.has(name)) rmSync(join(dist, name), { force: true });
  }
  const compiled = await compiledAfterSinging();
  if (compiled !== null) {
    writeWhole(join(dist, 'cli.cache'), compiled);
    written.set('cli.cache', compiled.length);
  }
  return written;
}

/** The program's imports of optional packages, left to bin/load.js: what node:vm runs cannot import. */
function importedByLoader(text) {
  const names = OPTIONAL.join('|');
  return text.replace(new RegExp(`\\bimport\\(("(?:${names})(?:/[^"]*)?")\\)`, 'g'), '__import($1)');
}

/** V8's code for what singing a rhyme runs; null when there are no pronunciations yet to sing it with. */
async function compiledAfterSinging() {
  const { run, script } = createRequire(import.meta.url)('../bin/load.js').load();
  const sink = { isTerminal: false, isOpen: () => true, write: () => undefined };
  const rhyme = Buffer.from('Red balloon, blow me high,\nTake the letters through the sky.\n');
  const io = {
    stdin: { isTerminal: false, read: () => Promise.resolve(rhyme) },
    stdout: sink,
    stderr: sink,
    environment: {},
    files: {},
    shipped: (name) => readFileSync(join(dist, name)),
  };
  return (await run(['sing'], io)) === 0 ? script.createCachedData() : null;
}

function writeWhole(path, bytes) {
  const temporary = `${path}.${process.pid}.tmp`;
  writeFileSync(temporary, bytes);
  renameSync(temporary, path);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    for (const [name, size] of await bundle()) console.log(`dist/${name}  ${size} bytes`);
  } catch (error) {
    for (const { text, location } of error.errors ?? [{ text: String(error) }]) {
      console.error(location ? `${location.file}:${location.line}: ${text}` : text);
    }
    process.exitCode = 1;
  }
}
