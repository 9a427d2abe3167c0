/**
 * Text to lines: which lines are sung, which stanza each belongs to, and where each stands in the text as typed.
 */
import { failed, made } from '../problem.ts';
import type { Outcome } from '../problem.ts';
import type { Span } from '../verse.ts';

/** One sung line as typed. */
export interface TypedLine {
  /** Without its line ending. */
  readonly text: string;
  readonly span: Span;
  /** Counts from 1. */
  readonly stanza: number;
}

/** Longest line, in characters. The longest lines of songs in print have about a hundred. */
export const LONGEST_LINE = 1000;

const LINE_END = /\r\n|[\n\r\u0085\u2028\u2029]/g;
/** Characters that no text holds: controls other than tab and page marks, and the mark of undecodable bytes. */

const NOT_TEXT = /[\u0000-\u0008\u000e-\u001a\u001c-\u001f\ufffd]/;

/**
 * Divide a rhyme into its lines. Blank lines divide stanzas; lines beginning with `#` are comments.
 *
 * @param offset where `text` begins in the file as typed; spans count from the file's first character.
 * Problems: `not-text`, `line-too-long`.
 */
export function readLines(text: string, offset: number): Outcome<readonly TypedLine[]> {
  const binary = NOT_TEXT.exec(text);
  if (binary !== null) {
    return failed({
      code: 'not-text',
      severity: 'error',
      message: 'This is not a text file: it holds bytes that no letter has. A rhyme is plain text in UTF-8.',
      span: { start: offset + binary.index, end: offset + binary.index + 1 },
      hint: 'Save the rhyme as plain text (UTF-8), not as a word-processor document.',
    });
  }
  const lines: TypedLine[] = [];
  let stanza = 0;
  let apart = true;
  for (const { line, start } of split(text)) {
    if (line.length > LONGEST_LINE) {
      return failed({
        code: 'line-too-long',
        severity: 'error',
        message: `A line has ${String(line.length)} characters; a line of a rhyme has at most ${String(LONGEST_LINE)}. Each line of text is one phrase of the song.`,
        line: lines.length + 1,
        span: { start: offset + start, end: offset + start + LONGEST_LINE },
        hint: 'Press Enter where each phrase of the rhyme ends.',
      });
    }
    const words = line.replace(/^\ufeff/, '').trim();
    if (words.startsWith('#')) continue;
    if (words === '') {
      apart = true;
      continue;
    }
    if (apart) stanza++;
    apart = false;
    lines.push({ text: line, span: { start: offset + start, end: offset + start + line.length }, stanza });
  }
  return made(lines);
}

function* split(text: string): Generator<{ line: string; start: number }> {
  let start = 0;
  for (const end of text.matchAll(LINE_END)) {
    yield { line: text.slice(start, end.index), start };
    start = end.index + end[0].length;
  }
  yield { line: text.slice(start), start };
}
