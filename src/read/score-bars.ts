/**
 * The bars of a score, one after another: rhythm first, checked against the metre, then letters and syllables put to
 * its notes in their order.
 */
import type { Problem } from '../problem.ts';
import { metreName, ticksPerBar, type Metre, type Ticks } from '../time.ts';
import { readLetters, readSyllables, type Letter, type WrittenSyllable } from './score-letters.ts';
import { rhythmReader, unprintable } from './score-rhythm.ts';
import type { ScoreSettings } from './score-settings.ts';
import type { BarText, Segment } from './score-divided.ts';
import { fault, spanOf } from './score-text.ts';
import type { Sound } from './score-words.ts';

/** A sound with its letter and syllable, before ties, slurs and words are joined over bar lines. */
export interface MarkedNote {
  /** Ticks from the start of the song. */
  readonly onset: Ticks;
  readonly sound: Sound;
  /** Null for a rest, or after a problem. */
  readonly letter: Letter | null;
  readonly syllable: WrittenSyllable | null;
}

/** The notes of each phrase, and the length of the upbeat that the first bar turned out to be. */
export interface ReadBars {
  readonly notes: readonly (readonly MarkedNote[])[];
  readonly upbeatTicks: Ticks;
}

/** Read all bars; those with a problem give no notes. */
export function readBars(bars: readonly BarText[], settings: ScoreSettings, problems: Problem[]): ReadBars {
  const { metre } = settings;
  const readBar = rhythmReader(settings.names, metre);
  const full = ticksPerBar(metre);
  // a score without any words is a tune alone; with some, every note needs its syllable
  const wordless = bars.every((bar) => bar.segments.every((segment) => segment.words === null));
  const notes: MarkedNote[][] = [];
  const slurs: boolean[] = [];
  let upbeatTicks = 0;
  let onset = 0;
  bars.forEach((bar, b) => {
    const isFirst = b === 0;
    const isLast = !isFirst && b === bars.length - 1;
    const ticks = isLast ? full - upbeatTicks : full;
    const before = problems.length;
    const sounds = readBar(bar, { isFirst, ticks }, problems);
    if (sounds === null) return;
    const length = sounds.reduce((sum, sound) => sum + sound.duration, 0);
    const isUpbeat = isFirst && bars.length > 1 && length < full;
    if (isUpbeat) upbeatTicks = length;
    const place: Place = {
      label: isUpbeat ? 'the upbeat' : `bar ${String(upbeatTicks > 0 ? b : b + 1)}`,
      lead: isUpbeat ? full - length : 0,
      metre,
    };
    if (!isUpbeat && length !== ticks) {
      const wrong = { sounds, length, ticks, rhythm: rhythmText(bar), settings };
      problems.push(isLast && upbeatTicks > 0 ? wrongLastBar(wrong, upbeatTicks) : wrongLength(wrong, place));
    }
    const awkward = unprintable(sounds);
    if (awkward !== null) problems.push(awkward);
    bar.segments.forEach((segment, s) => {
      const own = sounds.filter((sound) => sound.segment === s);
      const inSlur = slurs[segment.phrase] === true;
      // one fault at a time: what stands under a wrong rhythm cannot be counted
      const counts = problems.length === before;
      const marked = markNotes(segment, own, { place, onset, inSlur, wordless, counts, problems });
      slurs[segment.phrase] = marked.inSlur;
      (notes[segment.phrase] ??= []).push(...marked.notes);
    });
    onset += length;
  });
  return { notes, upbeatTicks };
}

/** How problems name a place: the bar as singers count it, and beats from 1. */
interface Place {
  readonly label: string;
  /** Ticks of the bar that are left out before its first sound. */
  readonly lead: Ticks;
  readonly metre: Metre;
}

function beatAt(place: Place, at: Ticks): string {
  return `beat ${String(Math.floor((place.lead + at) / place.metre.ticksPerBeat) + 1)}`;
}

function rhythmText(bar: BarText): string {
  return bar.segments.map((segment) => segment.rhythm.text).join(' ');
}

interface WrongBar {
  readonly sounds: readonly Sound[];
  readonly length: Ticks;
  /** What it should be. */
  readonly ticks: Ticks;
  readonly rhythm: string;
  readonly settings: ScoreSettings;
}

function wrongLength(bar: WrongBar, place: Place): Problem {
  const { metre } = place;
  const over = bar.sounds.find((sound) => sound.at + sound.duration > bar.ticks);
  const piece = (over ?? bar.sounds.at(-1))?.piece ?? { text: '', start: 0 };
  const trouble =
    over === undefined
      ? `it ends early, at ${beatAt(place, bar.length)}`
      : `"${piece.text}" at ${beatAt(place, over.at)} runs over`;
  const label = `${place.label.charAt(0).toUpperCase()}${place.label.slice(1)}`;
  const message = `${label} holds ${beats(bar.length, metre)} where ${metreName(metre)} asks for ${beats(bar.ticks, metre)}: ${trouble}.`;
  return fault('bar-length', message, spanOf(piece), lengthHint(bar, over === undefined));
}

function wrongLastBar(bar: WrongBar, upbeatTicks: Ticks): Problem {
  const { metre } = bar.settings;
  const piece = bar.sounds.at(-1)?.piece ?? { text: '', start: 0 };
  const message = `The last bar holds ${beats(bar.length, metre)}, but the upbeat of ${beats(upbeatTicks, metre)} leaves it ${beats(bar.ticks, metre)}: the two make one bar of ${metreName(metre)}.`;
  return fault('upbeat-length', message, spanOf(piece), lengthHint(bar, bar.length < bar.ticks));
}

function lengthHint(bar: WrongBar, tooShort: boolean): string {
  const { names } = bar.settings;
  if (names.kind === 'value' && names.words.twoSixteenths !== null) {
    const { eighth, sixteenth, twoSixteenths } = names.words;
    if (bar.rhythm.replace(/-+/g, '-').includes(`${eighth}-${sixteenth}`)) {
      return `${eighth}-${sixteenth} is an eighth and a sixteenth; two sixteenths are ${twoSixteenths}.`;
    }
  }
  return tooShort
    ? 'Lengthen a note, add a rest, or move the bar line.'
    : 'Shorten or take out a note, or move the bar line.';
}

/** `1 beat`, `1.5 beats`. */
function beats(ticks: Ticks, metre: Metre): string {
  const number = Math.round((ticks / metre.ticksPerBeat) * 100) / 100;
  return `${String(number)} ${number === 1 ? 'beat' : 'beats'}`;
}

interface Marking {
  readonly place: Place;
  /** Of the bar. */
  readonly onset: Ticks;
  /** True when a slur has been opened in a bar before. */
  readonly inSlur: boolean;
  readonly wordless: boolean;
  /** False where letters and syllables are only put to notes, not counted. */
  readonly counts: boolean;
  readonly problems: Problem[];
}

/** Put letters and syllables to the sounds of one segment. */
function markNotes(
  segment: Segment,
  sounds: readonly Sound[],
  marking: Marking,
): { notes: readonly MarkedNote[]; inSlur: boolean } {
  const { problems } = marking;
  const sounding = sounds.filter((sound) => !sound.rest);
  const letters = readLetters(segment.letters, problems);
  if (marking.counts) countLetters(segment, sounding, letters, marking);
  let inSlur = marking.inSlur;
  const sings = sounding.map((_, i) => {
    const letter = letters[i];
    const takes = letter?.kind !== 'tied' && !inSlur;
    if (letter?.opensSlur === true) inSlur = true;
    if (letter?.closesSlur === true) inSlur = false;
    return takes;
  });
  const singing = sounding.filter((_, i) => sings[i]);
  const syllables = segment.words === null ? [] : readSyllables(segment.words);
  // when letters are missing it is not known which notes take a syllable
  if (marking.counts && letters.length === sounding.length)
    countSyllables(segment, singing, syllables, marking);
  const notes = sounds.map((sound): MarkedNote => {
    const letter = letters[sounding.indexOf(sound)] ?? null;
    const syllable = syllables[singing.indexOf(sound)] ?? null;
    return { onset: marking.onset + sound.at, sound, letter, syllable };
  });
  return { notes, inSlur };
}

function countLetters(
  segment: Segment,
  sounding: readonly Sound[],
  letters: readonly Letter[],
  { place, problems }: Marking,
): void {
  const extra = letters[sounding.length];
  const bare = sounding[letters.length];
  if (extra !== undefined) {
    const message = `In ${place.label} stand ${count(letters.length, 'solfa letter')} for ${count(sounding.length, 'note')}; "${extra.piece.text}" has no note.`;
    const hint = 'Take it out, or divide a note in the rhythm. Rests take no letter.';
    problems.push(fault('tones-count', message, spanOf(extra.piece), hint));
  } else if (bare !== undefined) {
    const message = `In ${place.label}, ${beatAt(place, bare.at)}, the note "${bare.piece.text}" has no solfa letter.`;
    const hint = 'Write one beneath it: a hyphen when it is tied to the note before, ? for a tone to be set.';
    problems.push(
      fault('tones-count', message, spanOf(letters.length > 0 ? bare.piece : segment.rhythm), hint),
    );
  }
}

function countSyllables(
  segment: Segment,
  singing: readonly Sound[],
  syllables: readonly WrittenSyllable[],
  { place, problems, wordless }: Marking,
): void {
  const extra = syllables[singing.length];
  const bare = singing[syllables.length];
  if (extra !== undefined) {
    const message = `In ${place.label} stand ${count(syllables.length, 'syllable')} for ${count(singing.length, 'note')}; "${extra.piece.text}" has no note of its own.`;
    const hint =
      'Divide a note in the rhythm, or move the syllable. Tied and slurred notes take no new syllable.';
    problems.push(fault('syllables-count', message, spanOf(extra.piece), hint));
  } else if (bare !== undefined && !(wordless && segment.words === null)) {
    const message = `In ${place.label}, ${beatAt(place, bare.at)}, the note "${bare.piece.text}" has no syllable.`;
    const hint = 'Write one beneath it, or tie (-) or slur (s l) it to the note before.';
    problems.push(fault('syllables-count', message, spanOf(bare.piece), hint));
  }
}

function count(n: number, what: string): string {
  return `${String(n)} ${what}${n === 1 ? '' : 's'}`;
}
