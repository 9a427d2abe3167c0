/**
 * A song with its parts as a Standard MIDI File: a track and a channel for each part.
 */
import type { Part, SongWithParts } from '../parts.ts';
import { midiNumber, readPitch } from '../pitch.ts';
import { leadTicks, lyricText, songTracks } from './midi.ts';
import { midiBytes, type MidiEvent, type MidiTrack } from './midi-bytes.ts';

/** General MIDI programs, counted from 0: Voice Oohs and Marimba. */
const PROGRAMS: Readonly<Record<Part['instrument'], number>> = { voice: 53, mallet: 12 };
/** Channel 10 is percussion in General MIDI; the tune has channel 1. */
const PERCUSSION = 10;
/** A little softer than the tune. */
const VELOCITY = 68;

/** The song's MIDI tracks, then one for each part, channels from 2 on. */
export function writePartsMidi({ song, parts }: SongWithParts): Uint8Array {
  const lead = leadTicks(song);
  return midiBytes([...songTracks(song), ...parts.map((part, i) => partTrack(part, i, lead))]);
}

function partTrack(part: Part, index: number, lead: number): MidiTrack {
  const channel = index + 2 < PERCUSSION ? index + 2 : index + 3;
  const events: MidiEvent[] = [];
  for (const note of part.notes) {
    const at = lead + note.onset;
    const tiedOn = note.tie === 'stop' || note.tie === 'both';
    const tiedOver = note.tie === 'start' || note.tie === 'both';
    if (note.syllable !== null) events.push({ at, kind: 'lyric', text: lyricText(note.syllable) });
    for (const name of note.pitches) {
      const pitch = readPitch(name);
      if (pitch === null) throw new RangeError(`"${name}" is not a pitch.`);
      const key = midiNumber(pitch);
      if (!tiedOn) events.push({ at, kind: 'note-on', key, velocity: VELOCITY, channel });
      if (!tiedOver) events.push({ at: at + note.duration, kind: 'note-off', key, velocity: 64, channel });
    }
  }
  // what ends goes before what begins at the same tick
  const order = (event: MidiEvent): number =>
    event.kind === 'note-off' ? 0 : event.kind === 'lyric' ? 1 : 2;
  events.sort((a, b) => a.at - b.at || order(a) - order(b));
  const last = part.notes.at(-1);
  const end = lead + (last === undefined ? 0 : last.onset + last.duration);
  return [
    { at: 0, kind: 'track-name', text: part.name },
    { at: 0, kind: 'program', program: PROGRAMS[part.instrument], channel },
    ...events,
    { at: end, kind: 'end' },
  ];
}
