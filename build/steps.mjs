// What `npm run demo` and `npm run verify` share: installing what is missing, and running one step after another.
// Plain Node, because on a fresh clone there is nothing else.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url));

/** Run a program in the project folder with our own terminal; true when it went well. */
export function run(program, args, options = {}) {
  const { status, error } = spawnSync(program, args, { cwd: root, stdio: 'inherit', ...options });
  if (error) console.error(`${program} could not be started: ${error.message}`);
  return status === 0;
}

/** Run one of Node's own scripts: a file of the project, or the command of an installed package. */
export function runNode(script, args = [], options = {}) {
  return run(process.execPath, [join(root, script), ...args], options);
}

/** Install the packages of the lock file unless they are there. */
export function installMissing() {
  if (isInstalled()) return true;
  console.log('Installing the packages that are missing (npm ci) ...');
  const npm = process.env.npm_execpath; // set by `npm run`; a script, so it starts the same way on every system
  const args = ['ci', '--ignore-scripts', '--no-audit', '--no-fund'];
  return npm
    ? run(process.execPath, [npm, ...args])
    : run('npm', args, { shell: process.platform === 'win32' });
}

/** True when node_modules holds every package of the lock file in its locked version. */
function isInstalled() {
  const installedLock = join(root, 'node_modules/.package-lock.json');
  if (!existsSync(installedLock)) return false;
  const wanted = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages;
  const present = JSON.parse(readFileSync(installedLock, 'utf8')).packages;
  return Object.entries(wanted).every(
    ([path, { version, optional }]) => path === '' || optional === true || present[path]?.version === version,
  );
}

/** Build dist/: the pronunciation file and the bundled program. Says something only when it fails. */
export function build() {
  return ['build/lexicon.mjs', 'build/bundle.mjs'].every((script) => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [join(root, script)], {
      cwd: root,
      encoding: 'utf8',
    });
    if (status !== 0) console.error(`${script} failed:\n${stdout}${stderr}`);
    return status === 0;
  });
}
