/**
 * Places: a phrase of rhythm as the sounds that want a tone each. Notes tied together are one sound; rests are the
 * gaps between sounds. Everything that the melody rules ask about a moment is worked out here, once.
 */
import type { Rhythm, RhythmNote, RhythmPhrase } from '../rhythm.ts';
import { strengthAt, ticksPerBar, type Metre, type Strength, type Ticks } from '../time.ts';

export interface Place {
  /** Indexes among the phrase's notes, first and last of the tied group. */
  readonly firstNote: number;
  readonly lastNote: number;
  readonly onset: Ticks;
  /** Sounding time, ties included. */
  readonly duration: Ticks;
  /** Silence before the next sound, or to the end of the phrase. */
  readonly gap: Ticks;
  readonly strength: Strength;
  /** Ticks from the phrase's first beat that sounds; negative in its upbeat. */
  readonly at: Ticks;
  /** 0 for an unstressed syllable, else 1 or 2; a slur's second note has 0. */
  readonly stress: 0 | 1 | 2;
  /** Part of a two-note slur. */
  readonly slur: 'start' | 'stop' | null;
}

/** A note of the rhythm, or one half of a note that a slur divides. */
export interface SlurredNote extends RhythmNote {
  readonly slur: 'start' | 'stop' | null;
}

/** The sounds of one phrase in order; at least one. */
export interface PhrasePlaces {
  readonly phrase: RhythmPhrase;
  readonly notes: readonly SlurredNote[];
  readonly places: readonly Place[];
  /** The same for two phrases with the same sounds on the same beats; a slur's second note is left out of account. */
  readonly shape: string;
  /** The words, folded for comparison; empty without words. */
  readonly words: string;
}

/** The phrases of a rhythm as places, without slurs. O(notes). */
export function placesOf(rhythm: Rhythm): readonly PhrasePlaces[] {
  return rhythm.phrases.map((phrase) => {
    const notes = phrase.notes.map((note): SlurredNote => ({ ...note, slur: null }));
    const places = placesOfNotes(notes, rhythm.metre, rhythm.upbeatTicks);
    const shape = places.map((place) => `${String(place.at)}/${String(place.strength)}`).join(' ');
    return { phrase, notes, places, shape, words: phrase.wordKeys.join(' ') };
  });
}

/** The sounds of some notes that belong to one phrase. */
export function placesOfNotes(
  notes: readonly SlurredNote[],
  metre: Metre,
  upbeatTicks: Ticks,
): readonly Place[] {
  const bar = ticksPerBar(metre);
  const groups: { first: number; last: number; end: Ticks }[] = [];
  notes.forEach((note, i) => {
    if (note.rest) return;
    const group = groups.at(-1);
    const end = note.onset + note.duration;
    if (group !== undefined && (note.tie === 'stop' || note.tie === 'both')) {
      group.last = i;
      group.end = end;
    } else groups.push({ first: i, last: i, end });
  });
  const end = notes.reduce((latest, note) => Math.max(latest, note.onset + note.duration), 0);
  const strengths = groups.map(({ first }) => {
    const onset = notes[first]?.onset ?? 0;
    return strengthAt(metre, (((onset - upbeatTicks) % bar) + bar) % bar);
  });
  const firstBeat = Math.max(
    0,
    strengths.findIndex((strength) => strength > 0),
  );
  const zero = notes[groups[firstBeat]?.first ?? 0]?.onset ?? 0;
  return groups.map(({ first, last, end: soundEnd }, i): Place => {
    const note = notes[first];
    const onset = note?.onset ?? 0;
    const next = groups[i + 1];
    return {
      firstNote: first,
      lastNote: last,
      onset,
      duration: soundEnd - onset,
      gap: (next === undefined ? end : (notes[next.first]?.onset ?? end)) - soundEnd,
      strength: strengths[i] ?? 0,
      at: onset - zero,
      stress: note?.syllable?.stress ?? 0,
      slur: note?.slur ?? null,
    };
  });
}

/** `strong` on the first beat of the bar and the middle of a four-beat bar, `weak` on other beats, else `off`. */
export function beatPlace(strength: Strength): 'strong' | 'weak' | 'off' {
  return strength >= 2 ? 'strong' : strength === 1 ? 'weak' : 'off';
}
