/**
 * The README tells the truth: every command shown in it is run, in order, in one folder, and what it prints is
 * compared with what the README shows (`npm run golden` accepts). Files that the reader is asked to save are saved.
 */
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { ACCEPTING } from './golden.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const readme = join(root, 'README.md');
const text = readFileSync(readme, 'utf8');
const folder = mkdtempSync(join(tmpdir(), 'chantwright-readme-'));

mkdirSync(join(folder, 'bin'));
mkdirSync(join(folder, 'node_modules'));
cpSync(join(root, 'examples'), join(folder, 'examples'), { recursive: true });
symlinkSync(root, join(folder, 'node_modules/chantwright'));
// npx would ask the network for nothing but the command that lies here
writeFileSync(
  join(folder, 'bin/npx'),
  `#!/bin/sh\n[ "$1" = chantwright ] || exit 127\nshift\nexec "${process.execPath}" "${root}bin/chantwright.js" "$@"\n`,
);
chmodSync(join(folder, 'bin/npx'), 0o755);

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

interface Block {
  readonly language: string;
  readonly file: string | null;
  readonly content: string;
}

function blocksOf(markdown: string): readonly Block[] {
  return [...markdown.matchAll(/^```(\w+)(?: file=(\S+))?\n([^]*?)^```$/gm)].map(
    ([, language = '', file, content = '']) => ({
      language,
      file: file ?? null,
      content,
    }),
  );
}

/** The commands of a console block, each with the output shown under it. */
function commandsOf({ content }: Block): readonly { command: string; output: string }[] {
  return content
    .split(/^\$ /m)
    .slice(1)
    .map((part) => {
      const end = part.indexOf('\n');
      return { command: part.slice(0, end), output: part.slice(end + 1) };
    });
}

function runCommand(command: string): string {
  const { stdout, stderr } = spawnSync('bash', ['-c', command], {
    cwd: folder,
    encoding: 'utf8',
    env: {
      ...process.env,
      PATH: `${join(folder, 'bin')}${delimiter}${process.env['PATH'] ?? ''}`,
      NO_COLOR: '1',
    },
  });
  const shown = stdout + stderr;
  return shown === '' || shown.endsWith('\n') ? shown : `${shown}\n`;
}

describe('the README', () => {
  const blocks = blocksOf(text);
  const accepted = new Map<string, string>();

  for (const block of blocks) {
    if (block.file !== null) writeFileSync(join(folder, block.file), block.content);
  }

  const commands = blocks.filter((block) => block.language === 'console').flatMap(commandsOf);

  test.each(commands)('$command', ({ command, output }) => {
    const now = runCommand(command);
    accepted.set(command, now);
    if (!ACCEPTING) expect(now).toBe(output);
  });

  test('begins with the job in one paragraph, then the two commands that work on a fresh clone', () => {
    const [title = '', job = '', ...rest] = text.split('\n\n');
    expect(title).toMatch(/^# \S+$/);
    expect(job.length).toBeGreaterThan(200);
    const shown = rest.join('\n\n');
    expect(shown.indexOf('npm run demo')).toBeLessThan(shown.indexOf('npm run verify'));
    expect(shown.indexOf('npm run verify')).toBeLessThan(shown.indexOf('npx '));
  });

  test('shows no command that is not run', () => {
    const shown = [...text.matchAll(/npx chantwright [^`\n]*/g)].map(([command]) => command);
    expect(shown.filter((command) => !commands.some((each) => each.command.includes(command)))).toEqual([]);
    const scripts = (
      JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { scripts: Record<string, string> }
    ).scripts;
    for (const [, name = ''] of text.matchAll(/npm run ([\w:-]+)/g)) expect(scripts).toHaveProperty([name]);
  });

  test.runIf(ACCEPTING)('is brought up to date', () => {
    const updated = text.replace(/^```console\n[^]*?^```$/gm, (block) => {
      const parts = commandsOf({
        language: 'console',
        file: null,
        content: block.slice('```console\n'.length, -3),
      });
      const shown = parts.map(({ command }) => `$ ${command}\n${accepted.get(command) ?? ''}`).join('');
      return `\`\`\`console\n${shown}\`\`\``;
    });
    writeFileSync(readme, updated);
  });
});
