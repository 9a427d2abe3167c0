/**
 * The solfa letters and the syllables of one bar of a score, each in its order; spaces mean nothing to the letters and
 * divide the words.
 */
import { SOLFA_LETTERS, isTone, type Tone } from '../pitch.ts';
import type { Problem } from '../problem.ts';
import { fault, spanOf, type Piece } from './score-text.ts';

/** A solfa letter; `tied` is the hyphen that holds on the note before, `open` the `?` of a tone to be set. */
export type Letter = { readonly piece: Piece; readonly opensSlur: boolean; readonly closesSlur: boolean } & (
  { readonly kind: 'tone'; readonly tone: Tone } | { readonly kind: 'tied' } | { readonly kind: 'open' }
);

/**
 * Read letters such as `s m`, `ss l,`, `(s l) -`. Octave marks are `,` and `'` (also a curly apostrophe, a prime, and
 * raised or lowered 1). `z` may stand under a rest and is passed over. Problems: `tone-name`, `broken-slur`.
 */
export function readLetters(line: Piece, problems: Problem[]): readonly Letter[] {
  const letters: Letter[] = [];
  let opens = false;
  for (const match of line.text.matchAll(
    /[zZ.](?![\p{L}])|\(|\)|-+|\?|\p{L}[,'\u2019\u2032\u00b9\u2081]*|\S/gu,
  )) {
    const piece = { text: match[0], start: line.start + match.index };
    const last = letters.at(-1);
    if (/^[zZ.]$/.test(piece.text)) continue;
    if (piece.text === '(') {
      opens = true;
    } else if (piece.text === ')') {
      if (last !== undefined) letters[letters.length - 1] = { ...last, closesSlur: true };
      else
        problems.push(fault('broken-slur', 'A slur closes here before any note.', spanOf(piece), SLUR_HINT));
    } else {
      const mark = { piece, opensSlur: opens, closesSlur: false };
      const tone = piece.text.replace(/[\u2019\u2032\u00b9]/g, "'").replace(/\u2081/g, ',');
      if (piece.text.startsWith('-')) letters.push({ kind: 'tied', ...mark });
      else if (piece.text === '?') letters.push({ kind: 'open', ...mark });
      else if (isTone(tone)) letters.push({ kind: 'tone', tone, ...mark });
      else {
        problems.push(notSolfa(piece));
        // it stands for a note all the same, so that the letters behind it keep their places
        letters.push({ kind: 'open', ...mark });
      }
      opens = false;
    }
  }
  if (opens) {
    const message = 'A slur opens at the end of a bar, with no note behind it.';
    problems.push(fault('broken-slur', message, spanOf(line), SLUR_HINT));
  }
  return letters;
}

export const SLUR_HINT = 'A slur is two letters or more in round brackets: (s l)';

function notSolfa(piece: Piece): Problem {
  const letters = SOLFA_LETTERS.join(' ');
  const small = piece.text.toLowerCase();
  const hint = isTone(small)
    ? `Write it small: ${small}`
    : /[,']{2,}$/.test(piece.text)
      ? "There is one octave below do and one above: s, and d' are their ends."
      : `Letters are ${letters}, with , for the octave below and ' for the one above.`;
  return fault('tone-name', `"${piece.text}" is not a solfa letter.`, spanOf(piece), hint);
}

/** A syllable as written under a note; `goesOn` when its word does. */
export interface WrittenSyllable {
  readonly text: string;
  readonly goesOn: boolean;
  readonly piece: Piece;
}

/**
 * Read syllables such as `Ket- tle,`, `Ket - tle,` or `Ket-tle,`. A doubled hyphen is a hyphen of the word and divides
 * it too (`Bo--Peep`); a backslash before a character keeps it as a letter; `_` under a held note is passed over.
 * `before` is the last syllable of the bar before, which a hyphen at the start of this one would continue.
 */
export function readSyllables(line: Piece): readonly WrittenSyllable[] {
  const syllables: WrittenSyllable[] = [];
  for (const token of line.text.matchAll(/(?:\\.|[^\s\\])+/gsu)) {
    if (/^_+$/.test(token[0])) continue;
    let text = '';
    let start = token.index;
    for (const part of token[0].matchAll(/\\(.)|(-+)|([^\\-]+)|\\$/gsu)) {
      const [whole, kept, hyphens, letters] = part;
      const at = token.index + part.index;
      if (hyphens === undefined) {
        if (text === '') start = at;
        text += kept ?? letters ?? whole;
        continue;
      }
      const word = `${text}${'-'.repeat(Math.max(0, hyphens.length - 1))}`;
      const last = syllables.at(-1);
      const piece = { text: line.text.slice(start, at + hyphens.length), start: line.start + start };
      if (text !== '') syllables.push({ text: word, goesOn: true, piece });
      else if (last !== undefined && hyphens.length === 1) {
        // a hyphen that stands alone, as in `Ket - tle`
        syllables[syllables.length - 1] = { ...last, goesOn: true };
      }
      text = '';
    }
    if (text !== '') {
      const end = token.index + token[0].length;
      syllables.push({
        text,
        goesOn: false,
        piece: { text: line.text.slice(start, end), start: line.start + start },
      });
    }
  }
  return syllables;
}
