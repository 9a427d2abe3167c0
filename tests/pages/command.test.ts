/** `chantwright pages`: what is typed, what is written, what is said. */
import { spawnSync } from 'node:child_process';
import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { newWorld } from '../cli/world.ts';

const RHYME = 'title: Moon song\nsource: Made up by Class 1B';
const MOON = `---\n${RHYME}\n---\nMoon, moon, silver moon,\nShine on me and sing a tune.\n`;

describe('pages', () => {
  test('writes a file for each kind of page of one song', async () => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    const answer = await world.run(['pages', '@/moon.txt', '--page', 'sticks,beats', '--out', '@/out']);
    expect(answer).toMatchObject({ code: 0, err: '' });
    expect(world.list('out')).toEqual(['moon.so-mi.beats.pdf', 'moon.so-mi.sticks.pdf']);
  });

  test('binds several songs into a booklet; beats and words once a rhyme', async () => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    const typed = [
      'pages',
      '@/moon.txt',
      '--rung',
      'so-mi,so-mi-la',
      '--page',
      'beats,sticks',
      '--title',
      'Ours',
      '--to',
      'svg',
    ];
    expect((await world.run([...typed, '--out', '@/out'])).code).toBe(0);
    // contents; sticks and beats; sticks
    expect(world.list('out')).toEqual([1, 2, 3, 4].map((page) => `booklet.${String(page)}.svg`));
    expect(world.text('out/booklet.1.svg')).toContain('>Ours<');
    expect(world.text('out/booklet.2.svg')).toContain('Made up by Class 1B');
  });

  test('keeps sheets and key in files of their own', async () => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    const typed = [
      'pages',
      '@/moon.txt',
      '--rung',
      'so-mi-la',
      '--page',
      'fill',
      '--hide',
      'words',
      '--every',
      '3',
      '--to',
      'html',
    ];
    expect((await world.run([...typed, '--versions', '2', '--out', '@/out'])).code).toBe(0);
    expect(world.list('out')).toEqual(
      ['fill-1', 'fill-2', 'fill-key'].map((name) => `moon.so-mi-la.${name}.html`),
    );
  });

  test('writes one page to a pipe, and takes songs as JSON from one', async () => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    const song = await world.run(['sing', '@/moon.txt', '--to', 'json']);
    const direct = await world.run(['pages', '@/moon.txt', '--page', 'beats']);
    const piped = await world.run(['pages', '-', '--page', 'beats'], { stdin: song.out });
    expect(Buffer.from(direct.bytes.subarray(0, 5)).toString()).toBe('%PDF-');
    expect(piped.code).toBe(0);
    expect(Buffer.from(piped.bytes.subarray(0, 5)).toString()).toBe('%PDF-');
  });

  test('takes MusicXML', async () => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    const music = await world.run(['sing', '@/moon.txt', '--to', 'musicxml']);
    world.put('moon.musicxml', music.out);
    expect(
      (await world.run(['pages', '@/moon.musicxml', '--page', 'song,ladder', '--out', '@/out'])).code,
    ).toBe(0);
    const kinds = world.list('out').map((name) => /^moon\..*?(\w+)\.pdf$/.exec(name)?.[1]);
    expect(kinds).toEqual(['ladder', 'song']);
  });

  test.each([
    [['--page', 'stiks'], 'Did you mean sticks?'],
    [['--paper', 'a5'], 'one of a4 and letter'],
    [['--hide', 'tone'], 'Did you mean tones?'],
    [['--bars', '4-3'], 'such as 3-4 or 1,3'],
    [['--every', '1'], 'from 2 to 100'],
    [['--versions', '0'], 'from 1 to 40'],
    [['--margin', '99'], 'from 0 to 60'],
    [['--text-size', 'big'], 'a whole number from 8 to 96'],
    [['--language', 'English!'], 'such as en, en-GB or cy'],
    [['--to', 'png'], 'pdf, svg and html'],
  ])('says what is accepted instead of %s, and writes nothing', async (flags, hint) => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    const answer = await world.run(['pages', '@/moon.txt', ...flags, '--out', '@/out']);
    expect(answer.code).toBe(2);
    expect(answer.err).toContain(hint);
    expect(world.list()).toEqual(['moon.txt']);
  });

  test('ends with 1 when a page asked for could not be made', async () => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    const answer = await world.run([
      'pages',
      '@/moon.txt',
      '--page',
      'beats,fill',
      '--bars',
      '99',
      '--out',
      '@/out',
    ]);
    expect(answer.code).toBe(1);
    expect(answer.err).toContain('Nothing of "Moon song" can be hidden as asked');
    expect(world.list('out')).toEqual(['moon.so-mi.beats.pdf']);
  });

  test('says what to install where the packages are missing, and ends with 2', () => {
    const world = newWorld();
    world.put('moon.txt', MOON);
    // the program alone, away from node_modules
    const dist = fileURLToPath(new URL('../../dist/', import.meta.url));
    for (const name of ['cli.cjs', 'pronunciations.bin'])
      copyFileSync(join(dist, name), join(world.folder, name));
    world.put(
      'start.cjs',
      "require('./cli.cjs').run(process.argv.slice(2)).then((code) => { process.exitCode = code; });",
    );
    const typed = [
      join(world.folder, 'start.cjs'),
      'pages',
      join(world.folder, 'moon.txt'),
      '--page',
      'song',
    ];
    const { status, stderr } = spawnSync(process.execPath, typed, { encoding: 'utf8', cwd: world.folder });
    expect(status).toBe(2);
    expect(stderr).toContain('@expo-google-fonts/tinos, @expo-google-fonts/andika, pdfkit, verovio');
    expect(stderr).toContain(
      'npm install @expo-google-fonts/tinos@0.4.2 @expo-google-fonts/andika@0.2.3 pdfkit@0.20.2 verovio@6.3.0',
    );
  });
});
