/**
 * The same song from another do, or at another tempo.
 */
import { pitchName, pitchOf, type Pitch } from './pitch.ts';
import { makeSong, type Song } from './song.ts';

/** The song sung from this do; its tones stay, its pitches follow. Ranges are for whoever asks to check. */
export function songFromDo(song: Song, doPitch: Pitch): Song {
  return makeSong({
    ...song,
    do: pitchName(doPitch),
    phrases: song.phrases.map((phrase) => ({
      ...phrase,
      notes: phrase.notes.map((note) => ({
        ...note,
        pitch: note.tone === null ? null : pitchName(pitchOf(note.tone, doPitch)),
      })),
    })),
  });
}

/** The song at this many felt beats a minute. */
export function songAtTempo(song: Song, tempoBpm: number): Song {
  return makeSong({ ...song, tempoBpm });
}
