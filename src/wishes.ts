/**
 * What may be asked for, in front matter or by a flag, and how each wish is read from its text. A wish that was
 * not spoken is absent; options.ts fills in what is usual.
 */
import { keyFifths, readPitch, type Pitch } from './pitch.ts';
import type { ProblemCode } from './problem.ts';
import type { Rung } from './rung.ts';
import type { FixedLine } from './setting/fixed-tones.ts';
import { VOICES, type VoiceBand } from './setting/keys.ts';
import type { Ladder } from './setting/ladder-file.ts';
import { RHYTHM_LADDER, type RhythmRung } from './setting/rhythm-ladder.ts';
import { RUNGS } from './setting/rungs.ts';
import { nearest } from './suggest.ts';
import { METRES, type Metre, type MetreName } from './time.ts';
import type { Span } from './verse.ts';

/** Takes to make, by number from 1; `first` is not above `last`. */
export interface Takes {
  readonly first: number;
  readonly last: number;
}

/** Wishes as values. Every name but `ladder` is also a key of the front matter; most are flags. */
export interface Wishes {
  /** Name of the song; the first line when not said. */
  readonly title?: string;
  /** Where the rhyme comes from; kept for the page, sets nothing. */
  readonly source?: string;
  /** Pitch of do. */
  readonly do?: Pitch;
  /** Beats a minute, 40 to 208. */
  readonly tempo?: number;
  readonly metre?: Metre;
  /** Beats of every line, 1 to 16. */
  readonly beats?: number;
  /** Word -> its syllables divided by hyphens, the stressed one in capitals: `banbury` -> `BAN-bu-ry`. */
  readonly words?: Readonly<Record<string, string>>;
  /** At least one, in the order asked for. */
  readonly rung?: readonly Rung[];
  /** The rhythms that the class can read: the rhythm ladder up to the one named. At least one. */
  readonly rhythms?: readonly RhythmRung[];
  /** 0 to 4294967295. */
  readonly seed?: number;
  readonly take?: Takes;
  /** Whether so-mi-la may slur two tones on one syllable. */
  readonly slur?: boolean;
  /** Whether the songs of one rhyme on several rungs alter one another as little as they can. */
  readonly family?: boolean;
  /** The class: its comfortable range and its tempo. */
  readonly age?: VoiceBand;
  /** Make the tune so that it fits itself when voices enter so many beats apart, 1 to 64. */
  readonly canon?: number;
  /** Tones that are given for a line. */
  readonly fixed?: readonly FixedLine[];
  /** The ladders that rungs and rhythms are named by. */
  readonly ladder?: Ladder;
}

/** Names of the front matter's keys. */
export type WishName = Exclude<keyof Wishes, 'ladder'>;
/** Wishes that are written as one piece of text; `words` and `fixed` are lists of their own. */
export type TextWishName = Exclude<WishName, 'words' | 'fixed'>;

/** A value, or what is wrong with the text: `part` is where in it, when not all of it. */
export type WishReading<T> =
  | { readonly ok: true; readonly value: T }
  | {
      readonly ok: false;
      readonly code: ProblemCode;
      readonly message: string;
      readonly hint?: string;
      readonly part?: Span;
    };

/** The slowest and the fastest beat that a metronome has marks for (common practice). */
const TEMPO_BPM = { least: 40, most: 208 };
/** Octaves in which do may lie; the voices decide the rest. */
const DO_OCTAVES = { least: 3, most: 5 };
const MOST_BEATS = 16;
const MOST_ENTRY = 64;
const MOST_TAKES = 1000;
const MOST_SEED = 0xffffffff;

/** The ladders of the trade, when a teacher has none of her own. */
export const USUAL_LADDER: Ladder = { tones: RUNGS, rhythms: RHYTHM_LADDER };

/** How the text of each wish is read; rungs and rhythms are named by the ladder. */
export const WISH_READERS: {
  readonly [Name in TextWishName]: (text: string, ladder: Ladder) => WishReading<NonNullable<Wishes[Name]>>;
} = {
  title: readTitle,
  source: readTitle,
  do: readDo,
  tempo: (text) => readNumber(text, 'tempo', 'beats a minute', TEMPO_BPM.least, TEMPO_BPM.most),
  metre: readMetre,
  beats: (text) => readNumber(text, 'beats', 'beats in a line', 1, MOST_BEATS),
  rung: (text, ladder) => readRungs(text, ladder.tones),
  rhythms: (text, ladder) => readRhythms(text, ladder.rhythms),
  seed: (text) => readNumber(text, 'seed', 'any whole number', 0, MOST_SEED),
  take: readTakes,
  slur: (text) => readYesOrNo(text, 'slur'),
  family: (text) => readYesOrNo(text, 'family'),
  age: readAge,
  canon: (text) => readNumber(text, 'canon', 'beats from one voice to the next', 1, MOST_ENTRY),
};

export const WISH_NAMES: readonly WishName[] = [
  ...(Object.keys(WISH_READERS) as TextWishName[]),
  'words',
  'fixed',
];

function wish<T>(value: T): WishReading<T> {
  return { ok: true, value };
}

function no(
  message: string,
  hint?: string,
  part?: Span,
  code: ProblemCode = 'bad-value',
): WishReading<never> {
  return {
    ok: false,
    code,
    message,
    ...(hint === undefined ? {} : { hint }),
    ...(part === undefined ? {} : { part }),
  };
}

function readTitle(text: string): WishReading<string> {
  const title = text.replace(/\s+/g, ' ').trim();
  return title === '' ? no('There is nothing here. Write some words, or leave the line out.') : wish(title);
}

function readDo(text: string): WishReading<Pitch> {
  const accepted = 'do is a letter A to G, b or # where needed, and an octave: D4, F4, Bb3. C4 is middle C.';
  const pitch = readPitch(text);
  if (pitch === null) {
    const withOctave = readPitch(`${text.trim()}4`);
    const hint = withOctave === null ? undefined : `Did you mean ${text.trim()}4?`;
    return no(`"${text}" is no pitch for do. ${accepted}`, hint, undefined, 'unknown-key');
  }
  if (Math.abs(keyFifths(pitch)) > 7) {
    return no(`"${text}" has no key signature. ${accepted}`, undefined, undefined, 'unknown-key');
  }
  if (pitch.octave < DO_OCTAVES.least || pitch.octave > DO_OCTAVES.most) {
    const range = `octave ${String(DO_OCTAVES.least)} to ${String(DO_OCTAVES.most)}`;
    return no(
      `"${text}" lies out of reach of children's voices. do may lie in ${range}.`,
      undefined,
      undefined,
      'unknown-key',
    );
  }
  return wish(pitch);
}

function readMetre(text: string): WishReading<Metre> {
  const names = Object.keys(METRES) as MetreName[];
  const name = names.find((each) => each === text.replace(/\s/g, ''));
  if (name !== undefined) return wish(METRES[name]);
  const near = nearest(text, names);
  const hint = near === null ? undefined : `Did you mean ${near}?`;
  return no(`There is no metre "${text}" here. Metres are ${inWords(names)}.`, hint);
}

function readNumber(
  text: string,
  name: string,
  what: string,
  least: number,
  most: number,
): WishReading<number> {
  const value = /^\s*\d{1,15}\s*$/.test(text) ? Number(text) : NaN;
  if (value >= least && value <= most) return wish(value);
  return no(
    `${name} is ${what}, a whole number from ${String(least)} to ${String(most)}; this is "${text}".`,
  );
}

function readTakes(text: string): WishReading<Takes> {
  const match = /^\s*(\d{1,9})(?:\s*\.\.\s*(\d{1,9}))?\s*$/.exec(text);
  const first = Number(match?.[1] ?? NaN);
  const last = Number(match?.[2] ?? first);
  if (first >= 1 && first <= last && last <= MOST_TAKES) return wish({ first, last });
  return no(`take is a number from 1 to ${String(MOST_TAKES)}, or several as in 1..5; this is "${text}".`);
}

function readYesOrNo(text: string, name: string): WishReading<boolean> {
  const value = { yes: true, true: true, on: true, no: false, false: false, off: false }[
    text.trim().toLowerCase()
  ];
  return value === undefined ? no(`${name} is yes or no; this is "${text}".`) : wish(value);
}

function readAge(text: string): WishReading<VoiceBand> {
  const name = text
    .trim()
    .replace(/^(?:ages?|grades?)\s+/i, '')
    .replace(/\s*[\u2010-\u2013]\s*/, '-');
  const voice = VOICES.find((band) => band.name.toLowerCase() === name.toLowerCase());
  if (voice !== undefined) return wish(voice);
  const names = VOICES.map((band) => band.name);
  const [years = '', ...grades] = names;
  return no(
    `There is no class "${text}" here. Say ${years} for years of age, or ${inWords(grades)} for grades.`,
  );
}

/**
 * Rungs by name: one, several with commas, `first..last` along the ladder, or `all`. Each comes once.
 *
 * @param ladder rungs in teaching order.
 * @example readRungs('so-mi..so-mi-la-do', RUNGS) // the first three rungs
 */
export function readRungs(text: string, ladder: readonly Rung[]): WishReading<readonly Rung[]> {
  const chosen = new Set<Rung>();
  let offset = 0;
  for (const part of text.split(',')) {
    const at = offset + (part.length - part.trimStart().length);
    offset += part.length + 1;
    const reading = readStretch(part.trim(), at, ladder);
    if (!reading.ok) return reading;
    for (const rung of reading.value) chosen.add(rung);
  }
  return wish([...chosen]);
}

function readStretch(text: string, at: number, ladder: readonly Rung[]): WishReading<readonly Rung[]> {
  if (text === 'all') return wish(ladder);
  const dots = text.indexOf('..');
  const first = readRung(dots < 0 ? text : text.slice(0, dots), at, ladder);
  const last = dots < 0 ? first : readRung(text.slice(dots + 2), at + dots + 2, ladder);
  if (!first.ok) return first;
  if (!last.ok) return last;
  if (first.value > last.value) {
    const part = { start: at, end: at + text.length };
    return no(
      `"${text}" runs down the ladder. Write the easier rung first.`,
      undefined,
      part,
      'unknown-rung',
    );
  }
  return wish(ladder.slice(first.value, last.value + 1));
}

function readRhythms(text: string, ladder: readonly RhythmRung[]): WishReading<readonly RhythmRung[]> {
  const names = ladder.map((rung) => rung.name);
  const index = names.indexOf(text.trim());
  if (index >= 0) return wish(ladder.slice(0, index + 1));
  const near = nearest(text.trim(), names);
  const hint = near === null ? undefined : `Did you mean ${near}?`;
  return no(`There is no rhythm "${text}". Name the last one that is taught: ${inWords(names)}.`, hint);
}

/** Place of a rung in the ladder, from 0. */
function readRung(text: string, at: number, ladder: readonly Rung[]): WishReading<number> {
  const name = text.trim();
  const names = ladder.map((rung) => rung.name);
  const index = names.indexOf(name);
  if (index >= 0) return wish(index);
  const near = nearest(name, [...names, 'all']);
  return no(
    `There is no rung "${name}". Rungs are ${inWords(names)}; several with commas, ${names[0] ?? ''}..${names[2] ?? names.at(-1) ?? ''}, or all.`,
    near === null ? undefined : `Did you mean ${near}?`,
    { start: at, end: at + Math.max(1, text.length) },
    'unknown-rung',
  );
}

/** `a, b and c`. */
export function inWords(names: readonly string[]): string {
  const head = names.slice(0, -1).join(', ');
  const last = names.at(-1) ?? '';
  return head === '' ? last : `${head} and ${last}`;
}
