/**
 * What a pupil's page hides. Something hidden is hidden in every return, so that the repeated tune or line does not
 * give the answer. Decided here once; the pupil's page and the key are drawn from the same decision.
 */
import { momentsOf, placesOf, type Place } from './returns.ts';
import { seededRandom, type Random } from '../random.ts';
import type { Song, SongNote } from '../song.ts';
import { ticksPerBar } from '../time.ts';

export type HiddenPart = 'tones' | 'rhythm' | 'words';

export interface HideWishes {
  /** Null: what suits the page; on a fill page the rung's new tone. */
  readonly part: HiddenPart | null;
  /** Numbers of bars, from 1; the upbeat bar is 0. Null: anywhere. */
  readonly bars: readonly number[] | null;
  /** Hide every so many letters, words or bars. Null: as suits the page. */
  readonly every: number | null;
  readonly seed: number;
}

export interface Blanks {
  readonly part: HiddenPart;
  /** Notes whose tone is hidden, notes and rests whose value is hidden, or notes whose syllable is hidden. */
  readonly notes: ReadonlySet<SongNote>;
}

/** What is hidden together: a letter, a word, or what a phrase has in one bar, with all its returns. */
interface Unit {
  readonly notes: readonly SongNote[];
  /** Bars that it stands in. */
  readonly bars: ReadonlySet<number>;
  readonly isNewTone: boolean;
}

/**
 * What a fill page hides: the rung's new tone everywhere, and as many other places so that not every blank has the same
 * answer. `bars` and `every` choose other places; versions differ by seed.
 */
export function fillBlanks(song: Song, wishes: HideWishes): Blanks {
  return fillChooser(song, wishes)(wishes.seed);
}

/** As `fillBlanks` for any seed; what can be hidden is looked up once. */
export function fillChooser(song: Song, wishes: HideWishes): (seed: number) => Blanks {
  const part = wishes.part ?? 'tones';
  const units = unitsOf(song, part).filter((unit) => isIn(unit, wishes.bars));
  return (seed) => chooseFill(units, { ...wishes, part, seed });
}

function chooseFill(units: readonly Unit[], wishes: HideWishes & { readonly part: HiddenPart }): Blanks {
  const { part } = wishes;
  const random = seededRandom(wishes.seed);
  const chosen =
    wishes.every !== null
      ? everyNth(units, wishes.every, random)
      : wishes.bars !== null
        ? units
        : part === 'tones' && units.some((unit) => unit.isNewTone)
          ? newToneAndOthers(units, random)
          : everyNth(units, part === 'rhythm' ? 2 : 4, random);
  return { part, notes: new Set(chosen.flatMap((unit) => unit.notes)) };
}

/**
 * What a dictation page hides: all of it, or the bars asked for. Of tones and words the first is given, to start from;
 * `helps` more, one in six, are given by seed, so that neighbours have different pages.
 */
export function dictationBlanks(song: Song, wishes: HideWishes, helps: boolean): Blanks {
  return dictationChooser(song, wishes, helps)(wishes.seed);
}

/** As `dictationBlanks` for any seed; what can be hidden is looked up once. */
export function dictationChooser(song: Song, wishes: HideWishes, helps: boolean): (seed: number) => Blanks {
  const part = wishes.part ?? 'tones';
  const all = unitsOf(song, part);
  const units = all.filter((unit) => isIn(unit, wishes.bars));
  return (seed) => {
    const given = new Set<Unit | undefined>(part === 'rhythm' ? [] : [all[0]]);
    const helping = helps ? shuffled(units, seededRandom(seed)).slice(0, Math.ceil(units.length / 6)) : [];
    for (const unit of helping) given.add(unit);
    const chosen = units.length > 1 ? units.filter((unit) => !given.has(unit)) : units;
    return { part, notes: new Set(chosen.flatMap((unit) => unit.notes)) };
  };
}

/** Every hidden word's letters, folded, to keep them from being read elsewhere: in a title, say. */
export function hiddenWords(song: Song, blanks: Blanks): ReadonlySet<string> {
  if (blanks.part !== 'words') return new Set();
  const hidden = wordsOf(song).filter((word) => word.notes.some((note) => blanks.notes.has(note)));
  return new Set(hidden.map((word) => word.key).filter((key) => key !== ''));
}

/** True when a text has one of these words. */
export function saysOneOf(text: string, keys: ReadonlySet<string>): boolean {
  return (
    text.split(/[\s\u2012-\u2015-]+/).some((word) => keys.has(foldWord(word))) || keys.has(foldWord(text))
  );
}

function isIn(unit: Unit, bars: readonly number[] | null): boolean {
  return bars === null || bars.some((bar) => unit.bars.has(bar));
}

function everyNth(units: readonly Unit[], every: number, random: Random): readonly Unit[] {
  const first = units.length === 0 ? 0 : random() % Math.min(every, units.length);
  return units.filter((_, i) => i % every === first);
}

function newToneAndOthers(units: readonly Unit[], random: Random): readonly Unit[] {
  const target = units.filter((unit) => unit.isNewTone);
  const others = units.filter((unit) => !unit.isNewTone);
  const most = Math.min(target.length, Math.floor(others.length / 2));
  const decoys = new Set(shuffled(others, random).slice(0, Math.max(1, most)));
  return units.filter((unit) => unit.isNewTone || decoys.has(unit));
}

function shuffled<T>(items: readonly T[], random: Random): readonly T[] {
  const deck = [...items];
  for (let i = deck.length - 1; i > 0; i--) {
    const k = random() % (i + 1);
    const [a, b] = [deck[i], deck[k]];
    if (a !== undefined && b !== undefined) [deck[i], deck[k]] = [b, a];
  }
  return deck;
}

/** All units of the song in order of their first note; places that return share one. */
function unitsOf(song: Song, part: HiddenPart): readonly Unit[] {
  const pieces: readonly (readonly Place[])[] =
    part === 'words'
      ? wordGroups(song)
      : part === 'tones'
        ? placesOf(song)
            .filter(({ note }) => hasLetter(note))
            .map((place) => [place])
        : barPieces(song);
  const joined = part === 'words' ? pieces : joinReturns(pieces);
  return joined.map((places): Unit => {
    const notes = places.map(({ note }) => note);
    const bars = new Set(notes.map((note) => barOf(song, note)));
    return { notes, bars, isNewTone: part === 'tones' && notes.some((note) => note.tone === song.newTone) };
  });
}

/** A note that has a letter of its own: no rest, and no note that a tie continues. */
export function hasLetter(note: SongNote): boolean {
  return note.tone !== null && note.tie !== 'stop' && note.tie !== 'both';
}

/** Number of the bar in which a note begins: 0 in the upbeat bar. */
export function barOf(song: Song, note: SongNote): number {
  return Math.floor((note.onset - song.upbeatTicks) / ticksPerBar(song.metre)) + 1;
}

/** What each phrase has in each bar. */
function barPieces(song: Song): readonly (readonly Place[])[] {
  const pieces = new Map<string, Place[]>();
  for (const place of placesOf(song)) {
    const key = `${String(place.phraseIndex)} ${String(barOf(song, place.note))}`;
    pieces.set(key, [...(pieces.get(key) ?? []), place]);
  }
  return [...pieces.values()];
}

/** Pieces that share a moment with a return are one. Near linear: each moment joins a piece to the first that had it. */
function joinReturns(pieces: readonly (readonly Place[])[]): readonly (readonly Place[])[] {
  const group = pieces.map((_, i) => i);
  const rootOf = (i: number): number => (group[i] === i ? i : rootOf(group[i] ?? i));
  const firstAt = new Map<string, number>();
  pieces.forEach((piece, i) => {
    for (const moment of piece.flatMap(momentsOf)) {
      const other = firstAt.get(moment);
      if (other === undefined) firstAt.set(moment, i);
      else {
        const [a, b] = [rootOf(i), rootOf(other)];
        group[Math.max(a, b)] = Math.min(a, b);
      }
    }
  });
  const joined = new Map<number, Place[]>();
  pieces.forEach((piece, i) => {
    const root = rootOf(i);
    joined.set(root, [...(joined.get(root) ?? []), ...piece]);
  });
  return [...joined.values()];
}

interface WordOfSong {
  readonly key: string;
  readonly places: readonly Place[];
  readonly notes: readonly SongNote[];
}

/** Words of the song in order; a word is the syllables that share its number in a phrase. */
function wordsOf(song: Song): readonly WordOfSong[] {
  const words = new Map<string, Place[]>();
  for (const place of placesOf(song)) {
    if (place.note.syllable === null) continue;
    const name = `${String(place.phraseIndex)} ${String(place.note.syllable.word)}`;
    words.set(name, [...(words.get(name) ?? []), place]);
  }
  return [...words.values()].map((places) => ({
    key: foldWord(places.map(({ note }) => note.syllable?.text ?? '').join('')),
    places,
    notes: places.map(({ note }) => note),
  }));
}

/** The same word wherever it comes is hidden wherever it comes. */
function wordGroups(song: Song): readonly (readonly Place[])[] {
  const groups = new Map<string, Place[]>();
  for (const { key, places } of wordsOf(song)) groups.set(key, [...(groups.get(key) ?? []), ...places]);
  return [...groups.values()];
}

/** Lower case, letters and digits only. */
function foldWord(word: string): string {
  return word
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\p{N}]/gu, '');
}
