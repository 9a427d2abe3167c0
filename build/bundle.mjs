// Bundles the program into dist/: dist/cli.js (what bin/ runs) and dist/index.js (what a library user imports).
// Parts that are imported lazily in src (each output form, YAML, colour) become files of their own, loaded only
// when asked for. Every file is written whole under a temporary name and renamed, so a program that is running
// meanwhile never reads half a file.
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
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

/** Bundle src into dist; gives the names and sizes of the files written. */
export async function bundle() {
  const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const result = await esbuild.build({
    absWorkingDir: root,
    entryPoints: { cli: 'src/cli/main.ts', index: 'src/index.ts' },
    outdir: 'dist',
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    minify: true,
    charset: 'utf8',
    legalComments: 'none', // the licences of what is bundled stand in NOTICE
    chunkNames: 'part-[name]-[hash]',
    define: { CHANTWRIGHT_VERSION: JSON.stringify(version) },
    // yaml's ES modules; its CommonJS form, which Node would take, loses its names in a lazy import
    alias: { yaml: join(root, 'node_modules/yaml/browser/dist/index.js') },
    // commander and midi-writer-js are CommonJS and ask for Node's own modules by `require`
    banner: { js: "import{createRequire as __cr}from'node:module';const require=__cr(import.meta.url);" },
    plugins: [withoutChildProcess],
    write: false,
    logLevel: 'silent',
  });
  mkdirSync(dist, { recursive: true });
  const written = new Map();
  for (const file of result.outputFiles) {
    writeWhole(file.path, file.contents);
    written.set(basename(file.path), file.contents.length);
  }
  for (const name of readdirSync(dist)) {
    if (name.startsWith('part-') && !written.has(name)) rmSync(join(dist, name), { force: true });
  }
  return written;
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
