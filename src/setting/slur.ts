/**
 * The two-note slur that a rung brings: one syllable sung on so and la. Where it goes is settled before any tone is
 * chosen, because it changes the rhythm.
 */
import type { Random } from '../random.ts';
import type { Rhythm, RhythmPhrase } from '../rhythm.ts';
import type { Ticks } from '../time.ts';
import { placesOfNotes, type PhrasePlaces, type Place, type SlurredNote } from './melody-places.ts';

/** A syllable that can bear the slur: the index of its phrase, and of its note in that phrase. */
export interface SlurSpot {
  readonly phrase: number;
  readonly note: number;
}

/**
 * Syllables that may bear the slur: one untied note of a whole beat, on a beat, not the last of its line.
 *
 * Where two more sounds follow, the phrase can still close on mi, because la returns to so first; a syllable before
 * the last one serves only in a phrase that stays open, and is given only when there is no other.
 */
export function slurSpots(rhythm: Rhythm, phrases: readonly PhrasePlaces[]): readonly SlurSpot[] {
  const roomy: SlurSpot[] = [];
  const tight: SlurSpot[] = [];
  phrases.forEach(({ phrase, places }, p) => {
    const strophesLast = phrases[p + 1]?.phrase.stanza !== phrase.stanza;
    places.forEach((place, i) => {
      if (!isWholeBeat(place, rhythm.metre.ticksPerBeat)) return;
      if (phrase.notes[place.firstNote]?.syllable === null) return;
      const after = places.length - 1 - i;
      const spot = { phrase: p, note: place.firstNote };
      if (after >= 2) roomy.push(spot);
      else if (after === 1 && !strophesLast) tight.push(spot);
    });
  });
  return roomy.length > 0 ? roomy : tight;
}

/**
 * The phrases with the slur where the draw puts it, or where the easier song of the family has it; as they are when
 * no syllable can bear one.
 */
export function drawSlurs(
  rhythm: Rhythm,
  phrases: readonly PhrasePlaces[],
  spots: readonly SlurSpot[],
  choice: { readonly kept: ReadonlySet<Ticks>; readonly random: Random },
): readonly PhrasePlaces[] {
  if (spots.length === 0) return phrases;
  const onset = (spot: SlurSpot): Ticks => rhythm.phrases[spot.phrase]?.notes[spot.note]?.onset ?? -1;
  const before = spots.filter((spot) => choice.kept.has(onset(spot)));
  const chosen = spots[choice.random() % spots.length];
  const all = before.length > 0 || chosen === undefined ? before : spotsForReturns(rhythm, chosen, spots);
  return phrases.map((own, i) => {
    const spot = all.find(({ phrase }) => phrase === i);
    if (spot === undefined) return own;
    const notes = slurredNotes(own.phrase, spot.note, rhythm.metre.ticksPerBeat);
    return { ...own, notes, places: placesOfNotes(notes, rhythm.metre, rhythm.upbeatTicks) };
  });
}

/** The chosen spot, and the same syllable in every other line with the same words where it can stand too. */
export function spotsForReturns(
  rhythm: Rhythm,
  chosen: SlurSpot,
  spots: readonly SlurSpot[],
): readonly SlurSpot[] {
  const phrase = rhythm.phrases[chosen.phrase];
  if (phrase === undefined) return [];
  const syllable = syllableIndex(phrase, chosen.note);
  return spots.filter((spot) => {
    if (spot.phrase === chosen.phrase) return spot.note === chosen.note;
    const other = rhythm.phrases[spot.phrase];
    return (
      other !== undefined &&
      phrase.wordKeys.length > 0 &&
      other.wordKeys.join(' ') === phrase.wordKeys.join(' ') &&
      syllableIndex(other, spot.note) === syllable
    );
  });
}

/**
 * The phrase's notes with the note at `spot` divided in two under a slur.
 *
 * Half and half in simple time; two thirds and one third (quarter and eighth) in compound time.
 */
export function slurredNotes(
  phrase: RhythmPhrase,
  spot: number,
  ticksPerBeat: Ticks,
): readonly SlurredNote[] {
  return phrase.notes.flatMap((note, i): readonly SlurredNote[] => {
    if (i !== spot) return [{ ...note, slur: null }];
    const compound = ticksPerBeat % 3 === 0 && ticksPerBeat % 480 !== 0;
    const first = compound ? (note.duration * 2) / 3 : note.duration / 2;
    return [
      { ...note, duration: first, breath: false, slur: 'start' },
      { ...note, onset: note.onset + first, duration: note.duration - first, syllable: null, slur: 'stop' },
    ];
  });
}

function isWholeBeat(place: Place, ticksPerBeat: Ticks): boolean {
  return place.strength > 0 && place.firstNote === place.lastNote && place.duration === ticksPerBeat;
}

/** Which syllable of its line begins on that note, from 0. */
function syllableIndex(phrase: RhythmPhrase, note: number): number {
  return phrase.notes.slice(0, note).filter((n) => n.syllable !== null).length;
}
