import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

const score = (letters: readonly string[], rung = 'so-mi-la', words: readonly string[] = WORDS): string =>
  [
    '---',
    'score: chantwright 1',
    'title: Kettle',
    `rung: ${rung}`,
    'metre: 2/4',
    '---',
    '| ta ti-ti | ta ta |',
    `| ${letters[0] ?? ''} |`,
    `| ${words[0] ?? ''} |`,
    '',
    '| ti-ti ti-ti | ta ta ||',
    `| ${letters[1] ?? ''} ||`,
    `| ${words[1] ?? ''} ||`,
    '',
  ].join('\n');

const WORDS = ['Hot, hot, the | ket- tle,', 'tea and jam and | bread for'];
const LA = score(['s l l | s m', 's s l s | s m']);

describe('check', () => {
  test('names the lowest rung that fits, its new tone and the fewest changes to the rung below', async () => {
    const { run } = newWorld();
    const { code, out, err } = await run(['check'], { stdin: LA });
    expect([code, err]).toEqual([0, '']);
    expect(out).toBe(
      [
        'Kettle: fits so-mi-la (m s l); its new tone is l.',
        'One rung lower, on so-mi (m s), with 3 notes changed:',
        '  Line 1, "hot": l to s',
        '  Line 1, "the": l to s',
        '  Line 2, "jam": l to s',
        '',
      ].join('\n'),
    );
  });

  test('says so when the song is called by another rung', async () => {
    const { run } = newWorld();
    const { out } = await run(['check'], { stdin: score(['s l l | s m', 's s l s | s m'], 'so-mi') });
    expect(out).toContain('It is called a song of so-mi.');
  });

  test('holds a song to the rung asked for, and names every departure by line and word', async () => {
    const { run } = newWorld();
    const { code, out } = await run(['check', '--rung', 'so-mi'], { stdin: LA });
    expect(code).toBe(1);
    expect(out).toContain('does not keep to so-mi (m s); 3 departures.');
    expect(out).toContain('Line 1, "the": l is not on so-mi (m s).');
    expect((await run(['check', '--rung', 'so-mi-la'], { stdin: LA })).code).toBe(0);
    const twice = await run(['check', '--rung', 'so-mi,so-mi-la'], { stdin: LA });
    expect(twice.code).toBe(2);
  });

  test('fits no rung when it has a leap that nobody sings', async () => {
    const { run } = newWorld();
    const { code, out } = await run(['check'], { stdin: score(['f t f | t f', 'f t f t | f f'], 'own') });
    expect([code, out]).toEqual([1, expect.stringContaining('fits no rung') as string]);
  });

  test('knows the range of a class, and puts in a word for the voices', async () => {
    const { run } = newWorld();
    const { code, out } = await run(['check', '--age', '3-5'], { stdin: LA });
    expect(code).toBe(1);
    expect(out).toContain('Line 1, "hot": B4 lies above the comfortable range D4 to A4 (3-5).');
    expect(out).toContain('nobody should push');
    expect((await run(['check', '--age', 'K-1'], { stdin: LA })).code).toBe(0);
  });

  test('knows the rhythms that have been taught', async () => {
    const { run } = newWorld();
    const argv = ['check', '--rhythms', 'quarter-and-eighths'];
    expect((await run(argv, { stdin: LA })).code).toBe(0);
    const held = LA.replace('| ta ta ||', '| ta-a ||')
      .replace('s s l s | s m', 's s l s | m')
      .replace('bread for', 'bread');
    const { code, out } = await run(argv, { stdin: held });
    expect(code).toBe(1);
    expect(out).toContain('Half note in line 2: not taught yet, so by ear only.');
  });

  test('hears a word whose stress stands on the weaker place', async () => {
    const { run } = newWorld();
    // a-gain with its first syllable on the first beat of the bar
    const words = ['Hot, hot, tea | a- gain', 'tea and jam and | ket- tle'];
    const { code, out } = await run(['check'], {
      stdin: score(['s s m | s m', 's s s s | s m'], 'so-mi', words),
    });
    expect(code).toBe(1);
    expect(out).toContain('Line 1, "again": the stressed syllable stands on a weaker beat');
    expect(out).not.toContain('"kettle"');
  });

  test('sings a rhyme first, by its own settings', async () => {
    const { run } = newWorld();
    const rhyme =
      '---\nrung: so-mi-la\nwords:\n  zobadee: zo-BA-dee\n---\nZo|ba|dee is late,\nZo|ba|dee is slow.\n';
    const { code, out } = await run(['check', '--rung', 'so-mi-la'], { stdin: rhyme });
    expect([code, out]).toEqual([0, expect.stringContaining('keeps to so-mi-la') as string]);
    // the beats as given put the stress of the name on no beat
    const wrong = await run(['check'], { stdin: rhyme.replaceAll('Zo|ba|dee', '|Zoba|dee') });
    expect([wrong.code, wrong.out]).toEqual([1, expect.stringContaining('"Zobadee"') as string]);
  });

  test('is data for programs, one object a line', async () => {
    const { run } = newWorld();
    const songs = await run(['sing', '--rung', 'so-mi,so-mi-la', '--to', 'json'], {
      stdin: 'The owl is late, the owl is slow,\nHe stops to count the flakes of snow.\n',
    });
    const { out } = await run(['check', '--to', 'json'], { stdin: songs.out });
    const [first, second] = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(first).toMatchObject({
      format: 'chantwright-check',
      fits: true,
      rung: 'so-mi',
      newTone: null,
      lower: null,
    });
    expect(second).toMatchObject({ rung: 'so-mi-la', newTone: 'l', lower: { rung: 'so-mi' } });
  });

  test('reads whatever holds a song, a folder of them too', async () => {
    const { run, put } = newWorld();
    put('in/owl.txt', 'The owl is late, the owl is slow,\nHe stops to count the flakes of snow.\n');
    put('in/kettle.score.txt', LA);
    for (const form of ['json', 'musicxml', 'tonic-solfa']) {
      const { out } = await run(['convert', '--to', form], { stdin: LA });
      const { code, out: said } = await run(['check'], { stdin: out });
      expect([code, said]).toEqual([0, expect.stringContaining('Kettle: fits so-mi-la (m s l)') as string]);
    }
    const { code, out } = await run(['check', '@/in']);
    expect(code).toBe(0);
    expect(out.match(/^# .*$/gm)).toEqual([
      '# Kettle: so-mi-la',
      '# The owl is late, the owl is slow: so-mi',
    ]);
    await run(['check', '@/in', '--out', '@/out']);
    // what it wrote is no rhyme
    expect((await run(['sing', '@/out'])).err).toContain('has no rhymes');
  });

  test('finds nothing in what it cannot read', async () => {
    const { run } = newWorld();
    expect((await run(['check'], { stdin: LA.replace('s l l', 's x l') })).code).toBe(2);
    expect((await run(['check'], { stdin: LA.replace('s l l', 's ? l') })).code).toBe(2);
  });
});
