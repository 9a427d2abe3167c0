/**
 * A song in which tones are still open (`?`) -> the song with its tones set: a tune to a given rhythm and phrases,
 * words or none, around the tones that are there already.
 */
import { made, type Outcome } from '../problem.ts';
import type { Rhythm, RhythmNote, RhythmPhrase } from '../rhythm.ts';
import { makeSong, type Song, type SongNote, type SongPhrase } from '../song.ts';
import type { Tone } from '../pitch.ts';
import { setMelody, type FixedTone, type MelodyOptions } from './melody.ts';

/** As a Song, but a tone may be `?`. */
export interface OpenSong {
  readonly title: string;
  readonly metre: Rhythm['metre'];
  readonly upbeatTicks: number;
  readonly phrases: readonly OpenPhrase[];
}

export interface OpenPhrase extends Pick<SongPhrase, 'line' | 'stanza' | 'text'> {
  readonly notes: readonly OpenNote[];
}

export interface OpenNote extends Omit<SongNote, 'tone' | 'pitch'> {
  readonly tone: Tone | '?' | null;
}

/**
 * Set the open tones; those that are there stand, and so do the rhythm, the words, slurs, ties and breaths.
 *
 * `options.slur` and `options.fixed` are not looked at. Problems: those of `setMelody`.
 */
export function setOpenTones(open: OpenSong, options: MelodyOptions): Outcome<Song> {
  const outcome = setMelody(rhythmOf(open), { ...options, slur: false, fixed: givenTones(open) });
  if (!outcome.ok) return outcome;
  const phrases = outcome.value.phrases.map((phrase, i): SongPhrase => {
    const notes = phrase.notes.map((note, k): SongNote => ({
      ...note,
      slur: open.phrases[i]?.notes[k]?.slur ?? null,
    }));
    return { ...phrase, notes };
  });
  return made(makeSong({ ...outcome.value, phrases }), outcome.problems);
}

/** The rhythm of an open song. Stress is not known: every syllable counts alike. */
export function rhythmOf(open: OpenSong): Rhythm {
  return {
    title: open.title,
    metre: open.metre,
    upbeatTicks: open.upbeatTicks,
    phrases: open.phrases.map((phrase): RhythmPhrase => ({
      line: phrase.line,
      stanza: phrase.stanza,
      text: phrase.text,
      notes: phrase.notes.map(rhythmNote),
      rhyme: '',
      wordKeys: wordKeys(phrase.notes),
    })),
  };
}

/** The tones that stand already. */
export function givenTones(open: OpenSong): readonly FixedTone[] {
  return open.phrases.flatMap(({ notes }, phrase) => {
    const sounds = notes.filter((n) => n.tone !== null && n.tie !== 'stop' && n.tie !== 'both');
    return sounds.flatMap(({ tone }, sound): FixedTone[] =>
      tone === null || tone === '?' ? [] : [{ phrase, sound, tone }],
    );
  });
}

function rhythmNote({ onset, duration, tone, syllable, tie, breath }: OpenNote): RhythmNote {
  const sung = syllable === null ? null : { ...syllable, stress: 1 as const, prominence: 0 };
  return { onset, duration, rest: tone === null, syllable: sung, tie, breath: breath === true };
}

/** The words, put together again from their syllables. */
function wordKeys(notes: readonly OpenNote[]): readonly string[] {
  const words = new Map<number, string>();
  for (const { syllable } of notes) {
    if (syllable !== null) words.set(syllable.word, (words.get(syllable.word) ?? '') + syllable.text);
  }
  return [...words.values()]
    .map((word) => word.toLowerCase().replace(/[^\p{L}\p{N}]/gu, ''))
    .filter((w) => w !== '');
}
