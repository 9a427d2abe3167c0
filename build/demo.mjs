// `npm run demo`: installs what is missing, builds, sings one of the example rhymes up the first three rungs, and
// shows the scores and the files.
import { readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { build, installMissing, root, runNode } from './steps.mjs';

const RHYME = 'examples/windmill.txt';
const RUNGS = 'so-mi..so-mi-la-do';
const OUT = 'out/demo';
const FORMS = 'score,json,midi,musicxml';

process.exitCode = installMissing() && buildIt() && show() ? 0 : 1;

function buildIt() {
  console.log('Building ...');
  return build();
}

function show() {
  heading(`The rhyme (${RHYME})`);
  console.log(readFileSync(join(root, RHYME), 'utf8'));
  if (!chantwright('Which words fall on beats', ['scan', RHYME])) return false;
  if (!chantwright('The songs', ['sing', RHYME, '--rung', RUNGS])) return false;
  rmSync(join(root, OUT), { recursive: true, force: true });
  if (!chantwright('The files', ['sing', RHYME, '--rung', RUNGS, '--to', FORMS, '--out', OUT])) return false;
  for (const name of readdirSync(join(root, OUT)).sort()) {
    console.log(`${OUT}/${name}  (${statSync(join(root, OUT, name)).size} bytes)`);
  }
  console.log('\nOpen a .mid file to hear it, a .musicxml file to print it, a .score.txt file to read it.');
  return true;
}

function chantwright(title, argv) {
  heading(title);
  console.log(`$ npx chantwright ${argv.join(' ')}\n`);
  return runNode('bin/chantwright.js', argv);
}

function heading(title) {
  console.log(`\n=== ${title} ===\n`);
}
