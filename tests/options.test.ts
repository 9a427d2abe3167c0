import { describe, expect, test } from 'vitest';
import { matterWith } from '../src/front-matter.ts';
import { readRhymeFile, readWish, settle } from '../src/options.ts';
import { pitchName } from '../src/pitch.ts';
import { RUNGS } from '../src/setting/rungs.ts';
import { METRES } from '../src/time.ts';
import type { TextWishName } from '../src/wishes.ts';

async function wishesOf(matter: string): Promise<unknown> {
  const file = await readRhymeFile(`---\n${matter}\n---\nBee\n`);
  return file.ok ? file.value.wishes : file.problems.map((problem) => problem.code);
}

describe('front matter', () => {
  test('says everything that a flag can say, and the words', async () => {
    const text = [
      '---',
      'title: Bee, Bee  # the children know it as Bumble',
      'source: made up',
      'do: Bb3',
      'tempo: 104',
      'metre: 6/8',
      'beats: 4',
      'rung: so-mi..so-mi-la-do',
      'rhythms: half-note',
      'seed: 7',
      'take: 2..3',
      'slur: no',
      'words:',
      '  banbury: BAN-bu-ry',
      '  no: NO',
      '---',
      'Bee, bee',
      '',
    ].join('\n');
    const file = await readRhymeFile(text);
    if (!file.ok) throw new Error(file.problems[0]?.message);
    const { wishes, body, offset } = file.value;
    expect(text.slice(offset)).toBe(body);
    expect(body).toBe('Bee, bee\n');
    expect(wishes.do === undefined ? null : pitchName(wishes.do)).toBe('Bb3');
    expect(wishes.rung?.map((rung) => rung.name)).toEqual(['so-mi', 'so-mi-la', 'so-mi-la-do']);
    expect(wishes.rhythms?.at(-1)?.name).toBe('half-note');
    expect(wishes).toMatchObject({
      title: 'Bee, Bee',
      source: 'made up',
      tempo: 104,
      metre: METRES['6/8'],
      beats: 4,
      seed: 7,
      take: { first: 2, last: 3 },
      slur: false,
      words: { banbury: 'BAN-bu-ry', no: 'NO' },
    });
  });

  test.each([
    ['title: 007', { title: '007' }],
    ['title: yes', { title: 'yes' }],
    ['title: "Bee: a song"', { title: 'Bee: a song' }],
    ['rung: [so-mi, so-mi-la]', { rung: RUNGS.slice(0, 2) }],
    ['rung: all', { rung: RUNGS }],
    ['take: 3', { take: { first: 3, last: 3 } }],
    ['# only a remark', {}],
    ['', {}],
  ])('reads %j as a teacher means it', async (matter, expected) => {
    expect(await wishesOf(matter)).toEqual(expected);
  });

  test('is whatever stands between the first two lines of dashes, with any line ends and a byte order mark', async () => {
    const file = await readRhymeFile('\uFEFF---\r\ntempo: 90\r\n---\r\nBee\r\n---\r\n');
    expect(file.ok && [file.value.wishes, file.value.body]).toEqual([{ tempo: 90 }, 'Bee\r\n---\r\n']);
  });

  test('is not there when the text does not begin with it', async () => {
    const file = await readRhymeFile('Bee\n---\ntempo: x\n---\n');
    expect(file.ok && file.value).toEqual({
      matter: null,
      wishes: {},
      body: 'Bee\n---\ntempo: x\n---\n',
      offset: 0,
    });
  });

  test.each([
    ['tempo: 104\nBee, bee\n', 'front-matter', '---'],
    ['titel: Bee\n---\n', 'unknown-option', 'titel'],
    ['score: chantwright 1\n---\n', 'front-matter', 'score'],
    ['tempo: fast\n---\n', 'bad-value', 'fast'],
    ['tempo: 900\n---\n', 'bad-value', '900'],
    ['tempo: 104.5\n---\n', 'bad-value', '104.5'],
    ['tempo:\n  - 1\n  - 2\n---\n', 'bad-value', '- 1'],
    ['tempo:\n---\n', 'bad-value', 'tempo'],
    ['metre: 7/16\n---\n', 'bad-value', '7/16'],
    ['do: "H4"\n---\n', 'unknown-key', 'H4'],
    ['do: D\n---\n', 'unknown-key', 'D'],
    ['do: C9\n---\n', 'unknown-key', 'C9'],
    ['do: C##4\n---\n', 'unknown-key', 'C##4'],
    ['beats: 0\n---\n', 'bad-value', '0'],
    ['beats: 17\n---\n', 'bad-value', '17'],
    ['seed: -1\n---\n', 'bad-value', '-1'],
    ['take: 5..1\n---\n', 'bad-value', '5..1'],
    ['slur: perhaps\n---\n', 'bad-value', 'perhaps'],
    ['rung: so-mi, so-me\n---\n', 'unknown-rung', 'so-me'],
    ['rung: so-mi-la..so-mi\n---\n', 'unknown-rung', 'so-mi-la..so-mi'],
    ['rhythms: halves\n---\n', 'bad-value', 'halves'],
    ['words: BAN-bu-ry\n---\n', 'bad-value', 'BAN-bu-ry'],
    ['words:\n  banbury:\n---\n', 'bad-value', 'banbury'],
    ['words:\n  banbury: [BAN, bu]\n  x: {a: b}\n---\n', 'bad-value', 'x'],
    ['just some words\n---\n', 'front-matter', 'just some words'],
    ['title: [Bee\n---\n', 'front-matter', null],
    ['title: Bee\ntitle: Wasp\n---\n', 'front-matter', 'title'],
    ['title: *nobody\n---\n', 'bad-value', '*nobody'],
  ])('that is wrong (%j) is a problem %s at the very place', async (matter, code, place) => {
    const text = `---\n${matter}Bee, bee\n`;
    const file = await readRhymeFile(text);
    const problem = file.problems[0];
    expect(file.ok).toBe(false);
    expect(problem?.code).toBe(code);
    expect(problem?.span).toBeDefined();
    if (place !== null) expect(text.slice(problem?.span?.start).startsWith(place)).toBe(true);
  });

  test('shows every fault at once', async () => {
    const file = await readRhymeFile('---\ntempo: 900\nmeter: 6/8\ndo: H\n---\nBee\n');
    expect(file.problems.map((problem) => problem.code)).toEqual([
      'bad-value',
      'unknown-option',
      'unknown-key',
    ]);
    expect(file.problems[1]?.hint).toBe('Did you mean metre?');
  });

  test('survives having a key set, remarks and order included', async () => {
    expect(await matterWith(null, {})).toBe('');
    expect(await matterWith('title: Bee # mine\n', {})).toBe('---\ntitle: Bee # mine\n---\n');
    expect(await matterWith(null, { metre: '6/8' })).toBe('---\nmetre: 6/8\n---\n');
    expect(await matterWith('# ours\nmetre: 2/4\ntitle: Bee\n', { metre: '6/8', beats: '4' })).toMatch(
      /^---\n# ours\nmetre: 6\/8\ntitle: Bee\nbeats: "?4"?\n---\n$/,
    );
  });
});

describe('a wish', () => {
  test.each<[TextWishName, string, string]>([
    ['rung', 'so-mi..so-mo', 'so-mo'],
    ['rung', 'so-mi,,so-mi-la', ','],
    ['rung', '', ''],
    ['tempo', '1e2', '1e2'],
  ])('%s %j is refused, and the place told', (name, text, part) => {
    const read = readWish(name, text, 100);
    expect(read.ok).toBe(false);
    const { start = 0 } = read.problems[0]?.span ?? {};
    expect(text.slice(start - 100).startsWith(part)).toBe(true);
  });

  test('for rungs gives each once, in the order asked for', () => {
    const read = readWish('rung', 'mi-re-do, so-mi..so-mi-la, so-mi', 0);
    expect(read.ok && read.value.rung?.map((rung) => rung.name)).toEqual(['mi-re-do', 'so-mi', 'so-mi-la']);
  });
});

describe('what holds in the end', () => {
  test('is the flag, then the file, then what is usual', () => {
    const options = settle({ tempo: 90 }, { tempo: 120, seed: 5 });
    expect(options).toMatchObject({
      tempoBpm: 90,
      seed: 5,
      slur: true,
      takes: { first: 1, last: 1 },
      metre: null,
    });
    expect(options.rungs.map((rung) => rung.name)).toEqual(['so-mi']);
  });
});
