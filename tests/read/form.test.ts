import { expect, test } from 'vitest';
import { FORMATS } from '../../src/export/index.ts';
import { formOf } from '../../src/read/form.ts';
import { KETTLE } from '../export/songs.ts';

test.each(['score', 'json', 'musicxml', 'tonic-solfa'] as const)(
  'a text written as %s is known again',
  async (name) => {
    const text = (await FORMATS[name].load())(KETTLE) as string;
    expect(formOf(text)).toBe(name);
    expect(formOf(`\uFEFF${text.replaceAll('\n', '\r\n')}`)).toBe(name);
  },
);

test.each([
  'Bee, bee, bumblebee',
  '---\ntitle: the score: 3 to 2\n---\nGoal',
  '---\ntempo: 90\n---\nscore: 1',
  '<3 is a heart',
  'Key lime pie |',
  '',
])('%j is a rhyme', (text) => {
  expect(formOf(text)).toBe('rhyme');
});
