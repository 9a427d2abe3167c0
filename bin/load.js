'use strict';

// Loads the bundled program, dist/cli.cjs, with what V8 had compiled of it when it was built (dist/cli.cache), so that
// a start does not compile the same functions again. The cache is only ever a shortcut: where it is missing, or made by
// another version of Node, V8 turns it down and compiles as usual.
const { readFileSync } = require('node:fs');
const { dirname, join } = require('node:path');
const { Script } = require('node:vm');

const program = join(__dirname, '../dist/cli.cjs');
const cache = join(__dirname, '../dist/cli.cache');

/** The program's `run`, and the script that it came from. */
exports.load = () => {
  const source = `(function (exports, require, module, __filename, __dirname, __import) {${readProgram()}\n})`;
  const script = new Script(source, {
    filename: program,
    cachedData: readCache(),
  });
  const module = { exports: {} };
  // a script of node:vm cannot import by itself, so the optional packages are imported from here
  const importHere = (name) => import(name);
  script.runInThisContext()(module.exports, require, module, program, dirname(program), importHere);
  return { run: module.exports.run, script };
};

function readProgram() {
  try {
    return readFileSync(program, 'utf8');
  } catch {
    process.stderr.write('error: The program is not built yet. Run: npm run build\n');
    return process.exit(2);
  }
}

function readCache() {
  try {
    return readFileSync(cache);
  } catch {
    return undefined;
  }
}
