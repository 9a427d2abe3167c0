import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

const OWL = 'The owl is late, the owl is slow,\nHe stops to count the flakes of snow.\n';
const BELL =
  'Pack the basket, tie the string,\nHear the little doorbell ring.\nDing a ding, who is there?\nJust a parcel for the bear.\n';
const MILL = 'Round and round the windmill goes,\nTickle, tickle on the nose.\n';

interface SungJson {
  readonly format: string;
  readonly title: string;
  readonly rung: string;
  readonly take: number;
  readonly seed: number;
  readonly do: string;
  readonly tempoBpm: number;
  readonly metre: { readonly beats: number; readonly beatType: number };
  readonly phrases: readonly { readonly notes: readonly { readonly slur: string | null }[] }[];
}

function objects(out: string): readonly SungJson[] {
  return out
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as SungJson);
}

describe('sing', () => {
  test('reads standard input when nothing is named, and writes one score', async () => {
    const { run } = newWorld();
    const { code, out, err } = await run(['sing'], { stdin: OWL });
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(/^---\n/);
    expect(out).toContain('rung: so-mi\n');
    expect(await run(['sing', '-'], { stdin: OWL })).toEqual({ code, out, err, bytes: Buffer.from(out) });
  });

  test('stands several scores under their titles, a blank line between', async () => {
    const { run } = newWorld();
    const { out } = await run(['sing', '--rung', 'so-mi,so-mi-la'], { stdin: OWL });
    const headings = out.split('\n').filter((line) => line.startsWith('# '));
    expect(headings).toEqual([
      '# The owl is late, the owl is slow: so-mi',
      '# The owl is late, the owl is slow: so-mi-la',
    ]);
    expect(out).toMatch(/\n\n# The owl is late, the owl is slow: so-mi-la\n\n---\n/);
  });

  test('writes one JSON object a line, rung after rung and take after take', async () => {
    const { run } = newWorld();
    const { code, out } = await run(
      ['sing', '--rung', 'so-mi-la..so-mi-la-do', '--take', '1..3', '--to', 'json'],
      {
        stdin: OWL + MILL,
      },
    );
    expect(code).toBe(0);
    expect(objects(out).map(({ rung, take }) => `${rung} ${String(take)}`)).toEqual(
      ['so-mi-la', 'so-mi-la-do'].flatMap((rung) => [1, 2, 3].map((take) => `${rung} ${String(take)}`)),
    );
    expect(objects(out).every((song) => song.format === 'chantwright-song')).toBe(true);
  });

  test('does as the flags say, whatever the file says; the rest is as the file says', async () => {
    const { run, put } = newWorld();
    put('owl.txt', `---\ntitle: The Owl\ntempo: 90\ndo: F4\nseed: 9\nrung: so-mi-la\n---\n${OWL}`);
    const { out } = await run(['sing', '@/owl.txt', '--to', 'json', '--tempo', '104', '--do', 'E4']);
    const [song] = objects(out);
    expect(song).toMatchObject({ title: 'The Owl', tempoBpm: 104, do: 'E4', seed: 9, rung: 'so-mi-la' });
  });

  test('sets the metre asked for', async () => {
    const { run } = newWorld();
    const { out } = await run(['sing', '--to', 'json', '--metre', '6/8'], { stdin: OWL });
    expect(objects(out)[0]?.metre).toMatchObject({ beats: 6, beatType: 8 });
  });

  test('sings no slur when told so', async () => {
    const { run } = newWorld();
    const slurs = async (flags: readonly string[]): Promise<number> => {
      const { out } = await run(['sing', '--to', 'json', '--rung', 'so-mi-la', ...flags], {
        stdin: BELL,
      });
      return objects(out)
        .flatMap((song) => song.phrases.flatMap((phrase) => phrase.notes))
        .filter((n) => n.slur !== null).length;
    };
    expect(await slurs([])).toBeGreaterThan(0);
    expect(await slurs(['--no-slur'])).toBe(0);
  });

  test('gives the same bytes on a second run', async () => {
    const { run } = newWorld();
    const argv = ['sing', '--rung', 'all', '--to', 'json', '--take', '1..2'];
    expect((await run(argv, { stdin: MILL })).out).toBe((await run(argv, { stdin: MILL })).out);
  });

  test('says which rhythms are by ear only when told what the class can read', async () => {
    const { run } = newWorld();
    const { code, err } = await run(['sing', '--rhythms', 'half-note', '--metre', '6/8'], { stdin: OWL });
    expect(code).toBe(0);
    expect(err).toContain('by ear only');
  });
});

describe('files', () => {
  test('are named rhyme.rung.ending, with the take only where there are several', async () => {
    const { run, put, list } = newWorld();
    put('owl.txt', OWL);
    put('mill.txt', MILL);
    const { code, out, err } = await run([
      ...['sing', '@/owl.txt', '@/mill.txt', '--rung', 'so-mi,so-mi-la'],
      ...['--to', 'score,json,midi,musicxml', '--out', '@/songs'],
    ]);
    expect([code, out, err]).toEqual([0, '', '']);
    const endings = ['json', 'mid', 'musicxml', 'score.txt'];
    expect(list('songs')).toEqual(
      ['mill', 'owl']
        .flatMap((name) =>
          ['so-mi-la', 'so-mi'].flatMap((rung) => endings.map((ending) => `${name}.${rung}.${ending}`)),
        )
        .sort(),
    );
    await run(['sing', '@/owl.txt', '--take', '2..3', '--to', 'json', '--out', '@/takes']);
    expect(list('takes')).toEqual(['owl.so-mi.2.json', 'owl.so-mi.3.json']);
    await run(['sing', '@/owl.txt', '--take', '2', '--to', 'json', '--out', '@/one']);
    expect(list('one')).toEqual(['owl.so-mi.json']);
  });

  test('are called by the title when the rhyme came on standard input', async () => {
    const { run, list } = newWorld();
    await run(['sing', '--to', 'json', '--out', '@/songs'], { stdin: OWL });
    expect(list('songs')).toEqual(['the-owl-is-late-the-owl-is-slow.so-mi.json']);
  });

  test('of two rhymes with one name stand beside each other', async () => {
    const { run, put, list } = newWorld();
    put('a/owl.txt', OWL);
    put('b/OWL.txt', MILL);
    await run(['sing', '@/a', '@/b', '--to', 'json', '--out', '@/songs']);
    expect(list('songs')).toEqual(['owl-2.so-mi.json', 'owl.so-mi.json']);
  });

  test('never leave the folder, whatever the title', async () => {
    const { run, list } = newWorld();
    for (const title of ['../../etc/passwd', 'CON', '...', '~', 'a\\b:c*?"<>|']) {
      await run(['sing', '--to', 'json', '--out', '@/songs'], {
        stdin: `---\ntitle: '${title}'\n---\n${OWL}`,
      });
    }
    expect(list()).toEqual(
      ['a-b-c', 'con-rhyme', 'etc-passwd', 'rhyme'].map((stem) => `songs/${stem}.so-mi.json`),
    );
  });

  test('are the same bytes as on a stream', async () => {
    const { run, put, text } = newWorld();
    put('owl.txt', OWL);
    const streamed = await run(['sing', '@/owl.txt', '--to', 'musicxml']);
    await run(['sing', '@/owl.txt', '--to', 'musicxml', '--out', '@/songs']);
    expect(text('songs/owl.so-mi.musicxml')).toBe(streamed.out);
  });

  test('are written whole or not at all, and the fault is told', async () => {
    const { run, put, list } = newWorld();
    put('owl.txt', OWL);
    put('songs/owl.so-mi.json/in-the-way', '');
    const { code, err } = await run(['sing', '@/owl.txt', '--to', 'json,score', '--out', '@/songs']);
    expect(code).toBe(1);
    expect(err).toMatch(/owl\.so-mi\.json could not be written/);
    expect(list('songs')).toEqual(['owl.so-mi.json/in-the-way', 'owl.so-mi.score.txt']);
  });
});

describe('inputs', () => {
  test('may be folders: their .txt files and those of folders inside, by name, but no scores and nothing hidden', async () => {
    const { run, put } = newWorld();
    put('rhymes/b.txt', `---\ntitle: B\n---\n${OWL}`);
    put('rhymes/a.TXT', `---\ntitle: A\n---\n${OWL}`);
    put('rhymes/inside/c.txt', `---\ntitle: C\n---\n${OWL}`);
    put('rhymes/b.so-mi.score.txt', 'no rhyme');
    put('rhymes/.hidden.txt', 'no rhyme');
    put('rhymes/notes.md', 'no rhyme');
    const { code, out } = await run(['sing', '@/rhymes', '--to', 'json']);
    expect(code).toBe(0);
    expect(objects(out).map((song) => song.title)).toEqual(['A', 'B', 'C']);
  });

  test('may be named in a list, from a file or from standard input', async () => {
    const { run, put, folder } = newWorld();
    put('owl.txt', OWL);
    put('mill.txt', MILL);
    const list = `${folder}/owl.txt\r\n\n${folder}/mill.txt\n`;
    put('list', list);
    const fromFile = await run(['sing', '--files-from', '@/list', '--to', 'json']);
    expect(objects(fromFile.out)).toHaveLength(2);
    expect((await run(['sing', '--files-from', '-', '--to', 'json'], { stdin: list })).out).toBe(
      fromFile.out,
    );
  });

  test('of which one is bad do not stop the others', async () => {
    const { run, put, list } = newWorld();
    put('rhymes/a.txt', OWL);
    put('rhymes/b.txt', '');
    put('rhymes/c.txt', MILL);
    const inFolder = await run(['sing', '@/rhymes', '--to', 'json', '--out', '@/songs']);
    expect(inFolder.code).toBe(1);
    expect(inFolder.err).toContain('b.txt');
    expect(list('songs')).toEqual(['a.so-mi.json', 'c.so-mi.json']);
    const named = await run(['sing', '@/rhymes/b.txt', '@/rhymes/c.txt', '--to', 'json', '--out', '@/named']);
    expect(named.code).toBe(2);
    expect(list('named')).toEqual(['c.so-mi.json']);
  });
});

describe('streams', () => {
  test('a single binary may go to a pipe, never to a terminal', async () => {
    const { run } = newWorld();
    const piped = await run(['sing', '--to', 'midi'], { stdin: OWL });
    expect(piped.code).toBe(0);
    expect(Buffer.from(piped.bytes).subarray(0, 4).toString('latin1')).toBe('MThd');
    const shown = await run(['sing', '--to', 'midi'], { stdin: OWL, terminals: ['stdout'] });
    expect(shown.code).toBe(2);
    expect(shown.bytes).toHaveLength(0);
    expect(shown.err).toContain('--out');
  });

  test.each(['midi', 'musicxml'])('several songs as %s need a folder', async (form) => {
    const { run } = newWorld();
    const { code, bytes, err } = await run(['sing', '--to', form, '--rung', 'so-mi,so-mi-la'], {
      stdin: OWL,
    });
    expect([code, bytes.length]).toEqual([2, 0]);
    expect(err).toContain('--out');
  });

  test('several forms need a folder', async () => {
    const { run } = newWorld();
    const { code, out, err } = await run(['sing', '--to', 'score,json'], { stdin: OWL });
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('--out');
  });

  test('a reader that goes away ends the work quietly', async () => {
    const { run, put } = newWorld();
    for (let i = 0; i < 30; i++) put(`rhymes/${String(i)}.txt`, OWL);
    const { code, out, err } = await run(['sing', '@/rhymes', '--to', 'json'], { stdoutTakes: 5000 });
    expect([code, err]).toEqual([0, '']);
    expect(out.length).toBeLessThanOrEqual(5000);
  });

  test('with a keyboard for standard input and nothing named there is help', async () => {
    const { run } = newWorld();
    const { code, out, err } = await run(['sing'], { terminals: ['stdin'] });
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('Usage: chantwright sing');
  });

  test('colour is for a terminal whose owner has not said no', async () => {
    const { run } = newWorld();
    // the colour codes of ECMA-48
    const isColoured = (text: string): boolean => /\u001b\[/.test(text);
    const argv = ['sing', '@/nobody.txt'];
    expect(isColoured((await run(argv, { terminals: ['stderr'] })).err)).toBe(true);
    expect(isColoured((await run(argv)).err)).toBe(false);
    expect(isColoured((await run(argv, { terminals: ['stdout'] })).err)).toBe(false);
    expect(isColoured((await run([...argv, '--no-color'], { terminals: ['stderr'] })).err)).toBe(false);
    for (const environment of [{ NO_COLOR: '1' }, { TERM: 'dumb' }]) {
      expect(isColoured((await run(argv, { terminals: ['stderr'], environment })).err)).toBe(false);
    }
    expect(isColoured((await run(argv, { terminals: ['stderr'], environment: { NO_COLOR: '' } })).err)).toBe(
      true,
    );
  });
});
