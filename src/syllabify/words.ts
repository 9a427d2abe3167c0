/**
 * A line to its words, with the beat marks that the teacher wrote. Written by hand, since general word breakers part
 * `rock-a-bye` at its hyphens and lose the apostrophe of `'tis`.
 */
import type { Problem } from '../problem.ts';
import type { EmptySound, Span, Word } from '../verse.ts';
import { isAccent, isApostrophe, isDash, isDigit, isOpening, isSpace, plainLetter } from './letters.ts';

/** One printed character of a word, accents included. */
export interface TypedChar {
  readonly text: string;
  /** Letter a to z (or `?`) it is looked up by, a digit or a comma among digits, `'` or `-`; empty for other marks. */
  readonly letter: string;
}

/** A place in a word where the teacher wrote a mark, before the character `at`. */
export interface Mark {
  /** Index into the word's characters. */
  readonly at: number;
  /** Written with `-`: the word divides here. */
  readonly divides: boolean;
  /** Written with `|`: the syllable after it falls on a beat. */
  readonly beat: boolean;
  /** Empty beats written before it, in order. */
  readonly empties: readonly EmptySound[];
}

export interface TypedWord {
  /** The characters joined: as typed, without the teacher's marks. */
  readonly text: string;
  /** At least one is a letter, a digit or `&`. */
  readonly chars: readonly TypedChar[];
  readonly span: Span;
  readonly edge: Word['edge'];
  /** By rising `at`; none in a plain line. */
  readonly marks: readonly Mark[];
}

/** A line as words, before anything is known of their sound. */
export interface TypedWords {
  readonly words: readonly TypedWord[];
  /** The line without its marks, spaces folded. */
  readonly text: string;
  /** Whether the line has beat marks. */
  readonly given: boolean;
  /** Empty beats after the last word. */
  readonly trailing: readonly EmptySound[];
  readonly problems: readonly Problem[];
}

interface OpenWord {
  text: string;
  readonly chars: TypedChar[];
  readonly marks: Mark[];
  start: number;
  end: number;
  /** Characters up to the last that is sung. */
  sung: number;
  edge: Word['edge'];
}

/** What has been read of a line so far; lives inside one call of `partWords`. */
interface Scan {
  readonly chars: readonly string[];
  readonly given: boolean;
  readonly number: number;
  /** Index of the next character, and its place in the file as typed. */
  next: number;
  place: number;
  word: OpenWord | null;
  readonly done: OpenWord[];
  /** Marks that wait for the word after them, such as an opening quote, and where they begin. */
  prefix: TypedChar[];
  prefixFrom: number;
  /** The teacher's marks that wait for their syllable, and where they begin. */
  pending: { divides: boolean; beat: boolean; empties: EmptySound[]; from: number };
  text: string;
  readonly problems: Problem[];
}

const nothingPending = (): Scan['pending'] => ({ divides: false, beat: false, empties: [], from: -1 });

/**
 * Part a line into words.
 *
 * @param start where the line begins in the file as typed.
 * @param number number of the line, for problems. Problems: `bad-beat-mark`.
 */
export function partWords(line: string, start: number, number: number): TypedWords {
  const scan: Scan = {
    chars: Array.from(line),
    given: line.includes('|'),
    number,
    next: 0,
    place: start,
    word: null,
    done: [],
    prefix: [],
    prefixFrom: -1,
    pending: nothingPending(),
    text: '',
    problems: [],
  };
  while (scan.next < scan.chars.length) readChar(scan);
  closeWord(scan);
  const { pending, given, problems } = scan;
  if (pending.beat) {
    complain(scan, pending.from, 'A beat is marked here, but no syllable follows it.', EMPTY_HINT);
  }
  const words = scan.done.map(({ text, chars, start: from, end, edge, marks }) => ({
    text,
    chars,
    span: { start: from, end },
    edge,
    marks,
  }));
  return { words, text: scan.text.trim(), given, trailing: pending.empties, problems };
}

const EMPTY_HINT = 'Write |- for a beat on which no syllable begins.';

function complain(scan: Scan, from: number, message: string, hint: string, to: number = scan.place): void {
  const span = { start: from, end: to };
  scan.problems.push({ code: 'bad-beat-mark', severity: 'error', message, line: scan.number, span, hint });
}

/** Read one character, with those that make one mark with it. */
function readChar(scan: Scan): void {
  const char = scan.chars[scan.next] ?? '';
  const from = scan.place;
  scan.next++;
  scan.place += char.length;
  if (scan.given && char === '|') readBar(scan, from);
  else if (isSpace(char)) readSpace(scan);
  else if (char === '-' || char === '‐' || char === '‑') readHyphens(scan, from);
  else {
    scan.text += char;
    if (isDash(char)) readDash(scan, char, from);
    else if (isAccent(char) && scan.word !== null) addAccent(scan, scan.word, char);
    else readOther(scan, char, from);
  }
}

function readBar(scan: Scan, from: number): void {
  const { pending } = scan;
  const next = scan.chars[scan.next] ?? ' ';
  const sound = emptyMark(next, scan.chars[scan.next + 1] ?? ' ');
  if (pending.beat) {
    const message = 'Two beats are marked here, and no syllable stands between them.';
    complain(scan, pending.from, message, 'Write | once before the syllable, or |- for an empty beat.');
  }
  if (pending.from < 0) pending.from = from;
  pending.beat = sound === null;
  if (sound === null) return;
  pending.empties.push(sound);
  scan.next++;
  scan.place += next.length;
}

function readSpace(scan: Scan): void {
  closeWord(scan);
  scan.prefix = [];
  if (scan.text !== '' && !scan.text.endsWith(' ')) scan.text += ' ';
}

/** One hyphen or more: a division, a hyphen of the word, or a dash. */
function readHyphens(scan: Scan, from: number): void {
  const { chars, given, pending, word } = scan;
  let count = 1;
  for (; chars[scan.next] === '-'; scan.next++, scan.place++) count++;
  const after = chars[scan.next] ?? ' ';
  const goesOn = isSung(after) || (given && after === '|');
  if (given && count === 1 && (word !== null || (pending.empties.length > 0 && goesOn))) {
    pending.divides = true;
    if (pending.from < 0) pending.from = from;
  } else if (goesOn && word !== null && count === (given ? 2 : 1)) {
    word.chars.push({ text: '-', letter: '-' });
    word.text += '-';
    word.sung = word.chars.length;
    scan.text += '-';
  } else {
    const dash = '-'.repeat(count);
    scan.text += dash;
    if (count > 1 || word === null) raiseEdge(scan, 2);
    if (word !== null) attach(scan, dash, from, '');
    if (count > 1) closeWord(scan);
  }
}

function readDash(scan: Scan, char: string, from: number): void {
  raiseEdge(scan, 2);
  if (scan.word !== null) attach(scan, char, from, '');
  closeWord(scan);
}

function addAccent(scan: Scan, word: OpenWord, char: string): void {
  const last = word.chars.pop();
  word.chars.push({ text: (last?.text ?? '') + char, letter: last?.letter ?? '' });
  word.text += char;
  word.end = scan.place;
}

function readOther(scan: Scan, char: string, from: number): void {
  const letter = char === '&' || isDigit(char) || groupsDigits(scan, char) ? char : plainLetter(char);
  if (letter !== '') {
    sing(scan, { text: char, letter }, from);
    return;
  }
  attach(scan, char, from, isApostrophe(char) ? "'" : '');
  if ('.!?:;…'.includes(char)) raiseEdge(scan, 2);
  else if (',()[]/'.includes(char)) raiseEdge(scan, 1);
}

/** Whether a comma stands between the thousands of a number: `1,000`. */
function groupsDigits(scan: Scan, char: string): boolean {
  if (char !== ',') return false;
  return /^\d,\d{3}(?!\d)/.test(scan.chars.slice(Math.max(0, scan.next - 2), scan.next + 4).join(''));
}

/** Put a sung character to its word, with the marks that waited for it. */
function sing(scan: Scan, char: TypedChar, from: number): void {
  // A letter after punctuation begins a new word: `one,two`.
  const before = scan.word;
  if (before !== null && before.sung < before.chars.length && isBroken(before)) closeWord(scan);
  const word: OpenWord = scan.word ?? {
    text: scan.prefix.map((mark) => mark.text).join(''),
    chars: scan.prefix,
    marks: [],
    start: scan.prefix.length > 0 ? scan.prefixFrom : from,
    end: from,
    sung: 0,
    edge: 0,
  };
  const { divides, beat, empties, from: markedFrom } = scan.pending;
  if (divides || beat || empties.length > 0) {
    const first = word.sung === 0;
    word.marks.push({ at: first ? 0 : word.chars.length, divides, beat, empties });
    if (first) word.start = Math.min(word.start, markedFrom);
    scan.pending = nothingPending();
  }
  scan.word = word;
  if (scan.prefix.length > 0) scan.prefix = [];
  word.chars.push(char);
  word.text += char.text;
  word.sung = word.chars.length;
  word.end = from + char.text.length;
}

/** Whether punctuation other than an apostrophe stands at the end of a word. */
function isBroken({ chars, sung }: OpenWord): boolean {
  return chars.slice(sung).some(({ letter }) => letter === '');
}

/** Put punctuation to the word before it, or keep it for the word after it. */
function attach(scan: Scan, text: string, from: number, letter: string): void {
  if (scan.word !== null && !isOpening(text)) {
    scan.word.chars.push({ text, letter });
    scan.word.text += text;
    scan.word.end = from + text.length;
    return;
  }
  if (scan.prefix.length === 0) scan.prefixFrom = from;
  scan.prefix.push({ text, letter });
}

function raiseEdge(scan: Scan, edge: Word['edge']): void {
  const word = scan.word ?? scan.done.at(-1);
  if (word !== undefined && edge > word.edge) word.edge = edge;
}

function closeWord(scan: Scan): void {
  const { pending } = scan;
  if (pending.divides) {
    const message = 'A hyphen divides a word here, but no syllable of the word follows it.';
    const hint =
      'Write the whole word without spaces, as in Lon-|don; a hyphen that belongs to the word is doubled.';
    complain(scan, pending.from, message, hint, pending.from + 1);
    pending.divides = false;
  }
  if (scan.word !== null) scan.done.push(scan.word);
  scan.word = null;
}

/** What `|` and the two characters after it say, when they mark a beat without a syllable. */
function emptyMark(next: string, after: string): EmptySound | null {
  if (next === '-') return 'free';
  if (next === '=') return 'held';
  if (next === 'z' && (isSpace(after) || after === '|' || after === '-')) return 'silent';
  return null;
}

function isSung(char: string): boolean {
  return isDigit(char) || isApostrophe(char) || plainLetter(char) !== '';
}
