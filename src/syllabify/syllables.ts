/**
 * Words to syllables: each typed word with its readings, their written parts, and the beats that the teacher gave.
 */
import type { GivenMark, Stress, WordSource } from '../verse.ts';
import type { DraftReading, DraftWord } from './draft.ts';
import { speak } from './speak.ts';
import type { Speaker, Spoken } from './speak.ts';
import type { TypedChar, TypedWord, TypedWords } from './words.ts';
import { writeOut } from './written-out.ts';

export interface SpokenWord {
  readonly draft: DraftWord;
  /** One `on` or `off` for each syllable of the first reading, empty beats between; empty in a plain line. */
  readonly marks: readonly GivenMark[];
}

/** One way to sing a whole typed word, hyphens included; indexes are into its characters. */
interface Way {
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

/**
 * The words of a line, numbers written out.
 *
 * In a line with beat marks the first reading of each word is the one that the marks divide. A line in which every
 * word that needs dividing is divided is taken at its word: a word left whole is one syllable if it ever is.
 */
export function spokenWords(line: TypedWords, speaker: Speaker): readonly SpokenWord[] {
  const words = line.words.flatMap(writeOut).map((typed) => ({ typed, ways: waysOf(typed, speaker) }));
  if (!line.given) return words.map(({ typed, ways }) => ({ draft: draftOf(typed, ways), marks: [] }));
  const exact = words.every(
    ({ typed, ways }) => cutsOf(typed).length > 0 || ways.some((way) => way.starts.length === 1),
  );
  return words.map(({ typed, ways }) => {
    const [chosen, ...others] = asGiven(typed, ways, exact);
    return { draft: draftOf(typed, [chosen, ...others]), marks: marksOf(typed, chosen) };
  });
}

function draftOf(typed: TypedWord, ways: readonly [Way, ...Way[]]): DraftWord {
  const [first, ...others] = ways;
  return {
    text: textOf(typed.chars),
    span: typed.span,
    source: first.source,
    edge: typed.edge,
    key: lettersOf(typed.chars),
    readings: [readingOf(typed.chars, first), ...others.map((way) => readingOf(typed.chars, way))],
  };
}

function readingOf(chars: readonly TypedChar[], way: Way): DraftReading {
  const syllables = way.starts.map((start, index) => ({
    text: textOf(chars.slice(index === 0 ? 0 : start, way.starts[index + 1] ?? chars.length)),
    stress: way.stresses[index] ?? 0,
  }));
  return { syllables, cost: way.cost, rhyme: way.rhyme, phones: way.phones };
}

/** The ways of a word, from the ways of its parts between real hyphens; the usual one first. */
function waysOf(typed: TypedWord, speaker: Speaker): readonly [Way, ...Way[]] {
  const { chars } = typed;
  const whole = speaker.given.get(lettersOf(chars).replaceAll("'", ''));
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

/** Places inside a word where the teacher's marks or its own hyphens cut it. */
function cutsOf(typed: TypedWord): readonly number[] {
  const hyphens = typed.chars.flatMap((char, index) => (char.letter === '-' ? [index + 1] : []));
  const marked = typed.marks.map((mark) => mark.at).filter((at) => at > 0);
  return [...new Set([...marked, ...hyphens])].sort((a, b) => a - b);
}

/** The ways of a word whose line has beat marks: the one that agrees with them first, and then no other. */
function asGiven(typed: TypedWord, ways: readonly [Way, ...Way[]], exact: boolean): readonly [Way, ...Way[]] {
  const cuts = cutsOf(typed);
  const inner = typed.marks.filter((mark) => mark.at > 0);
  if (inner.length === 0) {
    const single = exact && cuts.length === 0 ? ways.find((way) => way.starts.length === 1) : undefined;
    return [single ?? ways[0]];
  }
  const starts = [0, ...cuts];
  const ends = [...cuts, typed.chars.length];
  const divided = inner.some((mark) => mark.divides || mark.empties.length > 0);
  const plausible = ways.find((way) => way.starts.length === starts.length);
  const roomy = (way: Way): boolean =>
    starts.every((start, index) => way.vowels.some((vowel) => vowel >= start && vowel < (ends[index] ?? 0)));
  const whole = (start: number, index: number): boolean =>
    (textOf(typed.chars.slice(start, ends[index])).match(/[aeiouy]+/gi) ?? []).length <= 1;
  if (divided && (plausible !== undefined || starts.every(whole)))
    return [cutAt(starts, plausible ?? ways[0])];
  const fitting = ways.find(roomy);
  return [fitting === undefined ? cutAt(starts, ways[0]) : cutFurther(starts, ends, fitting)];
}

/** A word divided exactly as the teacher wrote it; the stress of each part is that of the vowels in it. */
function cutAt(starts: readonly number[], way: Way): Way {
  const same = way.starts.length === starts.length;
  const stresses = starts.map((start, index): Stress => {
    if (same) return way.stresses[index] ?? 0;
    const inside = way.vowels.flatMap((vowel, v) =>
      vowel >= start && vowel < (starts[index + 1] ?? Infinity) ? [way.stresses[v] ?? 0] : [],
    );
    return inside.reduce<Stress>((best, stress) => (stress > best ? stress : best), 0);
  });
  return {
    ...way,
    starts,
    vowels: same ? way.vowels : starts,
    stresses,
    source: same ? way.source : 'given',
    cost: 0,
  };
}

/** A word whose marks cut it in parts of several syllables: the parts divide as the word itself does. */
function cutFurther(starts: readonly number[], ends: readonly number[], way: Way): Way {
  const all = way.vowels.map((vowel, index) => {
    const part = starts.findIndex((start, i) => vowel >= start && vowel < (ends[i] ?? 0));
    const first = index === 0 || (way.vowels[index - 1] ?? 0) < (starts[part] ?? 0);
    if (first) return starts[part] ?? 0;
    const own = way.starts[index] ?? vowel;
    return own > (starts[part] ?? 0) && own > (way.vowels[index - 1] ?? 0) ? own : vowel;
  });
  return { ...way, starts: all, cost: 0 };
}

/** The teacher's marks for the syllables of the way that they chose. */
function marksOf(typed: TypedWord, way: Way): readonly GivenMark[] {
  return way.starts.flatMap((start): GivenMark[] => {
    const mark = typed.marks.find(({ at }) => at === start);
    const empties = (mark?.empties ?? []).map((sound) => ({ kind: 'empty', sound }) as const);
    return [...empties, { kind: mark?.beat === true ? 'on' : 'off' }];
  });
}

function isLetter(char: TypedChar | undefined): boolean {
  return char !== undefined && /^[a-z?]$/.test(char.letter);
}

function lettersOf(chars: readonly TypedChar[]): string {
  return chars.map((char) => (isLetter(char) || char.letter === "'" ? char.letter : '')).join('');
}

function textOf(chars: readonly TypedChar[]): string {
  return chars.map((char) => char.text).join('');
}
