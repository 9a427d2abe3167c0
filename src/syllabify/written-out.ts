/**
 * Words that are printed otherwise than they are typed: numbers, `&` and titles such as `Mr.` become the words that are
 * sung, and the letter W alone its name, so that the print has as many parts as the voice.
 */
import { isDigit } from './letters.ts';
import { numberWords, ordinalWords } from './numerals.ts';
import type { TypedChar, TypedWord } from './words.ts';

const FRACTIONS: Readonly<Record<string, readonly string[]>> = {
  '½': ['half'],
  '¼': ['a', 'quarter'],
  '¾': ['three', 'quarters'],
};

/** A typed word as the words that are sung: itself, unless it has digits, `&` or is the letter W. */
export function writeOut(word: TypedWord): readonly TypedWord[] {
  if (isLoneW(word.chars)) return respell(word, [['double-u']]);
  const title = titleOf(word);
  if (title !== null) return [title];
  if (!word.chars.some(({ letter }) => letter === '&' || isDigit(letter))) return [word];
  return respell(word, runsOf(word.text).map(sung));
}

/** Titles that are always written short, and said in full. */
const TITLES: Readonly<Record<string, string>> = { mr: 'mister', mrs: 'missus', dr: 'doctor', st: 'saint' };

/** `Mr.` as `Mister`: its full stop ends no phrase. Null for any other word, and for letters in capitals. */
function titleOf(word: TypedWord): TypedWord | null {
  const [, before = '', short = '', after = ''] =
    /^([^a-z]*)([A-Z][a-z]{1,2})\.?([^a-z]*)$/.exec(word.text) ?? [];
  const full = TITLES[short.toLowerCase()];
  if (full === undefined) return null;
  const text = before + (short[0] ?? '') + full.slice(1) + after;
  const marks = word.marks.filter((mark) => mark.at === 0);
  return {
    text,
    chars: Array.from(text, typedChar),
    span: word.span,
    edge: after === '' ? 0 : word.edge,
    marks,
  };
}

/** Whether W is the only letter: its name is longer than it is written. */
function isLoneW(chars: readonly TypedChar[]): boolean {
  return (
    chars.length < 4 &&
    chars
      .filter(({ letter }) => letter !== '')
      .map(({ letter }) => letter)
      .join('') === 'w'
  );
}

/** Runs of digits (with their commas and ordinal ending), of other letters, and of what stands between. */
function runsOf(text: string): readonly string[] {
  return (
    text.match(/[0-9]+(?:,[0-9]{3})*(?:st|nd|rd|th|s|'s|’s)?(?![a-z])|[0-9]+|&|[½¼¾]|[^0-9&½¼¾]+/gi) ?? []
  );
}

/** The sung words of a run, or the run itself as one when it is no number. */
function sung(run: string): readonly string[] {
  const [, digits = '', ending = ''] = /^([0-9,]+)(st|nd|rd|th|s|'s|’s)?$/i.exec(run) ?? [];
  const plain = digits.replaceAll(',', '');
  if (plain !== '') {
    if (ending === '') return numberWords(plain);
    if (!ending.toLowerCase().endsWith('s')) return ordinalWords(plain);
    const words = numberWords(plain);
    const last = words.at(-1) ?? '';
    const plural = last.endsWith('y')
      ? `${last.slice(0, -1)}ies`
      : last.endsWith('x')
        ? `${last}es`
        : `${last}s`;
    return [...words.slice(0, -1), plural];
  }
  if (run === '&') return ['and'];
  return FRACTIONS[run] ?? [run];
}

/** Words in place of one typed word: they share its span; its marks stay with the first, its edge with the last. */
function respell(word: TypedWord, runs: readonly (readonly string[])[]): readonly TypedWord[] {
  const pieces: string[] = [];
  let before = '';
  for (const run of runs) {
    for (const text of run) {
      if (/[\p{L}\p{N}]/u.test(text)) {
        pieces.push(before + text);
        before = '';
      } else if (pieces.length > 0) pieces.push(`${pieces.pop() ?? ''}${text.replace(/-$/, '')}`);
      else before += text;
    }
  }
  return pieces.map((text, index) => ({
    text,
    chars: Array.from(text, typedChar),
    span: word.span,
    edge: index === pieces.length - 1 ? word.edge : 0,
    marks: index === 0 ? word.marks.filter((mark) => mark.at === 0) : [],
  }));
}

function typedChar(text: string): TypedChar {
  const lower = text.toLowerCase();
  const letter = /^[a-z]$/.test(lower)
    ? lower
    : text === '-' || text === "'"
      ? text
      : text === '’'
        ? "'"
        : '';
  return { text, letter: isDigit(text) ? '' : letter };
}
