import { describe, expect, test } from 'vitest';
import type { Problem } from '../src/problem.ts';
import { PLAIN, showProblem } from '../src/show-problem.ts';

function problemAt(start: number, end: number, more: Partial<Problem> = {}): Problem {
  return { code: 'bad-value', severity: 'error', message: 'Look here.', span: { start, end }, ...more };
}

describe('a problem shown with its text', () => {
  test('quotes the line with carets beneath', () => {
    const text = 'Bee, bee, bumblebee\nStung a man upon his knee\n';
    expect(showProblem(problemAt(28, 31), { name: 'bee.txt', text })).toBe(
      [
        'error: bee.txt, line 2, column 9: Look here.',
        '  2 | Stung a man upon his knee',
        '    |         ^^^',
      ].join('\n'),
    );
  });

  test('counts lines the same whatever ends them', () => {
    for (const end of ['\n', '\r\n', '\r']) {
      const text = ['one', 'two', 'three'].join(end);
      const start = text.indexOf('three');
      expect(showProblem(problemAt(start, start + 5), { name: 'x', text })).toMatch(
        /line 3, column 1: .*\n {2}3 \| three\n/,
      );
    }
  });

  test('counts letters, not code units, so that the caret stands under what it means', () => {
    const text = '😀😀 bee';
    expect(showProblem(problemAt(5, 8), { name: 'x', text }).split('\n').slice(1)).toEqual([
      '  1 | 😀😀 bee',
      '    |    ^^^',
    ]);
  });

  test('cuts a very long line down to the neighbourhood', () => {
    const text = `${'la '.repeat(1_000_000)}xyz${' la'.repeat(1_000_000)}`;
    const start = text.indexOf('xyz');
    const [, line = '', carets = ''] = showProblem(problemAt(start, start + 3), { name: 'x', text }).split(
      '\n',
    );
    expect(line.length).toBeLessThan(100);
    expect(line.slice(carets.indexOf('^'), carets.lastIndexOf('^') + 1)).toBe('xyz');
  });

  test('makes tabs and control characters harmless and keeps the caret in place', () => {
    const shown = showProblem(problemAt(2, 5), { name: 'x', text: '\t\tbee\u001b[31m' });
    expect(shown.split('\n').slice(1)).toEqual(['  1 |   bee [31m', '    |   ^^^']);
  });

  test('leaves out what it does not know', () => {
    const problem: Problem = {
      code: 'no-rhymes',
      severity: 'warning',
      message: 'Nothing there.',
      hint: 'Look.',
    };
    expect(showProblem(problem, { name: 'songs', text: null })).toBe(
      'warning: songs: Nothing there.\n  Look.',
    );
    expect(showProblem(problem, { name: null, text: null })).toBe('warning: Nothing there.\n  Look.');
  });

  test('quotes a flag without a line number', () => {
    const shown = showProblem(problemAt(8, 11), { name: null, text: '--tempo 900' });
    expect(shown).toBe('error: Look here.\n  | --tempo 900\n  |         ^^^');
  });

  test('holds to the last character when the span ends beyond the text', () => {
    expect(showProblem(problemAt(3, 99), { name: 'x', text: 'bee' })).toContain('column 4');
  });

  test('dresses severity and caret by the painter it is given', () => {
    const paint = { ...PLAIN, severity: (text: string) => `<${text}>`, caret: (text: string) => `[${text}]` };
    expect(showProblem(problemAt(0, 3), { name: 'x', text: 'bee' }, paint)).toBe(
      '<error:> x, line 1, column 1: Look here.\n  1 | bee\n    | [^^^]',
    );
  });
});
