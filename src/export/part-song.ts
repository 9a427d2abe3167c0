/**
 * A part in the shape of a song, phrase for phrase, so that what is written of a song can be written of a part.
 */
import type { Part, PartNote } from '../parts.ts';
import type { Tone } from '../pitch.ts';
import type { Song, SongNote } from '../song.ts';
import { wordsOf } from './bars.ts';

/**
 * The part cut where the song's phrases begin; a note belongs to the phrase in which it begins, and a phrase in which
 * none begins is left out.
 *
 * Of a chord the lowest pitch is kept, and its tones stand joined (`d+s`) where a tone would: for the eye only, since no
 * part is read back from letters.
 */
export function partSong(song: Song, part: Part): Song {
  const starts = song.phrases.map((phrase) => phrase.notes[0]?.onset ?? 0);
  const phrases = song.phrases.map((phrase, i) => {
    const end = starts[i + 1] ?? Infinity;
    const own = part.notes.filter((note) => note.onset >= (starts[i] ?? 0) && note.onset < end);
    const notes = own.map(asSongNote);
    return { ...phrase, text: wordsOf(notes), notes };
  });
  return { ...song, phrases: phrases.filter((phrase) => phrase.notes.length > 0) };
}

function asSongNote(note: PartNote): SongNote {
  const { onset, duration, tones, pitches, syllable, slur, tie } = note;
  const tone = tones.length === 0 ? null : (tones.join('+') as Tone);
  return {
    onset,
    duration,
    tone,
    pitch: pitches[0] ?? null,
    syllable,
    slur,
    tie,
    breath: tone === null ? null : false,
  };
}
