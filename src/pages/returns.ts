/**
 * Which places of a song return: the same moment of phrases that are sung alike.
 */
import type { Song, SongNote, SongPhrase } from '../song.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';

/** A note or rest with its place in its phrase. */
export interface Place {
  readonly note: SongNote;
  readonly phraseIndex: number;
  /** Ticks after the phrase's first strong beat; negative in its upbeat. */
  readonly at: Ticks;
  /** What the phrase shares with its returns: form letter, words, tune. */
  readonly likeness: readonly string[];
  /** What the bar holds, when it has words: equal bars return too, within a phrase and elsewhere. */
  readonly bar: string | null;
  /** Ticks after the bar line. */
  readonly inBar: Ticks;
}

/** All notes and rests of the song in order. */
export function placesOf(song: Song): readonly Place[] {
  return song.phrases.flatMap((phrase, phraseIndex) => {
    const start = firstStrongBeat(song, phrase);
    const likeness = likenessOf(phrase);
    const bars = barContents(song, phrase);
    return phrase.notes.map((note): Place => {
      const inBar =
        (((note.onset - song.upbeatTicks) % ticksPerBar(song.metre)) + ticksPerBar(song.metre)) %
        ticksPerBar(song.metre);
      const bar = bars.get(note.onset - inBar) ?? null;
      return { note, phraseIndex, at: note.onset - start, likeness, bar, inBar };
    });
  });
}

/** The shortest note: every length is a multiple of it. */
const SLOT: Ticks = 120;

/**
 * The moments that a place takes up, as names that its returns share: a sixteenth of a phrase that comes again (by form
 * letter, changed ending or not, by words, or by tune), or of a bar that comes again in words and tune. A phrase has
 * each moment once, so two places that share a name stand in different phrases or bars.
 */
export function momentsOf(place: Place): readonly string[] {
  const moments: string[] = [];
  for (let tick = 0; tick < place.note.duration; tick += SLOT) {
    for (const mark of place.likeness) moments.push(`${mark} @${String(place.at + tick)}`);
    if (place.bar !== null) moments.push(`bar ${place.bar} @${String(place.inBar + tick)}`);
  }
  return moments;
}

function likenessOf(phrase: SongPhrase): readonly string[] {
  const form = phrase.form.replace(/['’]+$/, '');
  const sung = phrase.notes.filter((note) => note.syllable !== null);
  const words = sung.map((note) => fold(note.syllable?.text ?? '')).join('-');
  const tune = phrase.notes.map((note) => `${note.tone ?? 'rest'}:${String(note.duration)}`).join(' ');
  return [`form ${form}`, `words ${words}`, `tune ${tune}`];
}

/** Words and tune of each whole bar of the phrase, by the tick of its bar line; bars with fewer than two syllables are left out. */
function barContents(song: Song, phrase: SongPhrase): ReadonlyMap<Ticks, string> {
  const bar = ticksPerBar(song.metre);
  const contents = new Map<Ticks, SongNote[]>();
  for (const note of phrase.notes) {
    const start = song.upbeatTicks + Math.floor((note.onset - song.upbeatTicks) / bar) * bar;
    contents.set(start, [...(contents.get(start) ?? []), note]);
  }
  const texts = new Map<Ticks, string>();
  for (const [start, notes] of contents) {
    if (notes.filter((note) => note.syllable !== null).length < 2) continue;
    const text = notes.map(
      (note) =>
        `${fold(note.syllable?.text ?? '')}:${note.tone ?? 'rest'}:${String(note.onset - start)}:${String(note.duration)}`,
    );
    texts.set(start, text.join(' '));
  }
  return texts;
}

function firstStrongBeat(song: Song, phrase: SongPhrase): Ticks {
  const from = phrase.notes[0]?.onset ?? 0;
  const unit = beatsPerBar(song.metre) === 4 ? ticksPerBar(song.metre) / 2 : ticksPerBar(song.metre);
  const past = (((from - song.upbeatTicks) % unit) + unit) % unit;
  return past === 0 ? from : from + unit - past;
}

function fold(text: string): string {
  return text.toLowerCase().replace(/[^\p{L}\p{M}\p{N}]/gu, '');
}
