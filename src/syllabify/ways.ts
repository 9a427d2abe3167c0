/**
 * A typed word to the ways it may be sung: the ways of its parts between real hyphens, laid on its characters.
 */
import type { Stress, WordSource } from '../verse.ts';
import type { DraftReading } from './draft.ts';
import { speak } from './speak.ts';
import type { Speaker, Spoken } from './speaker.ts';
import type { TypedChar, TypedWord } from './words.ts';

/** One way to sing a whole typed word, hyphens included; indexes are into its characters. */
export interface Way {
  /** First character of each syllable, rising from 0. */
  readonly starts: readonly number[];
  /** Where each syllable's vowel is written. */
  readonly vowels: readonly number[];
  readonly stresses: readonly Stress[];
  readonly phones: readonly string[];
  readonly rhyme: string;
  readonly cost: number;
  readonly source: WordSource;
}

/** What is known of a word as typed, wherever it stands. */
export interface KnownWord {
  readonly text: string;
  /** Lower-case letters a to z and apostrophes only. */
  readonly key: string;
  /** The usual one first. */
  readonly ways: readonly [Way, ...Way[]];
  /** One for each way. */
  readonly readings: readonly [DraftReading, ...DraftReading[]];
}

/**
 * Find out about a word, or remember what was found when it stood before.
 *
 * @param words what is known of this rhyme's words by their text; filled as they are met.
 */
export function knownWord(typed: TypedWord, speaker: Speaker, words: Map<string, KnownWord>): KnownWord {
  const { text, chars } = typed;
  const known = words.get(text);
  if (known !== undefined) return known;
  const key = lettersOf(chars);
  const ways = waysOf(chars, key, speaker);
  const [first, ...others] = ways;
  const readings = [readingOf(chars, first), ...others.map((way) => readingOf(chars, way))] as const;
  const word: KnownWord = { text, key, ways, readings: [...readings] };
  words.set(text, word);
  return word;
}

/** A way as syllables with their printed texts. */
export function readingOf(chars: readonly TypedChar[], way: Way): DraftReading {
  const syllables = way.starts.map((start, index) => ({
    text: textOf(chars.slice(index === 0 ? 0 : start, way.starts[index + 1] ?? chars.length)),
    stress: way.stresses[index] ?? 0,
  }));
  return { syllables, cost: way.cost, rhyme: way.rhyme, phones: way.phones };
}

/** The ways of a word, from the ways of its parts between real hyphens; the usual one first. */
function waysOf(chars: readonly TypedChar[], key: string, speaker: Speaker): readonly [Way, ...Way[]] {
  const whole = speaker.given.get(key.replaceAll("'", ''));
  if (whole !== undefined) return [wayOf([{ from: 0, to: chars.length, spoken: whole }], chars)];
  const pieces = hyphenPieces(chars).map((piece) => ({
    ...piece,
    ways: speak(speaker, piece.key, isLoud(chars, piece)),
  }));
  const usual = pieces.map(({ from, to, ways }) => ({ from, to, spoken: ways[0] ?? NOTHING }));
  const others = pieces.flatMap(({ ways }, at) =>
    ways.slice(1).map((spoken) =>
      wayOf(
        usual.map((piece, i) => (i === at ? { ...piece, spoken } : piece)),
        chars,
      ),
    ),
  );
  const first = wayOf(usual, chars);
  const distinct = others
    .sort((a, b) => a.cost - b.cost)
    .filter((way, i, all) => all.findIndex((other) => other.starts.length === way.starts.length) === i)
    .filter((way) => way.starts.length !== first.starts.length);
  return [first, ...distinct];
}

/** Whether a part of a word is typed in capitals only, two letters or more. */
function isLoud(
  chars: readonly TypedChar[],
  { from, to }: { readonly from: number; readonly to: number },
): boolean {
  const letters = chars.slice(from, to).filter(isLetter);
  return (
    letters.length > 1 && letters.every(({ text, letter }) => text !== letter && text === text.toUpperCase())
  );
}

const NOTHING: Spoken = {
  cuts: [],
  stresses: [2],
  vowels: [0],
  phones: [],
  rhyme: '',
  cost: 0,
  source: 'rule',
};

interface Piece {
  readonly from: number;
  readonly to: number;
  readonly spoken: Spoken;
}

function wayOf(pieces: readonly Piece[], chars: readonly TypedChar[]): Way {
  const starts: number[] = [];
  const vowels: number[] = [];
  const stresses: Stress[] = [];
  const phones: string[] = [];
  const strongest = pieces.findIndex(({ spoken }) => spoken.stresses.includes(2));
  pieces.forEach(({ from, to, spoken }, at) => {
    const letters: number[] = [];
    for (let i = from; i < to; i++) if (isLetter(chars[i])) letters.push(i);
    starts.push(from, ...spoken.cuts.map((cut) => beforeOwner(chars, letters[cut] ?? to - 1, to)));
    vowels.push(...spoken.vowels.map((vowel) => letters[vowel] ?? to - 1));
    // In a hyphenated word the first strong part is the strongest.
    stresses.push(...spoken.stresses.map((stress): Stress => (stress === 2 && at > strongest ? 1 : stress)));
    phones.push(...spoken.phones);
  });
  starts[0] = 0;
  const spokens = pieces.map(({ spoken }) => spoken);
  return {
    starts,
    vowels,
    stresses,
    phones: spokens.every((spoken) => spoken.phones.length > 0) ? phones : [],
    rhyme: spokens.at(-1)?.rhyme ?? '',
    cost: spokens.reduce((sum, spoken) => sum + spoken.cost, 0),
    source: spokens.find((spoken) => spoken.source !== 'dictionary')?.source ?? 'dictionary',
  };
}

/** The apostrophe of an owner's syllable goes with its s: `fox-'s`. */
function beforeOwner(chars: readonly TypedChar[], start: number, end: number): number {
  const last = !chars.slice(start + 1, end).some(isLetter);
  return last && chars[start]?.letter === 's' && chars[start - 1]?.letter === "'" ? start - 1 : start;
}

/** The parts of a word between its real hyphens; the hyphen stays at the end of its part. */
function hyphenPieces(chars: readonly TypedChar[]): readonly { from: number; to: number; key: string }[] {
  const ends = chars.flatMap((char, index) => (char.letter === '-' ? [index + 1] : []));
  const starts = [0, ...ends];
  const pieces = starts.map((from, index) => {
    const to = starts[index + 1] ?? chars.length;
    return { from, to, key: lettersOf(chars.slice(from, to)) };
  });
  return pieces.filter((piece) => /[a-z?]/.test(piece.key));
}

export function isLetter(char: TypedChar | undefined): boolean {
  if (char === undefined) return false;
  const { letter } = char;
  return (letter >= 'a' && letter <= 'z') || letter === '?';
}

export function lettersOf(chars: readonly TypedChar[]): string {
  return chars.map((char) => (isLetter(char) || char.letter === "'" ? char.letter : '')).join('');
}

export function textOf(chars: readonly TypedChar[]): string {
  return chars.map((char) => char.text).join('');
}
