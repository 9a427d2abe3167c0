import { describe, expect, test } from 'vitest';
import { writeMusicXml } from '../src/export/musicxml.ts';
import { writeScore } from '../src/export/score.ts';
import { writeJson } from '../src/export/json.ts';
import { readPitch, type Pitch } from '../src/pitch.ts';
import type { Outcome } from '../src/problem.ts';
import type { SongDraft } from '../src/read/draft.ts';
import { completeDraft, isOpen, readDrafts, songAsAsked } from '../src/resume.ts';
import { RUNGS } from '../src/setting/rungs.ts';
import { FERRY, KETTLE, SPARROW } from './export/songs.ts';

function codesOf(outcome: Outcome<unknown>): readonly string[] {
  return outcome.problems.map(({ code, severity }) => `${severity} ${code}`);
}

function pitch(name: string): Pitch {
  const read = readPitch(name);
  if (read === null) throw new Error(name);
  return read;
}

function only(outcome: Outcome<readonly SongDraft[]>): SongDraft {
  const [draft] = outcome.ok ? outcome.value : [];
  if (draft === undefined) throw new Error(outcome.problems[0]?.message);
  return draft;
}

describe('songs in a text', () => {
  test('may be several scores, with titles between them', async () => {
    const scores = [KETTLE, FERRY, SPARROW].map((song) => writeScore(song));
    const text = scores.map((score, i) => `# Song ${String(i)}\n\n${score}`).join('\n');
    const read = await readDrafts(text);
    expect(read.ok && read.value).toEqual([KETTLE, FERRY, SPARROW]);
    // a fault in the second has its place in the whole text
    const second = await readDrafts(
      text.replace(scores[1] ?? '', (scores[1] ?? '').replace('tempo:', 'tempi:')),
    );
    const { start = 0 } = second.problems[0]?.span ?? {};
    expect([codesOf(second)[0], text.slice(start - 7, start - 2)]).toEqual(['error unknown-option', 'tempo']);
  });

  test('may be JSON, a song a line; the line of a fault is told', async () => {
    const lines = [KETTLE, SPARROW].map((song) => writeJson(song)).join('');
    const read = await readDrafts(lines);
    expect(read.ok && read.value).toEqual([KETTLE, SPARROW]);
    const wrong = await readDrafts(lines.replace(/"tempoBpm":\d+(?=[^\n]*\n$)/, '"tempoBpm":"fast"'));
    expect(codesOf(wrong)).toEqual(['error not-a-song']);
    expect(wrong.problems[0]?.span?.start).toBe(lines.indexOf('\n') + 1);
  });

  test('keep a title that YAML would take for something else', async () => {
    for (const title of ['007', 'yes', '~x', '1e3']) {
      const text = writeScore(KETTLE).replace(/^title: .*$/m, `title: ${title}`);
      expect(only(await readDrafts(text)).title).toBe(title);
    }
  });

  test('are none in a rhyme, in settings without end, or under other text', async () => {
    expect(codesOf(await readDrafts('Bee, bee, bumblebee'))).toEqual(['error not-a-song']);
    expect(codesOf(await readDrafts('---\nscore: chantwright 1\nmetre: 2/4\n'))).toEqual([
      'error front-matter',
    ]);
    expect(codesOf(await readDrafts(`Hello\n${writeScore(KETTLE)}`))).toEqual(['error not-a-score']);
  });

  test('leave out what MusicXML has beyond a tune, and say so', async () => {
    const two = writeMusicXml(KETTLE).replace('</part>', '</part><part id="P2"/>');
    const read = await readDrafts(two);
    expect(read.ok && read.value).toEqual([KETTLE]);
    expect(read.problems).toMatchObject([{ code: 'left-out', severity: 'warning' }]);
  });
});

describe('a song as asked', () => {
  test('moves with do, spelled in its key', () => {
    // E flat major by the circle of fifths: three flats, B flat E flat A flat
    const moved = songAsAsked(KETTLE, { do: pitch('Eb4') });
    const pitches = moved.ok ? moved.value.phrases.flatMap((p) => p.notes.flatMap((n) => n.pitch ?? [])) : [];
    const altered = pitches.filter((name) => name.length > 2).map((name) => name.slice(0, 2));
    expect(altered.filter((name) => !['Bb', 'Eb', 'Ab'].includes(name))).toEqual([]);
    expect(altered.length).toBeGreaterThan(0);
    expect(moved.ok && moved.value.do).toBe('Eb4');
  });

  test('forgets what was said of the range before', () => {
    const outside = songAsAsked(KETTLE, { do: pitch('B4') });
    expect(codesOf(outside)).toEqual(['warning out-of-range']);
    if (!outside.ok) return;
    const inside = songAsAsked(outside.value, { do: pitch('D4') });
    expect(inside.ok && inside.value).toEqual(KETTLE);
  });
});

describe('a draft', () => {
  test('without open tones is a song already; what is asked of rhymes alone is not heard', async () => {
    const draft = only(await readDrafts(writeScore(KETTLE)));
    expect(isOpen(draft)).toBe(false);
    const done = completeDraft(draft, {
      rung: RUNGS.slice(4, 5),
      beats: 3,
      slur: false,
      take: { first: 2, last: 3 },
      canon: 2,
    });
    expect(done.ok && done.value.songs).toEqual([KETTLE]);
    expect(new Set(done.problems.map(({ code }) => code))).toEqual(new Set(['unused-wish']));
    expect(done.problems.map(({ message }) => message.split(' ')[0])).toEqual([
      '--beats',
      '--no-slur',
      '--rung',
      '--take',
      '--for-canon',
    ]);
  });

  test('with open tones gives a song for each rung and take', async () => {
    const text = writeScore(KETTLE).replace(/^( {2}\| )s( .*)$/m, '$1?$2');
    const draft = only(await readDrafts(text));
    expect(isOpen(draft)).toBe(true);
    const done = completeDraft(draft, { rung: RUNGS.slice(0, 2), take: { first: 1, last: 2 } });
    expect(done.ok && done.value.songs.map(({ rung, take }) => `${rung} ${String(take)}`)).toEqual([
      'so-mi 1',
      'so-mi 2',
      'so-mi-la 1',
      'so-mi-la 2',
    ]);
  });
});
