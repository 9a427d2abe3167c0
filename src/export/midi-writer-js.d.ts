/**
 * The few names of midi-writer-js that the adapter uses. The package's own declarations cannot be reached through its
 * `exports` map. Ticks are integers; texts hold one byte in each character.
 */
declare module 'midi-writer-js' {
  type Bytes = readonly number[];
  interface Event {
    readonly name: string;
  }
  interface Chunk {
    readonly type: Bytes;
    readonly size: Bytes;
    readonly data: Bytes;
  }
  interface Track {
    addEvent(event: Event): Track;
  }
  const midiWriter: {
    readonly Track: new () => Track;
    readonly Writer: new (
      tracks: readonly Track[],
      options: { readonly ticksPerBeat: number },
    ) => { buildData(): readonly Chunk[] };
    readonly TrackNameEvent: new (fields: { text: string; delta: number }) => Event;
    readonly TextEvent: new (fields: { text: string; delta: number }) => Event;
    readonly MarkerEvent: new (fields: { text: string; delta: number }) => Event;
    readonly ProgramChangeEvent: new (fields: {
      instrument: number;
      channel: number;
      delta: number;
    }) => Event;
    readonly LyricEvent: new (fields: { text: string; delta: number }) => Event;
    readonly TempoEvent: new (fields: { bpm: number; delta: number; tick: number }) => Event;
    readonly TimeSignatureEvent: new (
      beats: number,
      beatType: number,
      clocks: number,
      eighths: number,
    ) => Event;
    readonly KeySignatureEvent: new (fifths: number, mode: number) => Event;
    readonly NoteOnEvent: new (fields: {
      pitch: number;
      velocity: number;
      wait: string;
      channel: number;
    }) => Event;
    readonly NoteOffEvent: new (fields: {
      pitch: number;
      velocity: number;
      delta: number;
      channel: number;
    }) => Event;
    readonly EndTrackEvent: new (fields: { delta: number }) => Event;
  };
  // eslint-disable-next-line no-restricted-syntax -- the package exports nothing else
  export default midiWriter;
}
