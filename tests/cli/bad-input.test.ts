import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

const BEE = 'Bee, bee, bumblebee\n';

/** What is in the file `x.txt`, what is typed behind `sing`, and what the message says. */
const FAULTS: readonly (readonly [string, string | Uint8Array | null, readonly string[], RegExp])[] = [
  ['a missing file', null, ['@/x.txt'], /x\.txt: There is no such file/],
  ['a folder without rhymes', null, ['@/'], /has no rhymes.*\.txt/],
  ['an empty file', '', ['@/x.txt'], /nothing to sing/],
  ['a file of blank lines and remarks', '\n\n# later\n', ['@/x.txt'], /nothing to sing/],
  ['a text with nothing to sing', '...\n?!\n', ['@/x.txt'], /nothing to sing/],
  [
    'a binary file',
    Uint8Array.from({ length: 4000 }, (_, i) => (i * 37) % 256),
    ['@/x.txt'],
    /no plain text/,
  ],
  ['a text in UTF-16', Buffer.from('\uFEFFBee', 'utf16le'), ['@/x.txt'], /UTF-16.*UTF-8/],
  ['a text in Latin-1', Buffer.from('Caf\u00e9', 'latin1'), ['@/x.txt'], /not UTF-8/],
  ['a line of 10 MB', 'la '.repeat(3_500_000), ['@/x.txt'], /line/],
  ['a file of 17 MB', `${BEE}${'\n'.repeat(17 * 1024 * 1024)}`, ['@/x.txt'], /16 MB/],
  [
    'an unknown rung',
    BEE,
    ['@/x.txt', '--rung', 'so-me'],
    /no rung "so-me".*so-mi-la-do[^]*--rung so-me[^]*mean so-mi\?/,
  ],
  ['an unknown key', BEE, ['@/x.txt', '--do', 'H4'], /"H4" is no pitch for do.*D4/],
  ['a key without its octave', BEE, ['@/x.txt', '--do', 'F'], /"F" is no pitch[^]*mean F4\?/],
  ['a bad metre', BEE, ['@/x.txt', '--metre', '6/9'], /no metre "6\/9".*2\/4.*6\/8[^]*mean 6\/8\?/],
  ['a bad tempo', BEE, ['@/x.txt', '--tempo', 'allegro'], /from 40 to 208; this is "allegro"/],
  ['a tempo out of reach', BEE, ['@/x.txt', '--tempo', '900'], /from 40 to 208; this is "900"/],
  ['a bad number of beats', BEE, ['@/x.txt', '--beats', '99'], /from 1 to 16/],
  ['a bad seed', BEE, ['@/x.txt', '--seed', 'x'], /seed is any whole number/],
  ['a bad take', BEE, ['@/x.txt', '--take', '3..1'], /take is a number.*1\.\.5/],
  ['a bad rhythm', BEE, ['@/x.txt', '--rhythms', 'half'], /no rhythm "half"[^]*mean half-note\?/],
  ['an unknown form', BEE, ['@/x.txt', '--to', 'music'], /no form "music".*score.*json/],
  ['an unknown flag', BEE, ['@/x.txt', '--rugn', 'so-mi'], /unknown option '--rugn'[^]*--rung/],
  ['a flag without its value', BEE, ['@/x.txt', '--rung'], /argument missing/],
  ['front matter that is no YAML', `---\ntitle: [Bee\n---\n${BEE}`, ['@/x.txt'], /line 2[^]*cannot be read/],
  ['front matter that is not closed', `---\ntitle: Bee\n${BEE}`, ['@/x.txt'], /line 1[^]*not closed/],
  [
    'an unknown setting',
    `---\nmeter: 6/8\n---\n${BEE}`,
    ['@/x.txt'],
    /no setting "meter".*metre[^]*2 \| meter[^]*mean metre/,
  ],
  [
    'a setting of the wrong kind',
    `---\ntempo: [1, x]\n---\n${BEE}`,
    ['@/x.txt'],
    /line 2, column 8[^]*tempo/,
  ],
  ['a bad beat mark', '|Bee, ||bee\n', ['@/x.txt'], /x\.txt, line 1/],
  ['an output folder that is a file', BEE, ['@/x.txt', '--out', '@/x.txt'], /this is a file/],
  ['a missing list of files', null, ['--files-from', '@/none'], /no such file/],
];

describe('bad input is told in plain words, with what is accepted', () => {
  test.each(FAULTS)('%s', async (_name, content, argv, message) => {
    const { run, put, list, folder } = newWorld();
    if (content !== null) put('x.txt', content);
    const before = list();
    for (const more of [[], ['--to', 'json', '--out', '@/songs']]) {
      const isOut = argv.includes('--out') || argv.includes('--to');
      const { code, out, err } = await run(['sing', ...(isOut ? [] : more), ...argv]);
      expect(code).toBe(2);
      expect(out).toBe('');
      expect(err.replaceAll(folder, '')).toMatch(message);
      expect(err).toMatch(/^error: /m);
      expect(err).not.toMatch(/\n\s+at |undefined|NaN|\[object/);
      expect(err.length).toBeLessThan(2500);
      expect(list()).toEqual(before);
    }
  });

  test('several faults are told together', async () => {
    const { run } = newWorld();
    const { err } = await run(['sing', '--tempo', '1', '--do', 'x', '--rung', 'y'], { stdin: BEE });
    expect(err.match(/^error: /gm)).toHaveLength(3);
  });

  test('an unknown command is told with the nearest one', async () => {
    const { run } = newWorld();
    const { code, err } = await run(['sign', 'bee.txt']);
    expect(code).toBe(2);
    expect(err).toMatch(/unknown command 'sign'[^]*sing/);
  });

  test('a fault of the disk is told by its reason', async () => {
    const { run, put } = newWorld();
    put('x.txt', BEE);
    const fault = (code: string) => () => {
      throw Object.assign(new Error('the system says no'), { code });
    };
    const unread = await run(['sing', '@/x.txt'], { files: { read: fault('EACCES') } });
    expect([unread.code, unread.err]).toEqual([2, expect.stringContaining('permission denied')]);
    const unwritten = await run(['sing', '@/x.txt', '--out', '@/songs'], {
      files: { writeWhole: fault('ENOSPC') },
    });
    expect([unwritten.code, unwritten.err]).toEqual([1, expect.stringContaining('no space left')]);
  });
});

describe('help', () => {
  test.each([['sing'], ['scan'], ['ladder']])('of %s shows an example', async (name) => {
    const { run } = newWorld();
    const { code, out, err } = await run([name, '--help']);
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(/Examples:\n {2}chantwright /);
  });

  test('of the program lists the commands, and so does the program alone', async () => {
    const { run } = newWorld();
    const { code, out } = await run(['--help']);
    expect(code).toBe(0);
    for (const name of ['sing', 'scan', 'ladder']) expect(out).toContain(`\n  ${name} `);
    const alone = await run([]);
    expect([alone.code, alone.out + alone.err]).toEqual([2, out]);
  });

  test('tells the version', async () => {
    const { run } = newWorld();
    const { code, out } = await run(['--version']);
    expect([code, out]).toEqual([0, expect.stringMatching(/^\d+\.\d+\.\d+\n$/)]);
  });
});
