/** The score form as DEVELOPERS.md explains it: every example is read, and means what its last column says. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { writeScore } from '../../src/export/score.ts';
import { finishDraft } from '../../src/read/draft.ts';
import { readScoreDraft } from '../../src/read/score.ts';
import { readLadderFile } from '../../src/options.ts';
import { readDrafts } from '../../src/resume.ts';

const developers = readFileSync(new URL('../../DEVELOPERS.md', import.meta.url), 'utf8');
const section = developers.slice(
  developers.indexOf('## The score form'),
  developers.indexOf('## Commands and their conduct'),
);

/** Cells of the table's rows; a bar line in a cell is written with a backslash. */
const rows = section
  .split('\n')
  .filter((line) => /^\| .* \| \d+\/\d+ \| /.test(line))
  .map((line) =>
    line
      .split(/(?<!\\)\|/)
      .slice(1, -1)
      .map((cell) => cell.trim().replace(/^`|`$/g, '').replaceAll('\\|', '|')),
  );

describe('the examples of the score form', () => {
  test('show every construct', () => {
    expect(rows.length).toBeGreaterThanOrEqual(20);
  });

  test.each(rows)('%s', async (_what, metre = '', rhythm = '', letters = '', words = '', ticks = '') => {
    const parts = [rhythm, letters, words].map((row) => row.split(' / '));
    const body = (parts[0] ?? [])
      .map((_, i) =>
        parts.flatMap((part) => (part[i] === undefined || part[i] === '' ? [] : [part[i]])).join('\n'),
      )
      .join('\n\n');
    const draft = readScoreDraft({ values: { score: 'chantwright 1', metre }, spans: {}, body, offset: 0 });
    if (!draft.ok) throw new Error(draft.problems.map((problem) => problem.message).join('\n'));
    const notes = draft.value.phrases.flatMap((phrase) => phrase.notes);
    expect(notes.map(({ duration }) => duration).join(' ')).toBe(ticks);
    const given = letters.match(/[drmfslt][,']?|\?/g) ?? [];
    const struck = notes.filter(({ tone, tie }) => tone !== null && tie !== 'stop' && tie !== 'both');
    expect(struck.map(({ tone }) => tone)).toEqual(given);
    const song = finishDraft(draft.value);
    if (!song.ok) {
      expect(letters).toContain('?');
      return;
    }
    const back = await readDrafts(writeScore(song.value));
    expect(back.ok && back.value).toEqual([song.value]);
  });

  test('the example of a ladder is one', async () => {
    const yaml = /```yaml\n([^]*?)```/.exec(section)?.[1] ?? '';
    const ladder = await readLadderFile(yaml);
    expect(ladder.ok && ladder.value.tones.map((rung) => rung.name)).toEqual(['so-la', 'all-three']);
  });
});
