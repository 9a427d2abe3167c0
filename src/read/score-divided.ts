/**
 * The phrases of a score as bars of three texts that belong together: rhythm, letters, words. Bar lines decide what
 * belongs together; columns never do.
 */
import type { Problem } from '../problem.ts';
import { fault, spanOf, trimmed, type Piece, type PhraseText, type Row } from './score-text.ts';

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
