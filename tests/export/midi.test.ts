import fc from 'fast-check';
import { parseMidi, type MidiData, type MidiEvent } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { FORMATS } from '../../src/export/index.ts';
import { leadTicks, writeMidi } from '../../src/export/midi.ts';
import { midiBytes, type MidiTrack } from '../../src/export/midi-bytes.ts';
import { midiNumber, readPitch } from '../../src/pitch.ts';
import type { Song } from '../../src/song.ts';
import { ticksPerBar } from '../../src/time.ts';
import { randomSong } from '../random-song.ts';
import { FERRY, KETTLE, SONGS, SPARROW } from './songs.ts';

/** A meta or channel event with its moment, as the general-purpose reader midi-file sees it. */
type Timed = MidiEvent & { readonly at: number };

function timed(track: MidiData['tracks'][number] | undefined): Timed[] {
  let at = 0;
  return (track ?? []).map((event) => {
    at += event.deltaTime;
    return { ...event, at };
  });
}

/** midi-file gives a character for each byte. */
const utf8 = (text: string): string => Buffer.from(text, 'latin1').toString('utf8');

/** Sounds as `[onset, end, key]`, from a track or from a song. */
function soundsInFile(events: readonly Timed[]): number[][] {
  const sounds: number[][] = [];
  for (const event of events) {
    if (event.type === 'noteOn') sounds.push([event.at, -1, event.noteNumber]);
    if (event.type === 'noteOff') {
      const open = sounds.find((sound) => sound[1] === -1 && sound[2] === event.noteNumber);
      expect(open, 'a note ends that has begun').toBeDefined();
      if (open !== undefined) open[1] = event.at;
    }
  }
  return sounds;
}

function soundsInSong(song: Song): number[][] {
  const sounds: number[][] = [];
  const lead = song.upbeatTicks === 0 ? 0 : ticksPerBar(song.metre) - song.upbeatTicks;
  for (const note of song.phrases.flatMap((phrase) => phrase.notes)) {
    const pitch = note.pitch === null ? null : readPitch(note.pitch);
    if (pitch === null) continue;
    const end = lead + note.onset + note.duration;
    const before = sounds.at(-1);
    if ((note.tie === 'stop' || note.tie === 'both') && before !== undefined) before[1] = end;
    else sounds.push([lead + note.onset, end, midiNumber(pitch)]);
  }
  return sounds;
}

function events(song: Song, track: 0 | 1): Timed[] {
  return timed(parseMidi(writeMidi(song)).tracks[track]);
}

const find = <T extends MidiEvent['type']>(all: readonly Timed[], type: T) =>
  all.filter((event): event is Extract<Timed, { type: T }> => event.type === type);

describe('a MIDI file', () => {
  test('is of format 1 with a conductor track and a tune, 480 ticks to a quarter note', () => {
    const { header } = parseMidi(writeMidi(KETTLE));
    expect(header).toMatchObject({ format: 1, numTracks: 2, ticksPerBeat: 480 });
  });

  // Standard MIDI Files 1.0 (MIDI Manufacturers Association): tempo in microseconds a quarter note; time signature
  // with MIDI clocks a metronome click, 24 to a quarter; key signature -7..7 and 0 major, 1 minor.
  test.each([
    [KETTLE, { micros: 535714, numerator: 2, denominator: 4, clocks: 24, key: 2, minor: 0 }],
    // 104 dotted quarters a minute are 156 quarters
    [FERRY, { micros: 384615, numerator: 6, denominator: 8, clocks: 36, key: -1, minor: 1 }],
    [SPARROW, { micros: 625000, numerator: 4, denominator: 4, clocks: 24, key: -2, minor: 0 }],
  ])('states tempo, time and key as the standard counts them (%#)', (song, wanted) => {
    const conductor = events(song, 0);
    expect(find(conductor, 'setTempo')).toMatchObject([{ at: 0, microsecondsPerBeat: wanted.micros }]);
    expect(find(conductor, 'timeSignature')).toMatchObject([
      {
        at: 0,
        numerator: wanted.numerator,
        denominator: wanted.denominator,
        metronome: wanted.clocks,
        thirtyseconds: 8,
      },
    ]);
    expect(find(conductor, 'keySignature')).toMatchObject([{ at: 0, key: wanted.key, scale: wanted.minor }]);
    expect(find(conductor, 'trackName').map((event) => event.text)).toEqual([
      Buffer.from(song.title, 'utf8').toString('latin1'),
    ]);
  });

  test('fills bar one with silence before an upbeat, so that first beats fall on the grid', () => {
    const { upbeatTicks, metre } = FERRY;
    const bar = ticksPerBar(metre);
    const lyrics = find(events(FERRY, 1), 'lyrics');
    expect(lyrics[0]).toMatchObject({ text: 'The', at: bar - upbeatTicks });
    expect(lyrics[1]).toMatchObject({ text: 'fer-', at: bar });
    expect(lyrics.find((event) => event.text === 'ver')).toMatchObject({ at: 2 * bar });
    expect(leadTicks(KETTLE)).toBe(0);
  });

  test('carries the words in UTF-8, with a hyphen where a word goes on', () => {
    const words = (song: Song): string[] => find(events(song, 1), 'lyrics').map((event) => utf8(event.text));
    expect(words(KETTLE).slice(0, 4)).toEqual(['Ket-', 'tle,', 'ket-', 'tle']);
    expect(words(SPARROW)).toContain('Émi-');
    expect(words(FERRY)).toContain('O-lé');
  });

  test('escapes the five characters that RP-026 reserves in lyrics', () => {
    const [phrase] = KETTLE.phrases;
    if (phrase === undefined) throw new Error('no phrase');
    const [note] = phrase.notes;
    if (note === undefined) throw new Error('no note');
    const syllable = { text: '[a{b\\c}]', word: 0, division: 'single' as const };
    const song = {
      ...KETTLE,
      phrases: [{ ...phrase, notes: [{ ...note, syllable }, ...phrase.notes.slice(1)] }],
    };
    expect(find(events(song, 1), 'lyrics')[0]?.text).toBe('\\[a\\{b\\\\c\\}\\]');
  });

  test.each(SONGS)('plays every note of %s where and as long as it is written', (_, song) => {
    expect(soundsInFile(events(song, 1))).toEqual(soundsInSong(song));
  });

  test.each(SONGS)('ends both tracks of %s once, where the song ends', (_, song) => {
    const last = song.phrases.at(-1)?.notes.at(-1);
    const end = leadTicks(song) + (last?.onset ?? 0) + (last?.duration ?? 0);
    for (const track of [0, 1] as const) {
      expect(find(events(song, track), 'endOfTrack').map((event) => event.at)).toEqual([end]);
    }
  });

  test('holds for any song: sounds, words and bar grid', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const tune = events(song, 1);
        expect(soundsInFile(tune)).toEqual(soundsInSong(song));
        const words = find(tune, 'lyrics').map((event) => utf8(event.text).replace(/\\(.)/g, '$1'));
        const sung = song.phrases.flatMap((p) => p.notes).flatMap((note) => note.syllable ?? []);
        const hyphen = (s: { text: string; division: string }): string =>
          /begin|middle/.test(s.division) && !s.text.endsWith('-') ? `${s.text}-` : s.text;
        expect(words).toEqual(sung.map(hyphen));
        expect((leadTicks(song) + song.upbeatTicks) % ticksPerBar(song.metre)).toBe(0);
      }),
      { numRuns: 200 },
    );
  });

  test('is the same bytes every time', () => {
    expect(Buffer.from(writeMidi(SPARROW)).equals(Buffer.from(writeMidi(SPARROW)))).toBe(true);
  });

  test('takes a song of 30,000 notes', () => {
    const [phrase] = KETTLE.phrases;
    if (phrase === undefined) throw new Error('no phrase');
    const notes = Array.from({ length: 30_000 }, (_, i) => {
      const note = phrase.notes[i % phrase.notes.length];
      if (note === undefined) throw new Error('no note');
      return { ...note, onset: 480 * i };
    });
    const song = { ...KETTLE, phrases: [{ ...phrase, notes }] };
    expect(find(events(song, 1), 'noteOn')).toHaveLength(30_000);
  });

  test('refuses events that go back in time, which would never end', () => {
    const track: MidiTrack = [
      { at: 480, kind: 'text', text: 'late' },
      { at: 0, kind: 'end' },
    ];
    expect(() => midiBytes([track])).toThrow(RangeError);
  });

  test('is written by the format named midi', async () => {
    const writer = await FORMATS.midi.load();
    expect(writer(KETTLE)).toBeInstanceOf(Uint8Array);
    expect(FORMATS.midi).toMatchObject({ kind: 'binary', extension: 'mid', mediaType: 'audio/midi' });
  });
});
