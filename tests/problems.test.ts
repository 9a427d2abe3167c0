/**
 * Every problem code is explained in DEVELOPERS.md, is raised by some source, and has a test that names it.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { andThen, failed, made, PROBLEM_CODES, type Problem } from '../src/problem.ts';

const root = fileURLToPath(new URL('..', import.meta.url));

function textsUnder(folder: string): readonly string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && name !== 'problem.ts' && name !== 'problems.test.ts')
    .map((name) => readFileSync(join(root, folder, name), 'utf8'));
}

const developers = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8');
const sources = textsUnder('src').join('\n');
const tests = textsUnder('tests').join('\n');

describe.each(PROBLEM_CODES)('%s', (code) => {
  test('is explained', () => {
    expect(developers.includes(`\n| \`${code}\` |`)).toBe(true);
  });

  test('is raised by some source', () => {
    expect(sources.includes(`'${code}'`)).toBe(true);
  });

  test('has a test', () => {
    expect(tests.includes(`'${code}'`)).toBe(true);
  });
});

test('DEVELOPERS.md explains no code that is gone', () => {
  const section = developers.slice(developers.indexOf('## Problems'), developers.indexOf('## Packages'));
  const explained = [...section.matchAll(/^\| `([a-z-]+)` \|/gm)].map(([, code]) => code);
  expect(explained.filter((code) => !PROBLEM_CODES.some((each) => each === code))).toEqual([]);
});

describe('outcomes in a row', () => {
  const note: Problem = { code: 'close-call', severity: 'note', message: 'Look here.' };
  const error: Problem = { code: 'no-melody', severity: 'error', message: 'None.' };

  test('add up their problems, first things first', () => {
    expect(andThen(made(1, [note]), (n) => made(n + 1, [error]))).toEqual(made(2, [note, error]));
    expect(andThen(made(1, [note]), () => failed(error))).toEqual(failed(note, error));
  });

  test('stop at the first that failed', () => {
    expect(andThen(failed(error), () => made(1, [note]))).toEqual(failed(error));
  });
});
