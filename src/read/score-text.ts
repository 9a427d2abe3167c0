/**
 * The body of a score as phrases, each with its label and its rows of three lines: rhythm, letters, words.
 */
import type { Problem, ProblemCode } from '../problem.ts';
import type { Cadence } from '../song.ts';
import type { Span } from '../verse.ts';

/** A piece of the text, with its place in the text as typed. */
export interface Piece {
  readonly text: string;
  /** UTF-16 offset of its first character. */
  readonly start: number;
}

/** Three lines that are read together; words are null when there are none. */
export interface Row {
  readonly rhythm: Piece;
  readonly letters: Piece;
  readonly words: Piece | null;
}

/** A line of the rhyme with what its label says; null where the label is silent. */
export interface PhraseText {
  readonly line: number;
  readonly stanza: number;
  readonly form: string | null;
  readonly cadence: Cadence | null;
  readonly text: string | null;
  /** One row, or more when the line was broken. */
  readonly rows: readonly Row[];
  readonly span: Span;
}

export function fault(code: ProblemCode, message: string, span: Span, hint?: string): Problem {
  return { code, severity: 'error', message, span, ...(hint === undefined ? {} : { hint }) };
}

export function spanOf(piece: Piece): Span {
  return { start: piece.start, end: piece.start + Math.max(1, piece.text.length) };
}

/** A piece without the white space around it. */
export function trimmed(piece: Piece): Piece {
  const text = piece.text.trimStart();
  return { text: text.trimEnd(), start: piece.start + piece.text.length - text.length };
}

/**
 * Take the body of a score apart. Blocks are divided by blank lines; `offset` is where the body begins in the text as
 * typed. Lines that begin with `#` are comments. A block that has no label goes on with the line above it when the
 * score has labels at all; else each block is a line of its own. Problems: `score-label`, `score-rows`.
 */
export function readPhrases(body: string, offset: number, problems: Problem[]): readonly PhraseText[] {
  const blocks = readBlocks(body, offset);
  const labelled = blocks.some(([first]) => first !== undefined && LABEL.test(first.text));
  const phrases: PhraseText[] = [];
  let stanza = 1;
  for (const block of blocks) {
    const [first, ...rest] = block;
    if (first === undefined) continue;
    const heading = /^\s*stanza\s+(\d+)\s*$/i.exec(first.text);
    if (heading !== null) stanza = Number(heading[1]);
    const lines = heading === null ? block : rest;
    const [top, ...below] = lines;
    if (top === undefined) continue;
    const last = phrases.at(-1);
    const isLabel = LABEL.test(top.text) || isHalfLabel(top, problems);
    const row = readRow(isLabel ? below : lines, top, problems);
    if (!isLabel && labelled && last !== undefined) {
      if (row !== null) phrases[phrases.length - 1] = { ...last, rows: [...last.rows, row] };
      continue;
    }
    const label = isLabel ? readLabel(top, problems) : NO_LABEL;
    phrases.push({
      ...label,
      line: label.line ?? (last?.line ?? 0) + 1,
      stanza,
      rows: row === null ? [] : [row],
      span: spanOf(trimmed(top)),
    });
  }
  return phrases;
}

const LABEL = /^\s*line\s+\d/i;
/** `Line one`: meant as a label, and reported. */
function isHalfLabel(top: Piece, problems: Problem[]): boolean {
  if (!/^\s*line\b[^|\u2502\u2551]*$/i.test(top.text)) return false;
  const message = 'This label of a line has no number.';
  problems.push(fault('score-label', message, spanOf(trimmed(top)), LABEL_HINT));
  return true;
}

const LABEL_HINT =
  'A label is: Line, its number, a form letter, open or closed. For example: Line 2   b   closed';
const NO_LABEL = { line: null, form: null, cadence: null, text: null };

function readBlocks(body: string, offset: number): readonly (readonly Piece[])[] {
  const blocks: Piece[][] = [[]];
  for (const match of body.matchAll(/([^\r\n]*)(?:\r\n|\n|\r|$)/g)) {
    const text = match[1] ?? '';
    if (text.trim() === '') blocks.push([]);
    else if (!text.trimStart().startsWith('#')) blocks.at(-1)?.push({ text, start: offset + match.index });
  }
  return blocks.filter((block) => block.length > 0);
}

/** `Line 3   a'   open   words: as typed`; all but the number may be left out. */
function readLabel(
  piece: Piece,
  problems: Problem[],
): { line: number; form: string | null; cadence: Cadence | null; text: string | null } {
  const match = /^\s*line\s+(\d+)[.:]?(.*)$/i.exec(piece.text);
  const line = Number(match?.[1] ?? 0);
  const [, before = '', text = null] = /^(.*?)(?:\swords:\s(.*))?$/.exec(match?.[2] ?? '') ?? [];
  const words = before.split(/[\s,]+/).filter((word) => word !== '');
  const cadence = words.find((word): word is Cadence => word === 'open' || word === 'closed') ?? null;
  const forms = words.filter((word) => word !== cadence);
  if (forms.length > 1) {
    problems.push(
      fault(
        'score-label',
        `"${forms.slice(1).join(' ')}" has no place in the label of a line.`,
        spanOf(trimmed(piece)),
        LABEL_HINT,
      ),
    );
  }
  return { line, form: forms[0] ?? null, cadence, text };
}

function readRow(lines: readonly Piece[], top: Piece, problems: Problem[]): Row | null {
  const [rhythm, letters, words = null, more] = lines;
  if (rhythm === undefined || letters === undefined) {
    const missing = rhythm === undefined ? 'no music' : 'a rhythm but no solfa letters';
    problems.push(
      fault('score-rows', `This line has ${missing}.`, spanOf(trimmed(rhythm ?? top)), ROWS_HINT),
    );
    return null;
  }
  if (more !== undefined) {
    const message = 'A fourth line of text stands here; rhythm, letters and words are three.';
    problems.push(fault('score-rows', message, spanOf(trimmed(more)), ROWS_HINT));
    return null;
  }
  const astray =
    words === null && isWords(letters)
      ? ([letters, 'Words stand here in place of solfa letters.'] as const)
      : isLetters(rhythm)
        ? ([rhythm, 'Solfa letters stand here in place of the rhythm.'] as const)
        : null;
  if (astray !== null) {
    problems.push(fault('score-rows', astray[1], spanOf(trimmed(astray[0])), ROWS_HINT));
    return null;
  }
  return { rhythm: withHyphens(rhythm), letters: withHyphens(letters), words };
}

/** Dashes that a mail program made of hyphens, as hyphens; every character keeps its place. */
function withHyphens(piece: Piece): Piece {
  return { ...piece, text: piece.text.replace(/[\u2010-\u2015\u2212]/g, '-') };
}

/** More than half of what stands here has letters that no tone has. */
function isWords({ text }: Piece): boolean {
  const tokens = text.split(/[\s|\u2502\u2551]+/).filter((token) => token !== '');
  const words = tokens.filter((token) => /[^drmfsltz,'\u2019?()_-]/i.test(token));
  return tokens.length > 1 && words.length * 2 > tokens.length;
}

/** Nothing but tones stands here. */
function isLetters({ text }: Piece): boolean {
  const tokens = text.split(/[\s|\u2502\u2551]+/).filter((token) => token !== '');
  return tokens.length > 0 && tokens.every((token) => /^[drmfslt][,']?$/.test(token));
}

const ROWS_HINT =
  'Beneath one another stand the rhythm, the solfa letters and the words; then a blank line before the next.';
