/**
 * Every example rhyme, and the files it yields: regenerated and compared byte for byte (`npm run golden` accepts),
 * and beside that read by readers that know nothing of how they were made.
 */
import { readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { newWorld } from './cli/world.ts';
import { ACCEPTING, golden } from './golden.ts';

const examples = fileURLToPath(new URL('../examples', import.meta.url));
const songs = join(examples, 'songs');
const RHYMES = readdirSync(examples).filter((name) => name.endsWith('.txt'));
const RUNGS = 'so-mi..so-mi-la-do';

/**
 * Where the beats fall, marked by ear while chanting and clapping each rhyme before the program had seen it. One
 * string a line: the syllables on beats, shortened, `-` for an empty beat.
 */
const BEATS: Readonly<Record<string, readonly string[]>> = {
  'doorbell.txt': [
    ...['Pack bas tie string', 'Hear lit door ring', 'Ding ding who there', 'Just par for bear'],
    ...['Lift bas wave bye', 'Pull rope off fly', 'Ding ding what that', 'Just par for cat'],
  ],
  'goose-in-the-basket.txt': [
    'goose bas goat rope',
    'pig par straw soap',
    'wind wig rope hop',
    'down soap bub pop',
  ],
  'late-owl.txt': [
    'owl late owl slow',
    'stops count flakes snow',
    'half ten rings bell',
    'hands one gol shell',
  ],
  'red-balloon.txt': ['Red loon blow high', 'Take let through sky', 'One badg one bee', 'One grand by sea'],
  'six-parcels.txt': [
    'one boot two socks',
    'three hens side box',
    'four frogs five bees',
    'Sign num six please',
  ],
  'snow-post.txt': ['Snow mit snow shoe', 'Brr - brr -', 'Warm muf warm you', 'Mmm - mmm -'],
  'sticky-parcel.txt': ['Zib zab zim zoo', 'Who par who glue', 'Wob tob tim tee', 'par stick so knee'],
  'windmill.txt': [
    'Round round wind goes',
    'Tick tick on nose',
    'Flour on ears toes',
    'Round round wind goes',
  ],
};

interface Note {
  readonly onset: number;
  readonly duration: number;
  readonly tone: string | null;
  readonly syllable: { readonly text: string; readonly word: number } | null;
}

interface Song {
  readonly rung: string;
  readonly tones: string;
  readonly newTone: string | null;
  readonly metre: { readonly beats: number; readonly beatType: number };
  readonly upbeatTicks: number;
  readonly phrases: readonly { readonly text: string; readonly notes: readonly Note[] }[];
}

function songOf(rhyme: string, rung: string): Song {
  return JSON.parse(readFileSync(join(songs, `${rhyme.replace('.txt', '')}.${rung}.json`), 'utf8')) as Song;
}

/** The notes of each song in a stream of JSON, shortly: tone, ticks and syllable. */
function sungNotes(out: string): readonly string[] {
  const all = out.trimEnd().split('\n');
  return all.map((line) =>
    (JSON.parse(line) as Song).phrases
      .flatMap((phrase) => phrase.notes)
      .map(({ tone, duration, syllable }) => `${tone ?? 'z'}${String(duration)} ${syllable?.text ?? ''}`)
      .join(' '),
  );
}

describe('the example rhymes', () => {
  test('all have their beats marked by ear', () => {
    expect(Object.keys(BEATS).sort()).toEqual(RHYMES.sort());
  });

  test('yield the files in examples/songs, byte for byte, and no others', async () => {
    const { run, folder, list } = newWorld();
    const made = await run([
      'sing',
      examples,
      '--rung',
      RUNGS,
      '--to',
      'score,json,midi,musicxml',
      '--out',
      '@/songs',
    ]);
    expect([made.code, made.err.replace(/^note:[^]*?\n(?=\S|$)/gm, '')]).toEqual([0, '']);
    if (ACCEPTING) rmSync(songs, { recursive: true, force: true });
    for (const name of list('songs')) {
      const now = readFileSync(join(folder, 'songs', name));
      expect(
        golden(join(songs, name), now)?.equals(now),
        `${name} differs; look at it and run npm run golden`,
      ).toBe(true);
    }
    expect(readdirSync(songs).sort()).toEqual(list('songs'));
  });
});

describe.each(RHYMES)('%s', (rhyme) => {
  const path = join(examples, rhyme);

  test('has its beats where children clap them', async () => {
    const { out } = await newWorld().run(['scan', path, '--to', 'json']);
    const scan = JSON.parse(out) as {
      lines: { beats: number; syllables: { text: string; beat: number | null }[]; emptyBeats: number[] }[];
    };
    const marks = (BEATS[rhyme] ?? []).map((line) => line.split(' '));
    expect(scan.lines.map((line) => line.beats)).toEqual(marks.map((line) => line.length));
    scan.lines.forEach(({ syllables, emptyBeats }, index) => {
      marks[index]?.forEach((mark, beat) => {
        const letters = syllables.find((syllable) => syllable.beat === beat)?.text.replace(/[^a-z]/gi, '');
        const sung = emptyBeats.includes(beat) ? '-' : (letters ?? '?');
        // a mark is a part of its syllable: where a word divides is not the question here
        expect(sung, `line ${String(index + 1)}, beat ${String(beat + 1)}`).toContain(mark);
      });
    });
  });

  test('sings the same notes from its scan', async () => {
    const { run } = newWorld();
    const scan = await run(['scan', path]);
    const flags = ['--rung', 'all', '--to', 'json'];
    const straight = sungNotes((await run(['sing', path, ...flags])).out);
    const scanned = sungNotes((await run(['sing', ...flags], { stdin: scan.out })).out);
    expect(scanned).toHaveLength(straight.length);
    scanned.forEach((notes, index) => {
      expect(notes).toBe(straight[index]);
    });
  });

  test.each(['so-mi', 'so-mi-la', 'so-mi-la-do'])(
    'on %s has whole bars, every word once, and the tones of its rung',
    (rung) => {
      const song = songOf(rhyme, rung);
      const bar = (song.metre.beats * 4 * 480) / song.metre.beatType;
      const notes = song.phrases.flatMap((phrase) => phrase.notes);
      let time = 0;
      for (const { onset, duration } of notes) {
        expect(onset).toBe(time);
        time += duration;
      }
      expect(time % bar).toBe(0);
      expect(song.upbeatTicks).toBeLessThan(bar);
      for (const { text, notes: sung } of song.phrases) {
        const letters = (words: string): string => words.toLowerCase().replace(/[^\p{L}]/gu, '');
        const joined = sung.map((note) => note.syllable?.text ?? '').join('');
        // digits are sung as words
        if (!/\d/.test(text)) expect(letters(joined)).toBe(letters(text));
      }
      const sounding = notes.flatMap((note) => (note.tone === null ? [] : [note.tone]));
      const allowed = song.tones.split(' ');
      expect(sounding.filter((tone) => !allowed.includes(tone))).toEqual([]);
      if (song.newTone !== null) expect(sounding).toContain(song.newTone);
    },
  );

  test('on so-mi-la-do keeps do for the last note, reached from mi or so', () => {
    const song = songOf(rhyme, 'so-mi-la-do');
    const stanzas =
      rhyme === 'doorbell.txt' ? [song.phrases.slice(0, 4), song.phrases.slice(4)] : [song.phrases];
    for (const phrases of stanzas) {
      const tones = phrases.flatMap((phrase) =>
        phrase.notes.flatMap((note) => (note.tone === null ? [] : [note.tone])),
      );
      const before = tones.slice(0, tones.indexOf('d'));
      expect(['m', 's']).toContain(before.at(-1));
      expect(new Set(tones.slice(before.length))).toEqual(new Set(['d']));
    }
  });
});

describe('a last line that returns', () => {
  test.each(['so-mi', 'so-mi-la', 'so-mi-la-do'])(
    'on %s has its first tune again, with at most three notes changed at the end',
    (rung) => {
      const { phrases } = songOf('windmill.txt', rung);
      const [first = [], last = []] = [phrases[0], phrases.at(-1)].map((phrase) =>
        phrase?.notes.map((note) => note.tone),
      );
      expect(last).toHaveLength(first.length);
      const changed = first.flatMap((tone, index) => (tone === last[index] ? [] : [index]));
      expect(changed.length).toBeLessThanOrEqual(3);
      expect(changed.every((index) => index >= first.length - 3)).toBe(true);
    },
  );
});
