import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { XmlBufferInputProvider, XmlDocument, xmlRegisterInputProvider, XsdValidator } from 'libxml2-wasm';
import { describe, expect, test } from 'vitest';
import { writeMusicXml } from '../../src/export/musicxml.ts';
import type { Song } from '../../src/song.ts';
import { ticksPerBar } from '../../src/time.ts';
import { randomSong } from '../random-song.ts';
import { FERRY, KETTLE, SONGS, SPARROW } from './songs.ts';

/** The written file as libxml2 reads it: nothing of our own writer or reader has part in these tests. */
function withXml<T>(song: Song, look: (xml: XmlDocument) => T): T {
  const xml = XmlDocument.fromString(writeMusicXml(song));
  try {
    return look(xml);
  } finally {
    xml.dispose();
  }
}

const texts = (xml: XmlDocument, path: string): string[] => xml.find(path).map((node) => node.content);
const notesOf = (song: Song) => song.phrases.flatMap((phrase) => phrase.notes);

describe('a MusicXML file', () => {
  test.each(SONGS)('has the notes, rests, words and solfa of %s in order', (_, song) => {
    withXml(song, (xml) => {
      const notes = notesOf(song);
      expect(texts(xml, '//note/duration').map(Number)).toEqual(notes.map((note) => note.duration));
      expect(xml.find('//note/rest')).toHaveLength(notes.filter((note) => note.tone === null).length);
      const pitches = xml.find('//note/pitch').map((pitch) => {
        const [step, ...more] = pitch.find('*').map((part) => part.content);
        const alter = more.length === 2 ? { '1': '#', '-1': 'b' }[more[0] ?? ''] : '';
        return `${step ?? ''}${alter ?? '?'}${more.at(-1) ?? ''}`;
      });
      expect(pitches).toEqual(notes.flatMap((note) => note.pitch ?? []));
      const sung = notes.flatMap((note) => note.syllable ?? []);
      expect(texts(xml, '//lyric[@number="1"]/text')).toEqual(sung.map((syllable) => syllable.text));
      expect(texts(xml, '//lyric[@number="1"]/syllabic')).toEqual(sung.map((syllable) => syllable.division));
      const struck = notes.filter((note) => note.tie !== 'stop' && note.tie !== 'both');
      expect(texts(xml, '//lyric[@number="2"]/text')).toEqual(struck.flatMap((note) => note.tone ?? []));
    });
  });

  test('numbers the upbeat bar 0, does not print its number, and shortens the last bar by it', () => {
    withXml(FERRY, (xml) => {
      expect(xml.find('//measure/@number').map((node) => node.content)).toEqual(['0', '1', '2', '3', '4']);
      expect(xml.find('//measure[@implicit="yes"]/@number').map((node) => node.content)).toEqual(['0']);
      const lengths = xml
        .find('//measure')
        .map((bar) => bar.find('note/duration').reduce((sum, node) => sum + Number(node.content), 0));
      expect(lengths).toEqual([240, 1440, 1440, 1440, 1200]);
    });
  });

  // MusicXML 4.0, element `key`: fifths negative for flats; `mode` of the home tone
  test.each([
    [KETTLE, '2', 'major', '2', '4', '112'],
    [FERRY, '-1', 'minor', '6', '8', '156'],
    [SPARROW, '-2', 'major', '4', '4', '96'],
  ])('states key, mode, time and tempo in quarters (%#)', (song, fifths, mode, beats, beatType, tempo) => {
    withXml(song, (xml) => {
      expect(texts(xml, '//key/*')).toEqual([fifths, mode]);
      expect(texts(xml, '//time/*')).toEqual([beats, beatType]);
      expect(xml.find('//sound/@tempo').map((node) => node.content)).toEqual([tempo]);
    });
  });

  test('shows title, do and rung as credits, and one part', () => {
    withXml(FERRY, (xml) => {
      expect(texts(xml, '//credit/credit-words')).toEqual(['The ferry goes over', 'do is F, la-pentatonic']);
      expect(texts(xml, '//part-name')).toEqual(['Voice']);
    });
  });

  test('begins a system at the first bar line at or after the start of each phrase', () => {
    const systems = (song: Song): string[] =>
      withXml(song, (xml) =>
        xml.find('//measure[print/@new-system="yes"]/@number').map((node) => node.content),
      );
    expect(systems(KETTLE)).toEqual(['3', '5', '7']);
    expect(systems(FERRY)).toEqual(['3']);
  });

  test('beams eighths and sixteenths inside one beat only', () => {
    const beams = (song: Song, bar: string): string[][] =>
      withXml(song, (xml) =>
        xml
          .find(`//measure[@number="${bar}"]/note`)
          .map((note) => note.find('beam').map((beam) => beam.content)),
      );
    expect(beams(KETTLE, '3')).toEqual([['begin'], ['end'], ['begin'], ['end']]);
    // la-fer-ry: a quarter and an eighth in a compound beat stand alone
    expect(beams(FERRY, '1')).toEqual([[], [], [], []]);
    expect(beams(SPARROW, '1')).toEqual([
      ['begin'],
      ['end', 'backward hook'],
      ['begin', 'begin'],
      ['continue', 'continue'],
      ['continue', 'continue'],
      ['end', 'end'],
      ['begin'],
      ['continue', 'begin'],
      ['end', 'end'],
      [],
    ]);
  });

  test('draws a line on where notes hold the last syllable of a word, and slurs and ties them', () => {
    withXml(KETTLE, (xml) => {
      expect(texts(xml, '//lyric[extend]/text')).toEqual(['hush']);
      expect(xml.find('//slur/@type').map((node) => node.content)).toEqual(['start', 'stop']);
    });
    withXml(FERRY, (xml) => {
      expect(xml.find('//tied/@type').map((node) => node.content)).toEqual(['start', 'stop']);
      expect(xml.find('//tie/@type').map((node) => node.content)).toEqual(['start', 'stop']);
      expect(xml.find('//breath-mark')).toHaveLength(1);
    });
  });

  test('leaves out what XML cannot hold and keeps the rest', () => {
    const song = { ...KETTLE, title: 'a\u0001b\ud800 & <c> "d"' };
    withXml(song, (xml) => {
      expect(texts(xml, '//work-title')).toEqual(['ab\ufffd & <c> "d"']);
    });
  });

  test('holds for any song: bars add up, ties and slurs are paired', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        withXml(song, (xml) => {
          const bar = ticksPerBar(song.metre);
          const lengths = xml
            .find('//measure')
            .map((measure) =>
              measure.find('note/duration').reduce((sum, node) => sum + Number(node.content), 0),
            );
          if (song.upbeatTicks > 0) expect(lengths.shift()).toBe(song.upbeatTicks);
          const last = lengths.pop();
          if (last !== undefined) expect(last + song.upbeatTicks === bar || last === bar).toBe(true);
          expect(lengths.every((length) => length === bar)).toBe(true);
          const types = xml.find('//slur/@type').map((node) => node.content);
          expect(types).toEqual(types.map((_, i) => (i % 2 === 0 ? 'start' : 'stop')));
          expect(texts(xml, '//lyric[@number="1"]/text')).toEqual(
            notesOf(song).flatMap((note) => note.syllable?.text ?? []),
          );
        });
      }),
      { numRuns: 100 },
    );
  });
});

/** The W3C's schema of MusicXML 4.0; it is not part of the project. */
const xsd = process.env['MUSICXML_XSD'] ?? '';

describe.skipIf(!existsSync(xsd))('against the W3C schema of MusicXML 4.0 (MUSICXML_XSD)', () => {
  const folder = dirname(xsd);
  const provider = new XmlBufferInputProvider(
    Object.fromEntries(
      ['xlink.xsd', 'xml.xsd'].map((name) => [
        `http://www.musicxml.org/xsd/${name}`,
        existsSync(join(folder, name)) ? readFileSync(join(folder, name)) : new Uint8Array(),
      ]),
    ),
  );
  xmlRegisterInputProvider(provider);
  const schema = existsSync(xsd) ? XmlDocument.fromBuffer(readFileSync(xsd), { url: xsd }) : null;
  const validator = schema === null ? null : XsdValidator.fromDoc(schema);

  test.each(SONGS)('%s is valid', (_, song) => {
    withXml(song, (xml) => {
      expect(() => validator?.validate(xml)).not.toThrow();
    });
  });

  test('a file with a wrong element is found, so the schema is at work', () => {
    const xml = XmlDocument.fromString(writeMusicXml(KETTLE).replace('<rest/>', '<pause/>'));
    expect(() => validator?.validate(xml)).toThrow(/pause/);
    xml.dispose();
  });

  test('any song is valid', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        withXml(song, (xml) => {
          validator?.validate(xml);
        });
      }),
      { numRuns: 100 },
    );
  });
});
