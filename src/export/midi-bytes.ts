/**
 * Events at absolute ticks -> the bytes of a Standard MIDI File of format 1. The only file that names midi-writer-js,
 * and a narrow one: the package writes what each event says after the one before it, and nothing else is asked of it.
 *
 * Guarded against, as measured on version 3.2.1: a negative delta never returns; texts are cut to one byte a character;
 * a second build of one track differs from the first; long tracks overflow the stack when the package joins the chunks.
 */
import midiWriter from 'midi-writer-js';
import { TICKS_PER_QUARTER, type Ticks } from '../time.ts';

/** An event of a track. `at` is in ticks from the start of the file. */
export type MidiEvent = { readonly at: Ticks } & (
  | { readonly kind: 'track-name' | 'text' | 'lyric' | 'marker'; readonly text: string }
  /** Quarters a minute; the file holds microseconds a quarter, rounded to the nearest. */
  | { readonly kind: 'tempo'; readonly quartersPerMinute: number }
  /** `clocks` a metronome click, 24 to a quarter note. */
  | { readonly kind: 'time'; readonly beats: number; readonly beatType: number; readonly clocks: number }
  /** Sharps (positive) or flats, at most 7. */
  | { readonly kind: 'key'; readonly fifths: number; readonly minor: boolean }
  /** General MIDI sound of a channel: `program` 0 to 127, `channel` 1 to 16. */
  | { readonly kind: 'program'; readonly program: number; readonly channel: number }
  /** Key number and velocity from 1 to 127; the first channel when none is said. */
  | {
      readonly kind: 'note-on' | 'note-off';
      readonly key: number;
      readonly velocity: number;
      readonly channel?: number;
    }
  | { readonly kind: 'end' }
);

/** A track: events in order of time, the last of kind `end`. */
export type MidiTrack = readonly MidiEvent[];

/**
 * Encode tracks at 480 ticks to a quarter note.
 * @throws RangeError when a track goes back in time; time and key signatures must stand at tick 0.
 */
export function midiBytes(tracks: readonly MidiTrack[]): Uint8Array {
  const writer = new midiWriter.Writer(tracks.map(encodeTrack), { ticksPerBeat: TICKS_PER_QUARTER });
  const parts = writer.buildData().flatMap((chunk) => [chunk.type, chunk.size, chunk.data]);
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let offset = 0;
  for (const part of parts) {
    bytes.set(part, offset);
    offset += part.length;
  }
  return bytes;
}

function encodeTrack(events: MidiTrack): InstanceType<typeof midiWriter.Track> {
  const track = new midiWriter.Track();
  let before = 0;
  for (const event of events) {
    const delta = event.at - before;
    if (delta < 0 || !Number.isInteger(delta)) {
      throw new RangeError(`An event at tick ${String(event.at)} follows one at ${String(before)}.`);
    }
    if ((event.kind === 'time' || event.kind === 'key') && event.at !== 0) {
      throw new RangeError('Time and key signatures can stand only at tick 0.');
    }
    track.addEvent(encodeEvent(event, delta));
    before = event.at;
  }
  return track;
}

function encodeEvent(event: MidiEvent, delta: Ticks): InstanceType<typeof midiWriter.LyricEvent> {
  switch (event.kind) {
    case 'track-name':
      return new midiWriter.TrackNameEvent({ text: utf8(event.text), delta });
    case 'text':
      return new midiWriter.TextEvent({ text: utf8(event.text), delta });
    case 'marker':
      return new midiWriter.MarkerEvent({ text: utf8(event.text), delta });
    case 'program':
      return new midiWriter.ProgramChangeEvent({
        instrument: event.program,
        channel: event.channel - 1,
        delta,
      });
    case 'lyric':
      return new midiWriter.LyricEvent({ text: utf8(event.text), delta });
    case 'tempo':
      return new midiWriter.TempoEvent({ bpm: event.quartersPerMinute, delta, tick: event.at });
    case 'time':
      return new midiWriter.TimeSignatureEvent(event.beats, event.beatType, event.clocks, 8);
    case 'key':
      return new midiWriter.KeySignatureEvent(event.fifths, event.minor ? 1 : 0);
    case 'note-on':
      return new midiWriter.NoteOnEvent({ ...noteFields(event), wait: `T${String(delta)}` });
    case 'note-off':
      return new midiWriter.NoteOffEvent({ ...noteFields(event), delta });
    case 'end':
      return new midiWriter.EndTrackEvent({ delta });
  }
}

/** The package counts velocity in hundredths of the loudest, and channels from 1. */
function noteFields(event: { readonly key: number; readonly velocity: number; readonly channel?: number }): {
  pitch: number;
  velocity: number;
  channel: number;
} {
  return { pitch: event.key, velocity: (event.velocity * 100) / 127, channel: event.channel ?? 1 };
}

/** The UTF-8 bytes of a text, one in each character. */
function utf8(text: string): string {
  let bytes = '';
  for (const byte of new TextEncoder().encode(text)) bytes += String.fromCharCode(byte);
  return bytes;
}
