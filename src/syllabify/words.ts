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
  chars: TypedChar[];
  marks: Mark[];
  start: number;
  end: number;
  /** Characters up to the last letter or digit. */
  sung: number;
  edge: Word['edge'];
}

/**
 * Part a line into words.
 *
 * @param start where the line begins in the file as typed.
 * @param number number of the line, for problems. Problems: `bad-beat-mark`.
 */
export function partWords(line: string, start: number, number: number): TypedWords {
  const given = line.includes('|');
  const chars = Array.from(line);
  const done: OpenWord[] = [];
  const problems: Problem[] = [];
  let word: OpenWord | null = null;
  let prefix: TypedChar[] = [];
  let prefixFrom = -1;
  let text = '';
  let place = start;
  let pending = { divides: false, beat: false, empties: [] as EmptySound[], from: -1 };

  const complain = (from: number, to: number, message: string, hint: string): void => {
    problems.push({
      code: 'bad-beat-mark',
      severity: 'error',
      message,
      line: number,
      span: { start: from, end: to },
      hint,
    });
  };
  const close = (): void => {
    if (pending.divides) {
      complain(
        pending.from,
        pending.from + 1,
        'A hyphen divides a word here, but no syllable of the word follows it.',
        'Write the whole word without spaces, as in Lon-|don; a hyphen that belongs to the word is doubled.',
      );
      pending.divides = false;
    }
    if (word !== null) done.push(word);
    word = null;
  };
  const raise = (edge: Word['edge']): void => {
    const target = word ?? done.at(-1);
    if (target !== undefined && edge > target.edge) target.edge = edge;
  };
  const mark = (from: number): void => {
    if (pending.from < 0) pending.from = from;
  };
  const sing = (char: TypedChar, from: number): void => {
    // A letter after punctuation begins a new word: `one,two`.
    if (
      word !== null &&
      word.sung < word.chars.length &&
      word.chars.slice(word.sung).some((c) => c.letter === '')
    )
      close();
    if (word === null)
      word = {
        chars: [...prefix],
        marks: [],
        start: prefix.length > 0 ? prefixFrom : from,
        end: from,
        sung: 0,
        edge: 0,
      };
    const held = pending;
    if (held.beat || held.divides || held.empties.length > 0) {
      const at = word.sung === 0 ? 0 : word.chars.length;
      word.marks.push({ at, divides: held.divides, beat: held.beat, empties: held.empties });
      if (word.sung === 0 && held.from >= 0) word.start = Math.min(word.start, held.from);
      pending = { divides: false, beat: false, empties: [], from: -1 };
    }
    prefix = [];
    word.chars.push(char);
    word.sung = word.chars.length;
    word.end = from + char.text.length;
  };
  const attach = (char: string, from: number, letter = ''): void => {
    if (word !== null && !isOpening(char)) {
      word.chars.push({ text: char, letter });
      word.end = from + char.length;
    } else {
      if (prefix.length === 0) prefixFrom = from;
      prefix.push({ text: char, letter });
    }
  };

  for (let i = 0; i < chars.length; i++) {
    const char = chars[i] ?? '';
    const next = chars[i + 1] ?? ' ';
    const from = place;
    place += char.length;
    if (given && char === '|') {
      const sound = emptyMark(next, chars[i + 2] ?? ' ');
      mark(from);
      if (sound !== null) {
        if (pending.beat)
          complain(
            from - 1,
            place + 1,
            'Two beats are marked here, and no syllable stands between them.',
            'Write |- for a beat on which no syllable begins.',
          );
        pending.empties.push(sound);
        pending.beat = false;
        place += next.length;
        i++;
      } else if (pending.beat) {
        complain(
          pending.from,
          place,
          'Two beat marks stand here with no syllable between them.',
          'Write | once before the syllable, or |- for an empty beat.',
        );
      } else pending.beat = true;
    } else if (isSpace(char)) {
      close();
      prefix = [];
      pending.from = pending.beat || pending.empties.length > 0 ? pending.from : -1;
      if (text !== '' && !text.endsWith(' ')) text += ' ';
    } else if (char === '-' || char === '‐' || char === '‑') {
      let count = 1;
      while ((chars[i + count] ?? '') === '-') count++;
      const after = chars[i + count] ?? ' ';
      const inside =
        (word !== null || pending.empties.length > 0) && (isSung(after) || (given && after === '|'));
      i += count - 1;
      place += count - 1;
      const real = given ? 2 : 1;
      if (given && inside && count === 1) {
        mark(from);
        pending.divides = true;
      } else if (inside && count === real && word !== null) {
        (word as OpenWord).chars.push({ text: '-', letter: '-' });
        (word as OpenWord).sung = (word as OpenWord).chars.length;
        text += '-';
      } else {
        if (given && count === 1 && word !== null) {
          mark(from);
          pending.divides = true;
          continue;
        }
        const dash = '-'.repeat(count);
        text += dash;
        if (count > 1 || word === null) raise(2);
        if (word !== null) attach(dash, from);
        if (count > 1) close();
      }
    } else if (isDash(char)) {
      text += char;
      raise(2);
      if (word !== null) attach(char, from);
      close();
    } else if (isAccent(char) && word !== null) {
      const open: OpenWord = word;
      const last = open.chars.pop();
      open.chars.push({ text: (last?.text ?? '') + char, letter: last?.letter ?? '' });
      open.end = place;
      text += char;
    } else {
      const grouping =
        char === ',' && /^\d,\d{3}(?!\d)/.test(chars.slice(Math.max(0, i - 1), i + 5).join(''));
      const letter = grouping || isDigit(char) || char === '&' ? char : plainLetter(char);
      text += char;
      if (letter !== '') sing({ text: char, letter }, from);
      else if (isApostrophe(char)) attach(char, from, "'");
      else {
        attach(char, from);
        if ('.!?:;…'.includes(char)) raise(2);
        else if (',()[]/'.includes(char)) raise(1);
      }
    }
  }
  close();
  if (pending.beat)
    complain(
      pending.from,
      place,
      'A beat is marked here, but no syllable follows it.',
      'Write |- for a beat on which no syllable begins.',
    );
  const words = done.map((open) => ({
    chars: open.chars,
    span: { start: open.start, end: open.end },
    edge: open.edge,
    marks: open.marks,
  }));
  return { words, text: text.trim(), given, trailing: pending.empties, problems };
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
