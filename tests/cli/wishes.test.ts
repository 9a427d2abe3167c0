/** What a teacher may ask of `sing` beyond rungs and takes: a class, a ladder, tones of her own, reasons. */
import { describe, expect, test } from 'vitest';
import { newWorld, type World } from './world.ts';

const RHYME = [
  'Red balloon, blow me high,',
  'Take the letters through the sky.',
  'One for badger, one for bee,',
  'One for grandma by the sea.',
  '',
].join('\n');

const titled = (...settings: readonly string[]): string => ['---', ...settings, '---', RHYME].join('\n');

async function rowsOf(
  run: World['run'],
  stdin: string,
  ...flags: readonly string[]
): Promise<readonly string[]> {
  const { out, err, code } = await run(['sing', ...flags], { stdin });
  if (code !== 0) throw new Error(err);
  return out
    .split('\n')
    .filter((line) => /^ {2}\| [smldr][ ,]/.test(line) || /^ {2}\| \(/.test(line))
    .map((line) => line.replace(/[| ()]+/g, ' ').trim());
}

describe('a class', () => {
  test('has its tempo and a do that fits, unless another is asked for', async () => {
    const { run } = newWorld();
    const { out } = await run(['sing', '--age', '2-3', '--rung', 'low-so-low-la'], { stdin: RHYME });
    expect(out).toContain('tempo: 100\n');
    const inFile = await run(['sing'], { stdin: titled('age: 2-3', 'rung: low-so-low-la') });
    expect(inFile.out.replace(/title: .*\n/, '')).toBe(out.replace(/title: .*\n/, ''));
    const asked = await run(['sing', '--age', '3-5', '--do', 'F4', '--tempo', '90'], { stdin: RHYME });
    expect([asked.code, asked.out]).toEqual([0, expect.stringMatching(/do: F4\n[^]*tempo: 90\n/) as string]);
    expect(asked.err).toContain('outside the comfortable range D4 to A4 (3-5)');
  });

  test.each(['7', 'adults', ''])('is none of the five: %j', async (age) => {
    const { run } = newWorld();
    const { code, err } = await run(['sing', '--age', age], { stdin: RHYME });
    expect([code, err]).toEqual([2, expect.stringContaining('3-5 for years of age') as string]);
  });

  test.each(['k-1', 'grades K-1', 'K\u20131'])('may be typed as people do: %j', async (age) => {
    const { run } = newWorld();
    expect((await run(['sing', '--age', age], { stdin: RHYME })).code).toBe(0);
  });
});

describe('tones of her own', () => {
  test('stand, and the others are set around them; the song says whose they are', async () => {
    const { run } = newWorld();
    const text = titled('rung: so-mi-la', 'fixed:', '  1: s m s m s m', '  3: ... l s m', '  2: "? s ..."');
    const rows = await rowsOf(run, text);
    expect(rows[0]).toBe('s m s m s m');
    expect(rows[1]).toMatch(/^\S s /);
    expect(rows[2]).toMatch(/ l s m$/);
    const { err } = await run(['sing'], { stdin: text });
    expect(err).toMatch(/line 1 .*given/);
  });

  test.each([
    ['fixed: s m', /line 2, column 8: fixed is a list/],
    ['fixed:\n  one: s m', /line 3, column 3: fixed is a list/],
    ['fixed:\n  1: s m x m s m', /line 3, column 10: "x" is no tone/],
    ['fixed:\n  1: s m s m', /line 3, column 6: Line 1 has 6 notes to sing; here stand 4 tones/],
    ['fixed:\n  1: s m s m s m s ...', /Line 1 has 6 notes to sing; here stand 7 tones/],
    ['fixed:\n  9: s m ...', /Tones are fixed for line 9, but the rhyme has 4 lines/],
    ['fixed:\n  1: ? s ...', /stands between quotes/],
    ['fixed:\n  1: s f ...', /f is asked for on .*so-mi has only m s/],
  ])('that cannot be are told: %j', async (settings, says) => {
    const { run } = newWorld();
    const { code, err } = await run(['sing'], { stdin: titled(...settings.split('\n')) });
    expect(code).not.toBe(0);
    expect(err).toMatch(says);
  });

  test('that break a rule of the rung are told with the rule', async () => {
    const { run } = newWorld();
    const { code, out, err } = await run(['sing', '--rung', 'so-mi-la'], {
      stdin: titled('fixed:', '  1: s l m m s m'),
    });
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(/rung/);
  });
});

describe('a ladder of her own', () => {
  const LADDER = [
    'tones:',
    '  - rung: so-la',
    '    tones: s l',
    '    closes: s',
    '  - rung: all-three',
    '    tones: m s l',
    '    new: m',
    'rhythms:',
    '  - rung: beat',
    '    values: quarter',
    '',
  ].join('\n');

  test('names the rungs, in the file too; the first is usual', async () => {
    const { run, put } = newWorld();
    put('ours.yaml', LADDER);
    const { out } = await run(['sing', '--ladder', '@/ours.yaml'], { stdin: RHYME });
    expect(out).toContain('rung: so-la\ntones: s l\n');
    const all = await run(['sing', '--ladder', '@/ours.yaml'], { stdin: titled('rung: so-la..all-three') });
    expect(all.out.match(/^rung: .*$/gm)).toEqual(['rung: so-la', 'rung: all-three']);
    const heard = await run(['sing', '--ladder', '@/ours.yaml', '--rhythms', 'beat'], { stdin: RHYME });
    expect(heard.err).toContain('Paired eighths');
    const checked = await run(['check', '--ladder', '@/ours.yaml'], { stdin: all.out });
    expect(checked.out).toContain('fits all-three');
    const { out: shown } = await run(['ladder', '--ladder', '@/ours.yaml']);
    expect(shown).toMatch(/so-la +s l +d +D\nall-three +m s l +m +d/);
  });

  test.each([
    ['new: m', 'nwe: m', /line 7, column 10: "nwe" is not known here.*Did you mean new/],
    [
      'values: quarter',
      'values: quater',
      /line 10, column 13: "quater" is no rhythm value.*Did you mean quarter/,
    ],
    ['tones: s l', 'tones: l s', /line 3, column 12: .*from low to high/],
    ['tones: s l', '\ttones: s l', /line 3, column \d+: /],
    ['rung: all-three', 'rung: so-la', /line 5, column 11: There are two rungs named so-la/],
  ])('with a fault (%s -> %s) is refused at its place', async (right, wrong, says) => {
    const { run, put } = newWorld();
    put('ours.yaml', LADDER.replace(right, wrong));
    for (const argv of [['sing'], ['ladder'], ['check']]) {
      const { code, out, err } = await run([...argv, '--ladder', '@/ours.yaml'], { stdin: RHYME });
      expect([code, out]).toEqual([2, '']);
      expect(err).toMatch(says);
      expect(err).toMatch(/\n +\| +\^+/);
    }
  });
});

describe('a family', () => {
  test('keeps what children know, unless told not to', async () => {
    const { run } = newWorld();
    const rungs = ['--rung', 'so-mi-re-do,do-pentatonic', '--no-slur'];
    const differing = (rows: readonly string[]): number => {
      const half = rows.length / 2;
      const [easy, hard] = [rows.slice(0, half), rows.slice(half)].map((part) => part.join(' ').split(' '));
      return (hard ?? []).filter((tone, i) => tone !== easy?.[i]).length;
    };
    const kept = differing(await rowsOf(run, RHYME, ...rungs));
    const free = await rowsOf(run, RHYME, ...rungs, '--no-family');
    expect(kept).toBeLessThan(differing(free));
    // without a family each song is what it is alone
    const alone = await rowsOf(run, RHYME, '--rung', 'do-pentatonic', '--no-slur');
    expect(free.slice(4)).toEqual(alone);
    expect(await rowsOf(run, titled('family: no'), ...rungs)).toEqual(free);
  });
});

describe('reasons', () => {
  test('are told for each line, in words a teacher uses, and leave the result as it is', async () => {
    const { run } = newWorld();
    const argv = ['sing', '--rung', 'so-mi,so-mi-la-do', '--to', 'json'];
    const plain = await run(argv, { stdin: RHYME });
    const { out, err } = await run([...argv, '--explain'], { stdin: RHYME });
    expect(out).toBe(plain.out);
    const songs = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as { phrases: { line: number; form: string; cadence: string }[] });
    const labels = songs.flatMap((song) =>
      song.phrases.map(({ line, form, cadence }) => `Line ${String(line)}   ${form}   ${cadence}`),
    );
    expect(err.match(/^Line \d+ {3}\S+ {3}\S+/gm)).toEqual(labels);
    expect(err).toMatch(/^ {3}\d notes: \w/m);
    expect(err).toMatch(/Altered from so-mi:\n {2}Line \d: .*\S+ [ms] to d/);
  });
});
