import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { newWorld, type World } from './world.ts';

const SCORE = `---
score: chantwright 1
title: Kettle
rung: so-mi-la
tones: m s l
new: l
do: D4
metre: 2/4
tempo: 100
---

Line 1   a   open
  | ta   ti-ti     | ta   z  |
  | s    l  l      | s       |
  | Hot, hot, ket- | tle!    |

Line 2   b   closed
  | ti--ti  ta   | ta-a ||
  | s   s   s    | m    ||
  | tea and jam  | now. ||
`;
const RHYME = 'The owl is late, the owl is slow,\nHe stops to count the flakes of snow.\n';

interface SongRecord {
  readonly title: string;
  readonly rung: string;
  readonly take: number;
  readonly do: string;
  readonly tempoBpm: number;
  readonly phrases: readonly {
    readonly form: string;
    readonly notes: readonly {
      readonly onset: number;
      readonly tone: string | null;
      readonly pitch: string | null;
      readonly syllable: { readonly text: string } | null;
    }[];
  }[];
  readonly problems: readonly { readonly code: string }[];
}

async function songsOf(run: World['run'], argv: readonly string[], stdin: string): Promise<SongRecord[]> {
  const { out } = await run([...argv, '--to', 'json'], { stdin });
  return out
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as SongRecord);
}

const tones = (song: SongRecord | undefined): string =>
  song?.phrases.map(({ notes }) => notes.map(({ tone }) => tone ?? 'z').join(' ')).join(' | ') ?? '';

/** MIDI key numbers by the equal-temperament table: C4 is 60 (MIDI 1.0 as sequencers name it). */
const KEYS: Readonly<Record<string, number>> = { 'F#4': 66, A4: 69, B4: 71, C5: 72, D5: 74 };

describe('convert', () => {
  test.each(['score', 'json', 'musicxml'])(
    'brings a score through %s and back to the same score',
    async (form) => {
      const { run } = newWorld();
      const there = await run(['convert', '--to', form], { stdin: SCORE });
      expect([there.code, there.err]).toEqual([0, '']);
      const back = await run(['convert'], { stdin: there.out });
      expect(back.out).toBe((await run(['convert'], { stdin: SCORE })).out);
    },
  );

  test('brings tones, lengths and words through tonic sol-fa letters, which say no more', async () => {
    const { run } = newWorld();
    for (const flags of [[], ['--no-unicode']]) {
      const { out } = await run(['convert', '--to', 'tonic-solfa', ...flags], { stdin: SCORE });
      expect(/^[\x20-\x7e\n]*$/.test(out)).toBe(flags.length > 0 || !/[^\x20-\x7e\n]/.test(out));
      const [from] = await songsOf(run, ['convert'], SCORE);
      const [back] = await songsOf(run, ['convert'], out);
      const told = (song: SongRecord | undefined): unknown =>
        song?.phrases.map(({ notes }) => notes.map(({ onset, tone, syllable }) => [onset, tone, syllable]));
      expect(told(back)).toEqual(told(from));
    }
  });

  test('moves every pitch with do, and leaves the tones', async () => {
    const { run } = newWorld();
    const { bytes } = await run(['convert', '--to', 'midi', '--do', 'F4', '--tempo', '96'], { stdin: SCORE });
    const track = parseMidi(bytes).tracks[1] ?? [];
    const keys = track.flatMap((event) =>
      event.type === 'noteOn' && event.velocity > 0 ? event.noteNumber : [],
    );
    // do is F4, so mi is A4, so is C5 and la is D5
    const wanted = ['C5', 'D5', 'D5', 'C5', 'C5', 'C5', 'C5', 'A4'].map((name) => KEYS[name]);
    expect(keys).toEqual(wanted);
    const [song] = await songsOf(run, ['convert', '--do', 'F4', '--tempo', '96'], SCORE);
    expect(song).toMatchObject({ do: 'F4', tempoBpm: 96, title: 'Kettle' });
    expect(tones(song)).toBe('s l l s z | s s s m');
  });

  test('warns of what lies outside the range, and does it all the same', async () => {
    const { run } = newWorld();
    const high = await run(['convert', '--do', 'A4'], { stdin: SCORE });
    expect(high.code).toBe(0);
    // so and la over A4 are E5 and F sharp 5; the range of the oldest ends at E5
    expect(high.err).toContain('l (F#5) lies outside');
    const young = await run(['convert', '--age', '3-5'], { stdin: SCORE });
    expect(young.err).toContain('l (B4) lies outside the comfortable range D4 to A4 (3-5)');
    expect(young.out).toContain('do: D4\n');
  });

  test('never takes a tune below A3, and says so', async () => {
    const { run } = newWorld();
    const low = SCORE.replace('tones: m s l', 'tones: "s, m s l"').replace('| s    l  l', '| s,   l  l');
    const { code, out, err } = await run(['convert', '--do', 'C4'], { stdin: low });
    expect(code).toBe(0);
    expect(err).toContain('below A3');
    expect(out).toContain('do: C5\n');
  });

  test('reads several songs from one stream, as sing writes them', async () => {
    const { run } = newWorld();
    for (const form of ['score', 'json']) {
      const sung = await run(['sing', '--rung', 'so-mi,so-mi-la', '--to', form], { stdin: RHYME });
      const songs = await songsOf(run, ['convert'], sung.out);
      expect(songs.map(({ rung }) => rung)).toEqual(['so-mi', 'so-mi-la']);
      expect(songs).toEqual(await songsOf(run, ['sing', '--rung', 'so-mi,so-mi-la'], RHYME));
    }
  });

  test('writes rhythms in the names of the family asked for, one of her own too, and reads them again', async () => {
    const { run, put } = newWorld();
    const counting = await run(['convert', '--names', 'counting'], { stdin: SCORE });
    expect(counting.out).toContain('names: counting\n');
    expect(counting.out).toMatch(/\| 1 +2-+& /);
    put(
      'ours.yaml',
      [
        'name: ours',
        'kind: value',
        'words:',
        '  whole: boom-oo-oo-oo',
        '  dottedHalf: boom-oo-oo',
        '  half: boom-oo',
        '  dottedQuarter: long',
        '  quarter: boom',
        '  dottedEighth: lon',
        '  eighth: chick',
        '  sixteenth: pip',
        '  compoundTwo: long-ong',
        '  compoundFour: long-ong-ong-ong',
        '  beatRest: z',
        '',
      ].join('\n'),
    );
    const ours = await run(['convert', '--names', '@/ours.yaml'], { stdin: SCORE });
    expect([ours.code, ours.err]).toEqual([0, '']);
    expect(ours.out).toMatch(/\| boom +chick-+chick/);
    const back = await run(['convert', '--names', '@/ours.yaml'], { stdin: ours.out });
    expect(back.out).toBe(ours.out);
    const unknown = await run(['convert'], { stdin: ours.out });
    expect([unknown.code, unknown.err]).toEqual([
      2,
      expect.stringContaining('"ours" is no names here') as string,
    ]);
  });

  test('points at the fault in a file of names', async () => {
    const { run, put } = newWorld();
    put(
      'ours.yaml',
      'name: ours\nkind: place\nplaces:\n  simple: [ta, ka, di]\n  compound: [a, b, c, d, e, f]\n',
    );
    const { code, err } = await run(['convert', '--names', '@/ours.yaml'], { stdin: SCORE });
    expect(code).toBe(2);
    expect(err).toMatch(/ours\.yaml, line 4, column 11: places\.simple .*\n.*\n +\| +\^+/);
    const nobody = await run(['convert', '--names', 'takadime'], { stdin: SCORE });
    expect([nobody.code, nobody.err]).toEqual([
      2,
      expect.stringContaining('Did you mean takadimi?') as string,
    ]);
  });

  test('draws signs when asked, and reads them again', async () => {
    const { run } = newWorld();
    const drawn = await run(['convert', '--unicode'], { stdin: SCORE });
    expect(drawn.out).toContain('\u2669');
    expect(drawn.out).toContain('\u2502');
    const [back] = await songsOf(run, ['convert'], drawn.out);
    expect([back]).toEqual(await songsOf(run, ['convert'], SCORE));
  });

  test('takes no rhyme, and says what to do with one', async () => {
    const { run } = newWorld();
    const { code, out, err } = await run(['convert'], { stdin: RHYME });
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('chantwright sing');
  });

  test('says that a tone is still open, and where', async () => {
    const { run } = newWorld();
    const { code, err } = await run(['convert'], { stdin: SCORE.replace('l  l ', 'l  ? ') });
    expect(code).toBe(2);
    expect(err).toMatch(/line 14, column 13: .*still open.*\n.*\n +\| {13}\^\n/);
  });

  test('names what is not understood in MusicXML', async () => {
    const { run } = newWorld();
    const { out } = await run(['convert', '--to', 'musicxml'], { stdin: SCORE });
    const second = out.replace('</part>', '</part><part id="P2"><measure number="1"/></part>');
    const { code, err } = await run(['convert'], { stdin: second });
    expect([code, err]).toEqual([0, expect.stringContaining('further part') as string]);
    const packed = await run(['convert'], { stdin: Uint8Array.of(0x50, 0x4b, 3, 4, 0, 0) });
    expect([packed.code, packed.err]).toEqual([2, expect.stringContaining('compressed') as string]);
  });

  test('leaves alone what only concerns rhymes, and says so', async () => {
    const { run } = newWorld();
    const { code, out, err } = await run(['sing', '--metre', '6/8', '--no-slur', '--rung', 'major'], {
      stdin: SCORE,
    });
    expect(code).toBe(0);
    expect(err.match(/warning: .*--\S+ is for rhymes/g)).toHaveLength(3);
    expect(out).toBe((await run(['convert'], { stdin: SCORE })).out);
  });
});

describe('files of songs', () => {
  test('keep their names', async () => {
    const { run, put, list } = newWorld();
    put('a/owl.so-mi-la.score.txt', SCORE);
    put('a/Kettle.score.txt', SCORE);
    await run([
      'convert',
      '@/a/owl.so-mi-la.score.txt',
      '@/a/Kettle.score.txt',
      '--to',
      'json,midi',
      '--out',
      '@/b',
    ]);
    expect(list('b')).toEqual(['kettle.json', 'kettle.mid', 'owl.so-mi-la.json', 'owl.so-mi-la.mid']);
  });

  test('with several songs give each a name by its title and rung', async () => {
    const { run, put, list } = newWorld();
    const { out } = await run(['sing', '--rung', 'so-mi,so-mi-la', '--to', 'json'], { stdin: RHYME });
    put('all.json', out + (await run(['convert', '--to', 'json'], { stdin: SCORE })).out);
    await run(['convert', '@/all.json', '--to', 'score', '--out', '@/b']);
    expect(list('b')).toEqual([
      'kettle.so-mi-la.score.txt',
      'the-owl-is-late-the-owl-is-slow.so-mi-la.score.txt',
      'the-owl-is-late-the-owl-is-slow.so-mi.score.txt',
    ]);
  });

  test('in a folder are told by what they hold; of one song in several forms the score is taken', async () => {
    const { run, put, list } = newWorld();
    put('in/owl.txt', RHYME);
    put('in/notes.json', '{"format": "another"}');
    put('in/page.xml', '<?xml version="1.0"?><html/>');
    await run([
      'sing',
      '@/in/owl.txt',
      '--to',
      'score,json,musicxml,tonic-solfa,spoken,midi',
      '--out',
      '@/in',
    ]);
    put('in/deep/kettle.musicxml', (await run(['convert', '--to', 'musicxml'], { stdin: SCORE })).out);
    put('in/owl.so-mi.score.txt', (await run(['sing'], { stdin: RHYME.replaceAll('owl', 'elk') })).out);
    const { code, err } = await run(['convert', '@/in', '--to', 'json', '--out', '@/out']);
    expect([code, err]).toEqual([0, '']);
    expect(list('out')).toEqual(['kettle.json', 'owl.so-mi.json']);
    // and the rhyme alone is sung
    const sung = await run(['sing', '@/in', '--to', 'json']);
    expect([sung.code, sung.out.split('\n').length, sung.out.includes('The owl')]).toEqual([0, 2, true]);
    put('none/owl.txt', RHYME);
    const none = await run(['convert', '@/none']);
    expect([none.code, none.err]).toEqual([2, expect.stringContaining('has no songs') as string]);
  });
});

describe('sing', () => {
  test('sets anew only the tones that are marked, and keeps all else', async () => {
    const { run } = newWorld();
    const open = SCORE.replace('| s    l  l      | s ', '| s    ?  ?      | ? ');
    const [before] = await songsOf(run, ['convert'], SCORE);
    for (const take of ['1', '2', '3']) {
      const [after] = await songsOf(run, ['sing', '--take', take], open);
      const kept = tones(after).split(' ');
      expect(kept.filter((_, i) => ![1, 2, 3].includes(i))).toEqual(
        tones(before)
          .split(' ')
          .filter((_, i) => ![1, 2, 3].includes(i)),
      );
      expect(kept.every((tone) => ['m', 's', 'l', 'z', '|'].includes(tone))).toBe(true);
      const bare = (song: SongRecord | undefined): unknown =>
        song?.phrases.map((phrase) => ({
          ...phrase,
          notes: phrase.notes.map((note) => ({ ...note, tone: null, pitch: null })),
        }));
      expect(bare(after)).toEqual(bare(before));
    }
  });

  test('keeps what stands even where it breaks the rules of the rung', async () => {
    const { run } = newWorld();
    // la falls to mi, a line begins on la and the song ends on so: no rule of so-mi-la allows it
    const odd = SCORE.replace('| s    l  l      | s ', '| l    m  ?      | ? ').replace(
      '| m    ||',
      '| s    ||',
    );
    const { code, out } = await run(['sing'], { stdin: odd });
    expect(code).toBe(0);
    const [song] = await songsOf(run, ['convert'], out);
    expect(tones(song)).toMatch(/^l m [msl] [msl] z \| s s s s$/);
  });

  test('takes a rhythm without a word as JSON, and gives it a tune', async () => {
    const { run } = newWorld();
    const durations = [480, 480, 240, 240, 480];
    const phrases = [1, 2, 3, 4].map((line) => ({
      line,
      stanza: 1,
      notes: durations.map((duration, i) => ({
        onset: (line - 1) * 1920 + durations.slice(0, i).reduce((a, b) => a + b, 0),
        duration,
        tone: '?',
      })),
    }));
    const [song] = await songsOf(run, ['convert'], SCORE);
    const open = JSON.stringify({
      ...song,
      title: 'Wordless',
      rung: 'so-mi-la-do',
      tones: 'd m s l',
      phrases,
    });
    const [sung, again] = await songsOf(run, ['sing', '--take', '1..2'], open);
    expect(sung?.phrases.map(({ notes }) => notes.map(({ onset }) => onset))).toEqual(
      phrases.map(({ notes }) => notes.map(({ onset }) => onset)),
    );
    // the rung's rule: do sounds once, and last
    expect(tones(sung)).toMatch(/^[^d]*d$/);
    expect(tones(again)).not.toBe(tones(sung));
    const [onMajor] = await songsOf(run, ['sing', '--rung', 'major'], open);
    expect(onMajor?.rung).toBe('major');
  });

  test('needs a rung that it knows for open tones', async () => {
    const { run } = newWorld();
    const open = SCORE.replace('rung: so-mi-la', 'rung: so-me-la').replace('l  l ', '?  l ');
    const unknown = await run(['sing'], { stdin: open });
    expect([unknown.code, unknown.err]).toEqual([
      2,
      expect.stringContaining('Say --rung so-mi-la') as string,
    ]);
    expect((await run(['sing', '--rung', 'so-mi-la'], { stdin: open })).code).toBe(0);
    // nobody's rung: the lowest that has its tones
    const own = await songsOf(run, ['sing'], open.replace('rung: so-me-la\n', ''));
    expect(own[0]?.rung).toBe('so-mi-la');
  });
});
