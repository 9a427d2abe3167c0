/**
 * The leader's page, the MIDI file and the sound of a lesson say the same. Each is read back by itself: the page as
 * text, the MIDI by the general-purpose reader midi-file, the WAV by wav-decoder; then they are compared.
 */
import { parseMidi, type MidiEvent } from 'midi-file';
import { beforeAll, describe, expect, test } from 'vitest';
import decoder from 'wav-decoder';
import { writeLessonMidi } from '../../src/export/lesson-midi.ts';
import { lessonsByStep, type Lesson } from '../../src/lesson.ts';
import { writeLeaderPage } from '../../src/practice/leader-page.ts';
import { makeLesson } from '../../src/practice/make-lesson.ts';
import { PLAN_NAMES, planNamed, readPlan } from '../../src/practice/plan.ts';
import { wavPieces } from '../../src/sound/wav.ts';
import { FERRY, SONGS } from '../export/songs.ts';
import { toneLevel } from '../sound/spectrum.ts';
import { exampleSongs } from './example-songs.ts';
import { readPage, type Page } from './read-page.ts';

interface FileNote {
  readonly at: number;
  readonly end: number;
  readonly key: number;
}

interface MidiRead {
  readonly end: number;
  /** Text events of the conductor: where a span begins, by its kind. */
  readonly spans: readonly { readonly at: number; readonly kind: string }[];
  readonly markers: readonly { readonly at: number; readonly text: string }[];
  /** Microseconds a quarter, from each tick on. */
  readonly tempos: readonly { readonly at: number; readonly micros: number }[];
  readonly tracks: Readonly<Record<string, readonly FileNote[]>>;
}

function readMidi(bytes: Uint8Array): MidiRead {
  const utf8 = (text: string): string => Buffer.from(text, 'latin1').toString('utf8');
  const tracks = parseMidi(bytes).tracks.map((events) => {
    let at = 0;
    return events.map((event): MidiEvent & { at: number } => ({ ...event, at: (at += event.deltaTime) }));
  });
  const [conductor = []] = tracks;
  const notes: Record<string, FileNote[]> = {};
  for (const track of tracks.slice(1)) {
    const name = track.find((event) => event.type === 'trackName');
    const list: FileNote[] = [];
    const open = new Map<number, number>();
    for (const event of track) {
      if (event.type === 'noteOff') {
        const at = open.get(event.noteNumber);
        if (at === undefined) throw new Error('a note ends that has not begun');
        open.delete(event.noteNumber);
        list.push({ at, end: event.at, key: event.noteNumber });
      }
      if (event.type === 'noteOn') open.set(event.noteNumber, event.at);
    }
    expect(open.size).toBe(0);
    notes[name?.type === 'trackName' ? name.text : ''] = list.sort((a, b) => a.at - b.at || a.key - b.key);
  }
  return {
    end: conductor.at(-1)?.at ?? 0,
    spans: conductor.flatMap((e) =>
      e.type === 'text' ? [{ at: e.at, kind: utf8(e.text).split(':')[0] ?? '' }] : [],
    ),
    markers: conductor.flatMap((e) => (e.type === 'marker' ? [{ at: e.at, text: utf8(e.text) }] : [])),
    tempos: conductor.flatMap((e) =>
      e.type === 'setTempo' ? [{ at: e.at, micros: e.microsecondsPerBeat }] : [],
    ),
    tracks: notes,
  };
}

/** Seconds of a tick by the tempos of the MIDI file. */
function midiClock({ tempos }: MidiRead): (tick: number) => number {
  return (tick) =>
    tempos.reduce((sum, { at, micros }, i) => {
      const until = Math.min(tick, tempos[i + 1]?.at ?? tick);
      return until > at ? sum + ((until - at) * micros) / 480e6 : sum;
    }, 0);
}

function joined(pieces: Iterable<Uint8Array>): Buffer {
  return Buffer.concat([...pieces]);
}

function lessonFor(song: Parameters<typeof makeLesson>[0], plan: Parameters<typeof makeLesson>[1]): Lesson {
  const lesson = makeLesson(song, plan);
  if (!lesson.ok) throw new Error(lesson.problems.map((p) => p.message).join());
  return lesson.value;
}

function expectPageIsMidi(page: Page, midi: MidiRead, lesson: Lesson): void {
  const clock = midiClock(midi);
  const rows = page.steps.flatMap((step) => step.rows);
  expect(rows.map((row) => [row.at, row.name.toLowerCase().replace(' ', '-')])).toEqual(
    midi.spans.map((span) => [span.at, span.kind]),
  );
  expect(page.steps.map((step) => `${String(step.number)}. ${step.title}`)).toEqual(
    midi.markers.map((marker) => marker.text),
  );
  expect(rows.map((row) => row.at + row.length)).toEqual([...rows.slice(1).map((row) => row.at), midi.end]);
  // tenths are cut; the MIDI tempo is rounded to a microsecond a quarter
  const late = rows.map((row) => clock(row.at) - row.seconds);
  expect(Math.min(...late)).toBeGreaterThan(-0.01);
  expect(Math.max(...late)).toBeLessThan(0.11);
  const bar = (lesson.metre.beats * 1920) / lesson.metre.beatType;
  expect(page.bars * bar).toBe(midi.end);
  expect(clock(midi.end) - page.seconds).toBeGreaterThan(-0.01);
  expect(clock(midi.end) - page.seconds).toBeLessThan(0.11);
}

/** The leader is silent in the children's turns, and sings in every call what the page announces. */
function expectTurnsAreFree(page: Page, midi: MidiRead): void {
  const voices = [...(midi.tracks['leader'] ?? []), ...(midi.tracks['words'] ?? [])];
  for (const row of page.steps.flatMap((step) => step.rows)) {
    const here = voices.filter((note) => note.end > row.at && note.at < row.at + row.length);
    if (['YOUR TURN', 'ALONE', 'INSIDE', 'wait', 'pause', 'count-in', 'tuning'].includes(row.name)) {
      expect(here).toEqual([]);
    } else {
      expect(here[0]?.at).toBeGreaterThanOrEqual(row.at);
      expect(here.length).toBeGreaterThan(0);
    }
    if (row.name === 'LISTEN') expect(here[0]?.at).toBe(row.at);
  }
}

/** A4 = 440 Hz, equal temperament. */
const hertz = (key: number): number => 440 * 2 ** ((key - 69) / 12);

/** Every note of the MIDI file sounds in the WAV from its moment on, and not before. */
function expectWavIsMidi(wav: Buffer, midi: MidiRead): void {
  const { sampleRate, channelData } = decoder.decode.sync(wav);
  const [samples = new Float32Array()] = channelData;
  expect(sampleRate).toBe(44100);
  const clock = midiClock(midi);
  // the MIDI tempo is rounded: half a microsecond a quarter
  const slack = Math.ceil((midi.end / 480) * 0.5e-6 * sampleRate) + 1;
  expect(Math.abs(samples.length - clock(midi.end) * sampleRate)).toBeLessThanOrEqual(slack);
  const ms = (n: number): number => Math.round((n * sampleRate) / 1000);
  for (const [name, notes] of Object.entries(midi.tracks)) {
    if (name === 'words' || name === 'beat') continue;
    notes.forEach((note, i) => {
      const start = Math.round(clock(note.at) * sampleRate);
      const stop = Math.round(clock(note.end) * sampleRate);
      const sounding = toneLevel(
        samples,
        start + ms(10),
        Math.min(stop, start + ms(70)),
        sampleRate,
        hertz(note.key),
      );
      expect(sounding, `${name} at tick ${String(note.at)}`).toBeGreaterThan(0.02);
      const after = notes[i + 1];
      if (after === undefined || after.at > note.end) {
        expect(toneLevel(samples, stop, stop + ms(60), sampleRate, hertz(note.key))).toBeLessThan(0.006);
      }
      const before = notes[i - 1];
      if (before === undefined || before.end < note.at) {
        expect(toneLevel(samples, start - ms(60), start, sampleRate, hertz(note.key))).toBeLessThan(0.006);
      }
    });
  }
  for (const { at, key } of midi.tracks['beat'] ?? []) {
    const start = Math.round(clock(at) * sampleRate);
    const high = key === 76 ? 1320 : 1050;
    expect(toneLevel(samples, start, start + ms(25), sampleRate, high)).toBeGreaterThan(0.008);
  }
}

describe('a practice recording', () => {
  test.each(SONGS.flatMap(([name, song]) => PLAN_NAMES.map((plan) => [plan, name, song] as const)))(
    'by the plan %s on %s is the same on the page, as MIDI and as WAV',
    (planName, _, song) => {
      const lesson = lessonFor(song, planNamed(planName));
      const page = readPage(writeLeaderPage(lesson));
      const midi = readMidi(writeLessonMidi(lesson));
      expectPageIsMidi(page, midi, lesson);
      expectTurnsAreFree(page, midi);
      expectWavIsMidi(joined(wavPieces(lesson)), midi);
    },
  );

  test('changes its tempo from step to step and stays true', () => {
    const plan = readPlan({
      steps: ['sing-by-phrase', { step: 'sing-together', tempo: 66 }, { step: 'scale', tempo: 133 }],
    });
    if (!plan.ok) throw new Error('plan');
    for (const [, song] of SONGS) {
      const lesson = lessonFor(song, plan.value);
      const midi = readMidi(writeLessonMidi(lesson));
      expect(midi.tempos).toHaveLength(3);
      expectPageIsMidi(readPage(writeLeaderPage(lesson)), midi, lesson);
      expectWavIsMidi(joined(wavPieces(lesson)), midi);
    }
  });

  test('of one step each counts bars and time from the start of the step', () => {
    const lesson = lessonFor(FERRY, planNamed('learn'));
    const page = readPage(writeLeaderPage(lesson, { byStep: true }));
    lessonsByStep(lesson).forEach((single, i) => {
      const midi = readMidi(writeLessonMidi(single));
      const rows = page.steps[i]?.rows ?? [];
      expect(rows.map((row) => row.at)).toEqual(midi.spans.map((span) => span.at));
      rows.forEach((row) => expect(Math.abs(midiClock(midi)(row.at) - row.seconds)).toBeLessThan(0.11));
    });
  });
});

describe('a practice recording of every example on every rung', () => {
  let examples: Awaited<ReturnType<typeof exampleSongs>> = [];
  beforeAll(async () => {
    examples = await exampleSongs();
  });

  test('is the same on the page and as MIDI', () => {
    expect(examples.length).toBeGreaterThan(60);
    for (const { song } of examples) {
      const lesson = lessonFor(song, planNamed('all'));
      const page = readPage(writeLeaderPage(lesson));
      const midi = readMidi(writeLessonMidi(lesson));
      expectPageIsMidi(page, midi, lesson);
      expectTurnsAreFree(page, midi);
    }
  });

  test('sounds as its MIDI file says', () => {
    const plan = readPlan({ steps: ['sing-by-two'] });
    if (!plan.ok) throw new Error('plan');
    for (const { song } of examples) {
      const lesson = lessonFor(song, plan.value);
      expectWavIsMidi(joined(wavPieces(lesson)), readMidi(writeLessonMidi(lesson)));
    }
  });
});
