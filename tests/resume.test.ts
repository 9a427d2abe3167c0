import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { completeDraft, readDrafts } from '../src/resume.ts';

test('a song that is whole already says which wishes are only for rhymes', async () => {
  const drafts = await readDrafts(readFileSync('examples/songs/windmill.so-mi.json', 'utf8'));
  const draft = drafts.ok ? drafts.value[0] : undefined;
  if (draft === undefined) throw new Error('The example is a song.');
  const codes = (asked: Parameters<typeof completeDraft>[1]): readonly string[] =>
    completeDraft(draft, asked).problems.map((problem) => problem.code);
  expect(codes({ slur: false })).toContain('unused-wish');
  expect(codes({})).not.toContain('unused-wish');
});
