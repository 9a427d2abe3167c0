/**
 * Song -> Standard MIDI File, format 1: a conductor track (name, tempo, time, key) and the tune with its words.
 *
 * An upbeat: bar one is filled with silence in front of it, so that every later bar line falls on the grid of one
 * time signature. (The other way, a short first bar of its own signature, is misread by players that keep the first
 * signature only.) The silence counts in the singers; bar 1 of the score is then bar 2 of the file.
 */
import { keyFifths, midiNumber, readPitch } from '../pitch.ts';
import type { NoteSyllable, Song, SongNote } from '../song.ts';
import { strengthAt, TICKS_PER_QUARTER, ticksPerBar, type Ticks } from '../time.ts';
import { isTiedOn, isTiedOver, songEnd, ticksIntoBar } from './bars.ts';
import { midiBytes, type MidiEvent, type MidiTrack } from './midi-bytes.ts';

/** Clocks in a quarter note, as the MIDI standard counts a metronome click. */
const CLOCKS_PER_QUARTER = 24;
/** How loud a note is by the strength of its moment (off the beat, beat, middle beat, first beat): our choice, gentle. */
const VELOCITIES = [72, 80, 84, 92] as const;

/**
 * Write a song as the bytes of a MIDI file: 480 ticks to a quarter note, two tracks, channel 1.
 *
 * Tied notes sound as one; notes last as long as they are written. Words are lyric events in UTF-8 at the onset of
 * their note; a hyphen at the end shows that the word goes on.
 */
export function writeMidi(song: Song): Uint8Array {
  return midiBytes(songTracks(song));
}

/** The two tracks of a song: the conductor's and the tune's. */
export function songTracks(song: Song): readonly MidiTrack[] {
  return [conductorTrack(song), tuneTrack(song)];
}

/** Silence in front of an upbeat that fills its bar; 0 without one. */
export function leadTicks(song: Song): Ticks {
  return song.upbeatTicks === 0 ? 0 : ticksPerBar(song.metre) - song.upbeatTicks;
}

function conductorTrack(song: Song): MidiTrack {
  const { beats, beatType, ticksPerBeat } = song.metre;
  const doName = song.do.replace(/-?\d+$/, '');
  return [
    { at: 0, kind: 'track-name', text: song.title },
    { at: 0, kind: 'text', text: `do is ${doName}, rung ${song.rung}` },
    { at: 0, kind: 'tempo', quartersPerMinute: (song.tempoBpm * ticksPerBeat) / TICKS_PER_QUARTER },
    { at: 0, kind: 'time', beats, beatType, clocks: (CLOCKS_PER_QUARTER * ticksPerBeat) / TICKS_PER_QUARTER },
    { at: 0, kind: 'key', fifths: printableFifths(song.do), minor: song.home.startsWith('l') },
    { at: leadTicks(song) + songEnd(song), kind: 'end' },
  ];
}

/** MIDI has keys of up to 7 sharps or flats; a key beyond them sounds the same twelve fifths away. */
function printableFifths(doName: string): number {
  const pitch = readPitch(doName);
  if (pitch === null) throw new RangeError(`"${doName}" is not a pitch.`);
  const fifths = keyFifths(pitch);
  return fifths > 7 ? fifths - 12 : fifths < -7 ? fifths + 12 : fifths;
}

function tuneTrack(song: Song): MidiTrack {
  const lead = leadTicks(song);
  const events: MidiEvent[] = [{ at: 0, kind: 'track-name', text: 'Voice' }];
  for (const note of song.phrases.flatMap((phrase) => phrase.notes)) {
    if (note.pitch === null) continue;
    const at = lead + note.onset;
    const key = keyOf(note.pitch);
    if (note.syllable !== null) events.push({ at, kind: 'lyric', text: lyricText(note.syllable) });
    if (!isTiedOn(note)) events.push({ at, kind: 'note-on', key, velocity: velocityOf(song, note) });
    if (!isTiedOver(note)) events.push({ at: at + note.duration, kind: 'note-off', key, velocity: 64 });
  }
  events.push({ at: lead + songEnd(song), kind: 'end' });
  return events;
}

function keyOf(name: string): number {
  const pitch = readPitch(name);
  if (pitch === null) throw new RangeError(`"${name}" is not a pitch.`);
  return midiNumber(pitch);
}

function velocityOf(song: Song, note: SongNote): number {
  return VELOCITIES[strengthAt(song.metre, ticksIntoBar(song, note.onset))];
}

/** A backslash stands before the five characters that the lyric recommendation RP-026 keeps for its own use. */
export function lyricText(syllable: NoteSyllable): string {
  const goesOn = syllable.division === 'begin' || syllable.division === 'middle';
  const text = syllable.text.replace(/[\\{}[\]]/g, '\\$&');
  return goesOn && !text.endsWith('-') ? `${text}-` : text;
}
