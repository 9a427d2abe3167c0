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

/**
 * True when two pieces are the same moment of phrases that return: the same form letter (with or without a changed
 * ending), the same words or the same tune; or the same moment of two bars that are equal in words and tune.
 */
export function isReturn(a: readonly Place[], b: readonly Place[]): boolean {
  return a.some((one) => b.some((other) => samePhraseMoment(one, other) || sameBarMoment(one, other)));
}

function samePhraseMoment(a: Place, b: Place): boolean {
  if (a.phraseIndex === b.phraseIndex || !a.likeness.some((mark) => b.likeness.includes(mark))) return false;
  return meet(a.at, a.note.duration, b.at, b.note.duration);
}

function sameBarMoment(a: Place, b: Place): boolean {
  return a.bar !== null && a.bar === b.bar && meet(a.inBar, a.note.duration, b.inBar, b.note.duration);
}

/** One begins while the other sounds. */
function meet(a: Ticks, lengthA: Ticks, b: Ticks, lengthB: Ticks): boolean {
  return a < b + lengthB && b < a + lengthA;
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
