/** Staff notation: what verovio draws of our MusicXML, and what we take over of its drawing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeMusicXml } from '../../src/export/musicxml.ts';
import { engraverInput } from '../../src/pages/engraver.ts';
import { STAFF_SPACE } from '../../src/pages/engraved.ts';
import { readEngraving } from '../../src/pages/engraving.ts';
import type { Song } from '../../src/song.ts';
import { METRES } from '../../src/time.ts';
import { randomSong } from '../random-song.ts';
import { songOf } from './songs.ts';
import { engraver } from './workshop.ts';

const count = (text: string, pattern: RegExp): number => text.match(pattern)?.length ?? 0;

async function draw(song: Song, letters = true): Promise<string> {
  const xml = engraverInput(writeMusicXml(song), { letters });
  return (await engraver()).draw(xml, { widthUnits: 18000, justified: true });
}

describe('the engraving', () => {
  test('has a system for each phrase, upbeat included, and loses no note, rest or syllable', async () => {
    await fc.assert(
      fc.asyncProperty(randomSong, async (song) => {
        const svg = await draw(song);
        const systems = readEngraving(svg);
        const notes = song.phrases.flatMap((phrase) => phrase.notes);
        expect(systems).toHaveLength(song.phrases.length);
        expect(count(svg, /class="note"/g)).toBe(notes.filter((note) => note.tone !== null).length);
        expect(count(svg, /class="(?:rest|mRest)"/g)).toBe(notes.filter((note) => note.tone === null).length);
        song.phrases.forEach((phrase, i) => {
          const texts =
            systems[i]?.shapes.flatMap((shape) => (shape.kind === 'text' ? [shape.text] : [])) ?? [];
          const words = phrase.notes.flatMap((note) =>
            note.syllable === null ? [] : [note.syllable.text.trim()],
          );
          for (const word of words)
            expect(texts.some((text) => text.includes(word.normalize('NFC')) || text.includes(word))).toBe(
              true,
            );
        });
      }),
      { numRuns: 25, seed: 4 },
    );
  });

  test('has five staff lines a system, a space apart', async () => {
    for (const { staffLines } of readEngraving(
      await draw(await songOf('goose-in-the-basket.txt', 'so-mi')),
    )) {
      expect(staffLines).toHaveLength(5);
      staffLines.slice(1).forEach((y, i) => {
        expect(y - (staffLines[i] ?? 0)).toBe(STAFF_SPACE);
      });
    }
  });

  test('has the letters only when asked for', async () => {
    const song = await songOf('goose-in-the-basket.txt', 'so-mi');
    const letters = (svg: string): number =>
      readEngraving(svg).flatMap(({ shapes }) =>
        shapes.filter((shape) => shape.kind === 'text' && shape.text === 's'),
      ).length;
    expect(letters(await draw(song, true))).toBe(
      song.phrases.flatMap(({ notes }) => notes).filter(({ tone }) => tone === 's').length,
    );
    expect(letters(await draw(song, false))).toBe(0);
  });

  test('is the same whatever was drawn before', async () => {
    const song = await songOf('doorbell.txt', 'so-mi-la');
    const first = await draw(song);
    await draw(await songOf('goose-in-the-basket.txt', 'so-mi'));
    expect(await draw(song)).toBe(first);
  });

  test('of what is no music is refused', async () => {
    const start = await engraver();
    expect(() => start.draw('<no>music</no>', { widthUnits: 18000, justified: true })).toThrow(RangeError);
    expect(() => readEngraving('<svg></svg>')).toThrow(RangeError);
  });
});

describe('a bar shared by two phrases', () => {
  const head = '<part-name>Voice</part-name>';
  const note = (beam: string): string => `<note><duration>240</duration>${beam}</note>`;
  const phrase = '<grouping type="start" number="1" member-of="phrase"></grouping>';
  const bar = (body: string): string => `${head}<measure number="1">${body}</measure>`;

  test('is divided, without a bar line between', () => {
    const xml = engraverInput(bar(`${phrase}${note('')}${phrase}${note('')}`), { letters: false });
    expect(count(xml, /<measure /g)).toBe(2);
    expect(count(xml, /<bar-style>none<\/bar-style>/g)).toBe(1);
    expect(count(xml, /new-system/g)).toBe(1);
    expect(xml).toContain('<part-name/>');
  });

  test('keeps no beam across the division', () => {
    const beams = ['begin', 'continue', 'end'].map((state) => note(`<beam number="1">${state}</beam>`));
    const [first = '', second = '', third = ''] = beams;
    const xml = engraverInput(bar(`${phrase}${first}${phrase}${second}${third}`), { letters: false });
    expect(xml.match(/<beam number="1">\w+/g)).toEqual(['<beam number="1">begin', '<beam number="1">end']);
  });

  test('is as long in its parts as it was whole', async () => {
    const song = await songOf('goose-in-the-basket.txt', 'so-mi-la');
    expect(song.metre).toEqual(METRES['6/8']);
    const total = (xml: string): number =>
      [...xml.matchAll(/<duration>(\d+)</g)].reduce((sum, [, ticks]) => sum + Number(ticks), 0);
    const whole = writeMusicXml(song);
    expect(total(engraverInput(whole, { letters: true }))).toBe(total(whole));
  });
});
