/**
 * The body of a score as phrases, and each phrase as bars of three texts that belong together: rhythm, letters, words.
 * Bar lines decide what belongs together; columns never do.
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
    const isLabel = LABEL.test(top.text);
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
        'A label is: Line, its number, a form letter, open or closed. For example: Line 2   b   closed',
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
  return { rhythm, letters, words };
}

const ROWS_HINT =
  'Beneath one another stand the rhythm, the solfa letters and the words; then a blank line before the next.';

/** What stands between two bar lines in one row, in all three texts. */
export interface Segment {
  /** Index of its phrase. */
  readonly phrase: number;
  readonly rhythm: Piece;
  readonly letters: Piece;
  readonly words: Piece | null;
}

/** One bar: mostly one segment, two when a line of the rhyme ends inside it. */
export interface BarText {
  readonly segments: readonly Segment[];
  /** True when a bar line stands in front of it; false for an upbeat. */
  readonly afterLine: boolean;
}

/**
 * Divide phrases at their bar lines. A line that ends with a bar line and a next one that begins with one mean the
 * same bar line. Problem: `bar-lines-differ` where the three lines of a row have not the same number of them.
 */
export function divideBars(phrases: readonly PhraseText[], problems: Problem[]): readonly BarText[] {
  const bars: { segments: Segment[]; afterLine: boolean }[] = [{ segments: [], afterLine: false }];
  phrases.forEach((phrase, p) => {
    for (const row of phrase.rows) {
      const rhythm = atBarLines(row.rhythm);
      const letters = atBarLines(row.letters);
      const words = row.words === null ? null : atBarLines(row.words);
      if (letters.length !== rhythm.length || (words !== null && words.length !== rhythm.length)) {
        problems.push(barLinesDiffer(row, rhythm.length - 1, letters.length - 1));
        continue;
      }
      rhythm.forEach((piece, i) => {
        if (i > 0) {
          const empty = bars.at(-1)?.segments.length === 0;
          // at the edge of a row the bar line may be drawn twice
          if (empty && i > 1) problems.push(emptyBar(piece));
          if (empty) bars[bars.length - 1] = { segments: [], afterLine: true };
          else bars.push({ segments: [], afterLine: true });
        }
        const segment = {
          phrase: p,
          rhythm: piece,
          letters: letters[i] ?? piece,
          words: words?.[i] ?? null,
        };
        const texts = [segment.rhythm, segment.letters, segment.words];
        if (texts.some((each) => each !== null && each.text !== '')) bars.at(-1)?.segments.push(segment);
      });
    }
  });
  return bars.filter((bar) => bar.segments.length > 0);
}

/** The texts between the bar lines of a line; a backslash takes a bar line's meaning away, and two are one double line. */
function atBarLines(line: Piece): readonly Piece[] {
  const pieces: Piece[] = [];
  let from = 0;
  for (const match of line.text.matchAll(/\\.|[|\u2502]{1,2}|\u2551/gu)) {
    if (match[0].startsWith('\\')) continue;
    pieces.push({ text: line.text.slice(from, match.index), start: line.start + from });
    from = match.index + match[0].length;
  }
  pieces.push({ text: line.text.slice(from), start: line.start + from });
  return pieces.map(trimmed);
}

function barLinesDiffer(row: Row, inRhythm: number, inLetters: number): Problem {
  const lettersDiffer = inLetters !== inRhythm;
  const line = lettersDiffer || row.words === null ? row.letters : row.words;
  const seen = atBarLines(line).length - 1;
  const message = `The ${lettersDiffer ? 'solfa' : 'words'} line has ${barLines(seen)}, the rhythm line above it ${barLines(inRhythm)}.`;
  return fault(
    'bar-lines-differ',
    message,
    spanOf(trimmed(line)),
    'Draw each bar line through all three lines.',
  );
}

function barLines(count: number): string {
  return count === 1 ? '1 bar line' : `${String(count)} bar lines`;
}

function emptyBar(piece: Piece): Problem {
  const span = { start: Math.max(0, piece.start - 1), end: piece.start };
  return fault(
    'bar-length',
    'Between these two bar lines stands no rhythm.',
    span,
    'A silent bar has its rests: z z',
  );
}
