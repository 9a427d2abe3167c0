/**
 * Song -> the letter notation of the tonic sol-fa movement (J. Curwen, 19th century), as plain text.
 *
 * After K. Gehrkens, "Music Notation and Terminology" (1914), note on tonic sol-fa, and the article in Grove's
 * "Dictionary of Music and Musicians" (1889): `|` before the strong pulse, `:` before the others, `!` here for the short
 * bar of the middle accent; `.` halves a pulse, `,` quarters it; `-` holds on; nothing is silence; a line under letters
 * joins those sung to one syllable. Not to be said in this notation: form, rung, breaths, line and stanza numbers.
 */
import { pitchOf, readPitch, type Pitch, type Tone } from '../pitch.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';
import { isTiedOn, songEnd, ticksIntoBar } from './bars.ts';
import { shownWidth, writtenSyllable } from './plain-text.ts';

export interface TonicSolfaOptions {
  /** False for plain ASCII: `s_1`, `d^1` and round brackets in place of `s₁`, `d¹` and a line beneath. */
  readonly unicode?: boolean;
}

/**
 * Write a song in tonic sol-fa letters: title, key, speed, then two lines of text for each phrase.
 *
 * @example
 * // Key D.  M. 112.
 * //
 * // |s    :m    |s    :m    |
 * //  Ket-  tle,  ket-  tle
 */
export function writeTonicSolfa(song: Song, options: TonicSolfaOptions = {}): string {
  const look = options.unicode === false ? ASCII : UNICODE;
  const blocks = song.phrases.map((phrase, p) =>
    phraseLines(song, phrase, { look, last: p === song.phrases.length - 1 }),
  );
  return `${[headerLines(song), ...blocks].map((block) => block.join('\n')).join('\n\n')}\n`;
}

/** How octaves and slurs are drawn. */
interface Look {
  readonly low: string;
  readonly high: string;
  /** Draws a sign with its mark as part of a slur. */
  readonly slur: (mark: string, letter: string, place: SlurPlace) => string;
}

type SlurPlace = 'first' | 'inside' | 'last';

const ASCII: Look = {
  low: '_1',
  high: '^1',
  slur: (mark, letter, place) =>
    `${mark}${place === 'first' ? '(' : ''}${letter}${place === 'last' ? ')' : ''}`,
};
const UNICODE: Look = {
  low: '\u2081',
  high: '\u00b9',
  slur: (mark, letter, place) => (place === 'first' ? mark + underlined(letter) : underlined(mark + letter)),
};

function underlined(text: string): string {
  return text.replace(/[^ ]/gu, '$&\u0332');
}

function headerLines(song: Song): readonly string[] {
  const doPitch = readPitch(song.do);
  if (doPitch === null) throw new RangeError(`"${song.do}" is not a pitch.`);
  const lah = song.home.startsWith('l') ? `  Lah is ${keyName(pitchOf('l,', doPitch))}.` : '';
  const octave = doPitch.octave - usualOctave(doPitch);
  const mark = octave < 0 ? '_1'.repeat(-octave) : '^1'.repeat(octave);
  return [song.title, `Key ${keyName(doPitch)}${mark}.${lah}  M. ${String(song.tempoBpm)}.`];
}

/** Keys from C to G have their do in the octave of middle C, A and B below it: where children sing. Common practice. */
function usualOctave(pitch: Pitch): number {
  return pitch.letter === 'A' || pitch.letter === 'B' ? 3 : 4;
}

/** `E flat`, `F sharp`: words, for the signs are not in every font. */
function keyName({ letter, alter }: Pitch): string {
  return `${letter}${alter < 0 ? ' flat' : alter > 0 ? ' sharp' : ''}`;
}

/** A sixteenth, the smallest part of a pulse. */
const SLOT_TICKS: Ticks = 120;

/** What sounds in one smallest part of a pulse. */
interface Slot {
  readonly at: Ticks;
  readonly state: 'start' | 'held' | 'silent';
  readonly note: SongNote;
}

const SILENCE: SongNote = {
  onset: 0,
  duration: SLOT_TICKS,
  tone: null,
  pitch: null,
  syllable: null,
  slur: null,
  tie: null,
  breath: null,
};

function slotsOf(note: SongNote): readonly Slot[] {
  return Array.from({ length: note.duration / SLOT_TICKS }, (_, k): Slot => {
    const held = k > 0 || isTiedOn(note);
    const state = note.tone === null ? 'silent' : held ? 'held' : 'start';
    return { at: note.onset + SLOT_TICKS * k, state, note };
  });
}

/** A sign with the mark in front of it. */
interface Sign {
  readonly mark: string;
  readonly letter: string;
  readonly slot: Slot;
}

function phraseLines(song: Song, phrase: SongPhrase, is: { look: Look; last: boolean }): readonly string[] {
  const signs = phraseSigns(song, phrase, is);
  let music = '';
  let words = '';
  let inSlur = false;
  signs.forEach(({ mark, letter, slot }, i) => {
    const starts = slot.state === 'start';
    const { slur } = slot.note;
    const opens = starts && slur === 'start';
    const closes = starts && slur === 'stop';
    const place: SlurPlace | null = opens ? 'first' : inSlur ? (closes ? 'last' : 'inside') : null;
    inSlur = opens || (inSlur && !closes);
    const shown = place === null ? mark + letter : is.look.slur(mark, letter, place);
    const word = starts ? writtenSyllable(slot.note.syllable) : '';
    // no blank may come between `.` and `,`: together they hold a note on for three quarters of its pulse
    const next = signs[i + 1]?.mark ?? '';
    const least = shownWidth(shown) + (/[|:!]/.test(next) ? 1 : 0);
    const size = Math.max(least, word === '' ? 0 : shownWidth(mark + word) + 1);
    music += shown + ' '.repeat(size - shownWidth(shown));
    words += ' '.repeat(shownWidth(mark)) + word;
    words += ' '.repeat(size - shownWidth(mark + word));
  });
  const end = phrase.notes.at(-1);
  const endsBar = end !== undefined && ticksIntoBar(song, end.onset + end.duration) === 0;
  music = `${music.trimEnd()} ${is.last ? '||' : endsBar ? '|' : ''}`;
  return words.trim() === '' ? [music.trimEnd()] : [music.trimEnd(), words.trimEnd()];
}

function phraseSigns(
  song: Song,
  phrase: SongPhrase,
  { look, last }: { look: Look; last: boolean },
): readonly Sign[] {
  const pulse: Ticks = song.metre.beatClass === 'simple' ? 480 : 240;
  const slots = phrase.notes.flatMap(slotsOf);
  // a song with an upbeat may end inside a pulse: silence shows where
  for (let end = songEnd(song); last && ticksIntoBar(song, end) % pulse !== 0; end += SLOT_TICKS) {
    slots.push({ at: end, state: 'silent', note: SILENCE });
  }
  const signs: Sign[] = [];
  for (let i = 0; i < slots.length;) {
    const into = ticksIntoBar(song, slots[i]?.at ?? 0);
    const length = (pulse - (into % pulse)) / SLOT_TICKS;
    signs.push(...pulseSigns(song, slots.slice(i, i + length), { into, pulse, look }));
    i += length;
  }
  return signs;
}

/**
 * The signs of one pulse, or of the part of it that lies in this phrase; `into` is where the first slot stands in its
 * bar. A half that only goes on is written where its quarters must be told apart, or where the phrase ends in it.
 */
function pulseSigns(
  song: Song,
  slots: readonly Slot[],
  by: { into: Ticks; pulse: Ticks; look: Look },
): readonly Sign[] {
  const from = (by.into % by.pulse) / SLOT_TICKS;
  const half = by.pulse / SLOT_TICKS / 2;
  const begins = (k: number): boolean => {
    const [slot, before] = [slots[k - from], slots[k - from - 1]];
    if (slot === undefined || before === undefined) return slot !== undefined;
    return slot.state === 'start' || (slot.state === 'silent') !== (before.state === 'silent');
  };
  const hasQuarters = half === 2 && (begins(1) || begins(3) || from + slots.length === 3);
  return slots.flatMap((slot, i): readonly Sign[] => {
    const k = from + i;
    if (!begins(k) && !(k === half && hasQuarters)) return [];
    const inner = k === half ? '.' : ',';
    const mark =
      k === 0 ? pulseMark(song, by.into) : slot.at === 0 ? `:${k > half ? '. ' : ''}${inner}` : inner;
    const letter =
      slot.state === 'start'
        ? letterOf(slot.note.tone ?? 'd', by.look)
        : slot.state === 'held'
          ? k === half && half === 2 && begins(3)
            ? ''
            : '-'
          : half === 2 && (k === 1 || (k === 2 && begins(3)))
            ? ' '
            : '';
    return [{ mark, letter, slot }];
  });
}

/** The strong pulse, the middle accent of longer bars (every third pulse of a compound one), any other pulse. */
function pulseMark(song: Song, into: Ticks): string {
  if (into === 0) return '|';
  const { metre } = song;
  const accents =
    metre.beatClass === 'compound' ? 720 : beatsPerBar(metre) === 4 ? ticksPerBar(metre) / 2 : 0;
  return accents > 0 && into % accents === 0 ? '!' : ':';
}

function letterOf(tone: Tone, look: Look): string {
  return tone.replace(',', look.low).replace("'", look.high);
}
