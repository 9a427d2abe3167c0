/**
 * Lesson -> Standard MIDI File, format 1: a conductor track with a marker for each step and a text for each span,
 * then one track for each that sounds. Sounds and percussion keys are those of the General MIDI Level 1 sound set.
 */
import { lessonLength, type Instrument, type Lesson, type LessonEvent, type Track } from '../lesson.ts';
import { keyFifths, readPitch } from '../pitch.ts';
import { TICKS_PER_QUARTER } from '../time.ts';
import { midiBytes, type MidiEvent, type MidiTrack } from './midi-bytes.ts';

const CLOCKS_PER_QUARTER = 24;
/** General MIDI keeps channel 10 for percussion. */
const PERCUSSION = 10;
/** General MIDI programs, counted from 0: Voice Oohs and Marimba. */
const PROGRAMS = { voice: 53, mallet: 12 } as const;
/** General MIDI percussion keys: Hi and Low Wood Block, Low Conga. */
const WOOD_BLOCK = { strong: 76, other: 77 };
const CONGA = 64;
/** Our choice, gentle. */
const VELOCITIES = { strong: 88, other: 76 };

/**
 * Write a lesson as the bytes of a MIDI file: 480 ticks to a quarter note, tick for tick as the lesson has it.
 *
 * The leader is on channel 1, the tuning figure on 2, added parts from 3 on (10 left out); the beat and the rhythm of
 * the words are percussion. The conductor track has a marker `1. title` at each step, a text such as `listen: words`
 * at each span, and a tempo where it changes. Syllables are lyric events.
 */
export function writeLessonMidi(lesson: Lesson): Uint8Array {
  const tracks = lesson.tracks.map((track, index) => soundingTrack(lesson, track, index));
  return midiBytes([conductorTrack(lesson), ...tracks.filter((track) => track.length > 0)]);
}

function conductorTrack(lesson: Lesson): MidiTrack {
  const { beats, beatType, ticksPerBeat } = lesson.metre;
  const clocks = (CLOCKS_PER_QUARTER * ticksPerBeat) / TICKS_PER_QUARTER;
  const doPitch = readPitch(lesson.do);
  const fifths = doPitch === null ? 0 : keyFifths(doPitch);
  const events: MidiEvent[] = [
    { at: 0, kind: 'track-name', text: lesson.title },
    { at: 0, kind: 'time', beats, beatType, clocks },
    { at: 0, kind: 'key', fifths: Math.max(-7, Math.min(7, fifths)), minor: lesson.home.startsWith('l') },
  ];
  let tempo = 0;
  for (const step of lesson.steps) {
    if (step.tempoBpm !== tempo) {
      tempo = step.tempoBpm;
      events.push({
        at: step.start,
        kind: 'tempo',
        quartersPerMinute: (tempo * ticksPerBeat) / TICKS_PER_QUARTER,
      });
    }
    events.push({ at: step.start, kind: 'marker', text: `${String(step.number)}. ${step.title}` });
    for (const span of step.spans) {
      events.push({
        at: span.start,
        kind: 'text',
        text: span.cue === '' ? span.kind : `${span.kind}: ${span.cue}`,
      });
    }
  }
  return [...events, { at: lessonLength(lesson), kind: 'end' }];
}

/** A track's events, or nothing when it does not sound. */
function soundingTrack(lesson: Lesson, track: Track, index: number): MidiTrack {
  const sounds = lesson.steps.flatMap((step) =>
    step.spans.flatMap((span) => span.events.filter((event) => event.track === index)),
  );
  if (sounds.length === 0) return [];
  const channel = channelOf(track, index);
  const events: MidiEvent[] = [{ at: 0, kind: 'track-name', text: track.name }];
  if (track.instrument === 'voice' || track.instrument === 'mallet') {
    events.push({ at: 0, kind: 'program', program: PROGRAMS[track.instrument], channel });
  }
  const noteEvents = sounds.flatMap((event): readonly MidiEvent[] => {
    const key = event.pitch ?? percussionKey(track.instrument, event);
    const { onset, duration, text } = event;
    const velocity = event.strong ? VELOCITIES.strong : VELOCITIES.other;
    return [
      ...(text === null ? [] : [{ at: onset, kind: 'lyric' as const, text }]),
      { at: onset, kind: 'note-on', key, velocity, channel },
      { at: onset + duration, kind: 'note-off', key, velocity: 64, channel },
    ];
  });
  // what ends goes before what begins at the same tick
  const order = (event: MidiEvent): number =>
    event.kind === 'note-off' ? 0 : event.kind === 'lyric' ? 1 : 2;
  noteEvents.sort((a, b) => a.at - b.at || order(a) - order(b));
  return [...events, ...noteEvents, { at: lessonLength(lesson), kind: 'end' }];
}

function percussionKey(instrument: Instrument, event: LessonEvent): number {
  if (instrument === 'drum') return CONGA;
  return event.strong ? WOOD_BLOCK.strong : WOOD_BLOCK.other;
}

/** Tracks 0 and 2 are the leader and the tuning figure; parts follow from index 4 on. */
function channelOf(track: Track, index: number): number {
  if (track.instrument === 'click' || track.instrument === 'drum') return PERCUSSION;
  if (track.role === 'leader') return 1;
  if (track.role === 'tuning') return 2;
  const channel = index - 1;
  return channel < PERCUSSION ? channel : channel + 1;
}
