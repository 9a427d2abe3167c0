/** Songs with parts as files, read back by readers that the project did not make. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { XmlBufferInputProvider, XmlDocument, xmlRegisterInputProvider, XsdValidator } from 'libxml2-wasm';
import { parseMidi } from 'midi-file';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { PART_FORMATS } from '../../src/export/part-formats.ts';
import { writePartsMidi } from '../../src/export/parts-midi.ts';
import { writePartsMusicXml } from '../../src/export/parts-musicxml.ts';
import { writePartsJson, writePartsScore } from '../../src/export/parts-text.ts';
import { writeScore } from '../../src/export/score.ts';
import type { SongWithParts } from '../../src/parts.ts';
import { addParts, readPartWishes } from '../../src/parts/wishes.ts';
import type { Song } from '../../src/song.ts';
import { ticksPerBar } from '../../src/time.ts';
import { FERRY, KETTLE, SONGS } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { keyOf } from './brute.ts';

const WANTED = [
  'drone:chord',
  'drone:broken',
  'drone:level',
  'drone:crossover',
  'ostinato',
  'canon',
  'canon:3',
  'second',
];

function withParts(song: Song, text: string): SongWithParts | null {
  const wishes = readPartWishes(text);
  if (!wishes.ok) throw new Error(text);
  const added = addParts(song, wishes.value, null);
  return added.ok ? added.value : null;
}

function needed(song: Song, text: string): SongWithParts {
  const whole = withParts(song, text);
  if (whole === null) throw new Error(`${song.title}: ${text}`);
  return whole;
}

const CASES = SONGS.flatMap(([name, song]) =>
  WANTED.map((text) => [text, name, needed(song, text)] as const),
);

describe('what parts are wanted', () => {
  test.each([
    ['drone', [{ kind: 'drone', form: 'chord' }]],
    ['canon:4', [{ kind: 'canon', voices: 4 }]],
    ['drone:level, second', [{ kind: 'drone', form: 'level' }, { kind: 'second' }]],
  ])('%s', (text, expected) => {
    const wishes = readPartWishes(text);
    expect(wishes.ok && wishes.value).toEqual(expected);
  });

  test.each([
    ['', /"" is no part/],
    ['dron', /"dron" is no part\. Parts are drone/],
    ['drone:loud', /A drone is chord, broken, level, crossover/],
    ['canon:9', /2 to 4 voices/],
    ['canon:two', /2 to 4 voices/],
    ['second:1', /Parts are drone/],
    ['drone:chord:2', /Parts are drone/],
    ['drone,canon', /stand alone/],
    ['second,second', /once/],
  ])('%s is refused with what is accepted', (text, message) => {
    const wishes = readPartWishes(text);
    expect(wishes.problems[0]).toMatchObject({ code: 'bad-value', severity: 'error' });
    expect(wishes.problems[0]?.message).toMatch(message);
  });
});

describe('a MIDI file with parts', () => {
  test.each(CASES)('with %s of %s has a track and a channel for each, note for note', (_, _name, whole) => {
    const { song, parts } = whole;
    const midi = parseMidi(writePartsMidi(whole));
    expect(midi.header).toMatchObject({ format: 1, numTracks: 2 + parts.length, ticksPerBeat: 480 });
    const lead = song.upbeatTicks === 0 ? 0 : ticksPerBar(song.metre) - song.upbeatTicks;
    const channels = new Set<number>();
    parts.forEach((part, i) => {
      const open = new Map<number, number>();
      const heard: number[][] = [];
      let at = 0;
      for (const event of midi.tracks[2 + i] ?? []) {
        at += event.deltaTime;
        if (event.type === 'noteOn') open.set(event.noteNumber, at);
        if (event.type === 'noteOff') {
          heard.push([open.get(event.noteNumber) ?? -1, at, event.noteNumber]);
          open.delete(event.noteNumber);
        }
        if (event.type === 'noteOn' || event.type === 'noteOff') channels.add(event.channel);
      }
      const written: number[][] = [];
      for (const note of part.notes) {
        const end = lead + note.onset + note.duration;
        for (const key of note.pitches.map(keyOf)) {
          const tied = note.tie === 'stop' || note.tie === 'both';
          const before = tied ? written.findLast((each) => each[2] === key) : undefined;
          if (before === undefined) written.push([lead + note.onset, end, key]);
          else before[1] = end;
        }
      }
      const order = (a: number[], b: number[]): number =>
        (a[0] ?? 0) - (b[0] ?? 0) || (a[2] ?? 0) - (b[2] ?? 0);
      expect(heard.sort(order)).toEqual(written.sort(order));
    });
    expect(channels.size).toBe(parts.length);
    expect(channels.has(0) || channels.has(9)).toBe(false);
  });
});

describe('a MusicXML file with parts', () => {
  function measureLengths(xml: XmlDocument, part: number): number[] {
    return xml
      .find(`//part[${String(part)}]/measure`)
      .map((bar) =>
        bar.find('note[not(chord)]/duration').reduce((sum, node) => sum + Number(node.content), 0),
      );
  }

  test.each(CASES)(
    'with %s of %s has a staff for each, bar for bar as long as the song',
    (_, _name, whole) => {
      const xml = XmlDocument.fromString(writePartsMusicXml(whole));
      const names = xml.find('//part-name').map((node) => node.content);
      expect(names).toEqual(['Voice', ...whole.parts.map((part) => part.name)]);
      const song = measureLengths(xml, 1);
      whole.parts.forEach((part, i) => {
        expect(measureLengths(xml, i + 2)).toEqual(song);
        const pitches = xml.find(`//part[${String(i + 2)}]//pitch`).map((pitch) => {
          const [step, ...more] = pitch.find('*').map((node) => node.content);
          const alter = more.length === 2 ? ({ '1': '#', '-1': 'b' }[more[0] ?? ''] ?? '?') : '';
          return `${step ?? ''}${alter}${more.at(-1) ?? ''}`;
        });
        expect(pitches).toEqual(part.notes.flatMap((note) => note.pitches));
      });
      xml.dispose();
    },
  );

  test('puts the bass clef before a part that lies low', () => {
    const low = needed({ ...FERRY, do: 'F3', phrases: FERRY.phrases }, 'drone');
    const text = writePartsMusicXml(low);
    expect([...text.matchAll(/<sign>(.)<\/sign>/g)].map((match) => match[1])).toEqual(['G', 'F']);
  });

  const xsd = process.env['MUSICXML_XSD'] ?? '';
  test.skipIf(!existsSync(xsd))(
    'is valid by the W3C schema of MusicXML 4.0 (MUSICXML_XSD), for any song',
    () => {
      const folder = dirname(xsd);
      const provider = new XmlBufferInputProvider({
        'http://www.musicxml.org/xsd/xml.xsd': readFileSync(join(folder, 'xml.xsd')),
        'http://www.musicxml.org/xsd/xlink.xsd': readFileSync(join(folder, 'xlink.xsd')),
      });
      xmlRegisterInputProvider(provider);
      const schema = XmlDocument.fromString(readFileSync(xsd, 'utf8'), { url: xsd });
      const validator = XsdValidator.fromDoc(schema);
      const validate = (whole: SongWithParts): void => {
        const xml = XmlDocument.fromString(writePartsMusicXml(whole));
        validator.validate(xml);
        xml.dispose();
      };
      for (const [, , whole] of CASES) validate(whole);
      fc.assert(
        fc.property(randomSong, fc.constantFrom(...WANTED), (song, text) => {
          const whole = withParts(song, text);
          if (whole !== null) validate(whole);
        }),
        { numRuns: 100 },
      );
    },
  );
});

interface Toolkit {
  setOptions(options: object): void;
  loadData(text: string): boolean;
  getLog(): string;
  getMEI(): string;
  renderToSVG(page: number): string;
  destroy(): void;
}

describe('verovio', () => {
  let toolkit: Toolkit;
  const warnings: string[] = [];
  beforeAll(async () => {
    const keep = (...args: unknown[]): void => {
      warnings.push(args.join(' '));
    };
    vi.spyOn(console, 'error').mockImplementation(keep);
    vi.spyOn(console, 'warn').mockImplementation(keep);
    const load = async (name: string): Promise<Record<string, unknown>> =>
      (await import(/* @vite-ignore */ name)) as Record<string, unknown>;
    const makeModule = (await load('verovio/wasm'))['default'] as (options: object) => Promise<unknown>;
    const Made = (await load('verovio/esm'))['VerovioToolkit'] as new (module: unknown) => Toolkit;
    toolkit = new Made(await makeModule({ printErr: keep, print: keep }));
  });
  afterAll(() => {
    toolkit.destroy();
    vi.restoreAllMocks();
  });

  test.each(CASES)('draws %s of %s without a warning, every note and chord', (_, _name, whole) => {
    warnings.length = 0;
    toolkit.setOptions({ breaks: 'encoded', header: 'none', footer: 'none', xmlIdSeed: 1 });
    expect(toolkit.loadData(writePartsMusicXml(whole))).toBeTruthy();
    expect(toolkit.renderToSVG(1)).toContain('<svg');
    expect(warnings).toEqual([]);
    expect(toolkit.getLog()).toBe('');
    const mei = toolkit.getMEI();
    const count = (pattern: RegExp): number => [...mei.matchAll(pattern)].length;
    const tune = whole.song.phrases.flatMap((phrase) => phrase.notes).filter((note) => note.tone !== null);
    const others = whole.parts.flatMap((part) => part.notes);
    expect(count(/<note\b/g)).toBe(tune.length + others.reduce((sum, note) => sum + note.pitches.length, 0));
    expect(count(/<chord\b/g)).toBe(others.filter((note) => note.pitches.length > 1).length);
  });
});

describe('a score with parts', () => {
  test.each(CASES)(
    'with %s of %s begins with the song and has the part under comment signs',
    (_, _name, whole) => {
      const text = writePartsScore(whole);
      const song = writeScore(whole.song).trimEnd();
      expect(text.startsWith(song)).toBe(true);
      const rest = text.slice(song.length).trim().split('\n');
      expect(rest.every((line) => line === '' || line.startsWith('#'))).toBe(true);
      for (const part of whole.parts) expect(rest).toContain(`# ${part.name}`);
      // every tone of the part stands there, chords joined by +
      const letters: readonly string[] =
        rest.join(' ').match(/[drmfslt][,']?(?:\+[drmfslt][,']?)*(?![\w'])/g) ?? [];
      const struck = whole.parts.flatMap((p) => p.notes).filter((n) => n.tie !== 'stop' && n.tie !== 'both');
      const wanted = new Set(struck.map((n) => n.tones.join('+')).filter((tones) => tones !== ''));
      expect([...wanted].filter((tones) => !letters.includes(tones))).toEqual([]);
    },
  );
});

describe('JSON with parts', () => {
  test('has the song’s own keys, then its parts', () => {
    const whole = needed(KETTLE, 'drone:chord,second');
    const value = JSON.parse(writePartsJson(whole)) as Record<string, unknown>;
    expect(Object.keys(value).slice(0, 2)).toEqual(['format', 'version']);
    expect(Object.keys(value).slice(-3)).toEqual(['phrases', 'problems', 'parts']);
    expect(value['parts']).toEqual(JSON.parse(JSON.stringify(whole.parts)));
  });
});

test('every form is loaded by its name', async () => {
  for (const [name, format] of Object.entries(PART_FORMATS)) {
    const write = await format.load();
    const data = write(needed(KETTLE, 'drone'));
    expect(typeof data === 'string' ? 'text' : 'binary', name).toBe(format.kind);
  }
});
