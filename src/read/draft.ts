/**
 * A song that is still being made: as a Song, but a tone may be `?`, to be set. What the readers give before every
 * tone is known; `sing` sets what is open.
 */
import type { Tone } from '../pitch.ts';
import { failed, made, type Outcome } from '../problem.ts';
import { makeSong, type Song, type SongNote, type SongPhrase } from '../song.ts';

/** A note whose tone may be open: `?` with the pitch null. */
export interface DraftNote extends Omit<SongNote, 'tone'> {
  readonly tone: Tone | '?' | null;
}

export interface DraftPhrase extends Omit<SongPhrase, 'notes'> {
  readonly notes: readonly DraftNote[];
}

/** A song in which some tones may be open. */
export interface SongDraft extends Omit<Song, 'phrases'> {
  readonly phrases: readonly DraftPhrase[];
}

/**
 * The draft as a song when no tone is open; problem `tone-not-set` otherwise.
 * @throws RangeError as `makeSong` does; readers have found such faults before.
 */
export function finishDraft(draft: SongDraft): Outcome<Song> {
  const phrases: SongPhrase[] = [];
  for (const phrase of draft.phrases) {
    const notes = phrase.notes.filter(isSet);
    if (notes.length < phrase.notes.length) {
      return failed({
        code: 'tone-not-set',
        severity: 'error',
        message: `Line ${String(phrase.line)} has a tone that is still open (?).`,
        line: phrase.line,
        hint: 'Write a solfa letter in its place, or let chantwright sing set it.',
      });
    }
    phrases.push({ ...phrase, notes });
  }
  return made(makeSong({ ...draft, phrases }));
}

function isSet(note: DraftNote): note is SongNote {
  return note.tone !== '?';
}
