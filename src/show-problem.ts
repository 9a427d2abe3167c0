/**
 * Problem + the text it speaks of -> lines for a person to read, with an excerpt and a caret. Pure; colour comes
 * from the caller as a `Paint`.
 */
import type { Problem, Severity } from './problem.ts';
import type { Span } from './verse.ts';

/** The text that a problem's span counts in. */
export interface Source {
  /** As a person would name it: a path, `standard input`. Null for a single line that speaks for itself, such as a flag. */
  readonly name: string | null;
  /** Null when it could not be read. */
  readonly text: string | null;
}

/** How the parts of a message are dressed; each function gives back the text with or without colour. */
export interface Paint {
  readonly severity: (text: string, severity: Severity) => string;
  readonly caret: (text: string, severity: Severity) => string;
  readonly aside: (text: string) => string;
}

export const PLAIN: Paint = {
  severity: (text) => text,
  caret: (text) => text,
  aside: (text) => text,
};

/** Widest excerpt, in characters; longer lines are cut around the caret. */
const EXCERPT_WIDTH = 76;

/**
 * One problem as text, without a newline at its end.
 *
 * The first line is `severity: source, line L, column C: message`, where L and C count from 1 in the text as typed;
 * then, when the problem has a span, the line itself with carets under the span; then the hint.
 *
 * @example
 * // error: bee.txt, line 2, column 6: There is no metre "7/16" here. ...
 * //   2 | metre: 7/16
 * //     |        ^^^^
 */
export function showProblem(problem: Problem, source: Source, paint: Paint = PLAIN): string {
  const { severity, message, span, hint } = problem;
  const label = paint.severity(`${severity}:`, severity);
  const shown = [];
  if (span === undefined || source.text === null) {
    shown.push(`${label} ${source.name === null ? '' : `${source.name}: `}${message}`);
  } else {
    const place = placeOf(source.text, span);
    const where = `line ${String(place.line)}, column ${String(place.column)}`;
    shown.push(`${label} ${source.name === null ? '' : `${source.name}, ${where}: `}${message}`);
    const number = source.name === null ? '' : `${String(place.line)} `;
    const { text, indent, width } = excerpt(place, span);
    const carets = ' '.repeat(indent) + '^'.repeat(width);
    shown.push(`${paint.aside(`  ${number}|`)} ${text}`);
    shown.push(`${paint.aside(`  ${' '.repeat(number.length)}|`)} ${paint.caret(carets, severity)}`);
  }
  if (hint !== undefined) shown.push(`  ${hint}`);
  return shown.join('\n');
}

interface Place {
  readonly line: number;
  readonly column: number;
  /** The whole line, without its line break. */
  readonly text: string;
  /** Offset of its first character. */
  readonly start: number;
}

function placeOf(text: string, span: Span): Place {
  const offset = Math.min(span.start, text.length);
  const before = text.slice(0, offset);
  const start = Math.max(before.lastIndexOf('\n'), before.lastIndexOf('\r')) + 1;
  const rest = /[\r\n]/.exec(text.slice(offset));
  const end = rest === null ? text.length : offset + rest.index;
  const line = before.split(/\r\n|\n|\r/).length;
  return { line, column: [...text.slice(start, offset)].length + 1, text: text.slice(start, end), start };
}

/** The line cut to a window around the span, and where the carets stand; widths count characters, not UTF-16 units. */
function excerpt(place: Place, span: Span): { text: string; indent: number; width: number } {
  const first = place.column - 1;
  // only the neighbourhood is split into characters: a line may have ten million
  const near = place.text.slice(0, span.end - place.start + EXCERPT_WIDTH);
  const characters = [...near].map((character) => (/\p{Cc}/u.test(character) ? ' ' : character));
  const marked = [...place.text.slice(span.start - place.start, Math.max(0, span.end - place.start))].length;
  const from = characters.length <= EXCERPT_WIDTH ? 0 : Math.max(0, first - EXCERPT_WIDTH / 2);
  const window = characters.slice(from, from + EXCERPT_WIDTH);
  const head = from > 0 ? '...' : '';
  const tail = from + window.length < characters.length || near.length < place.text.length ? '...' : '';
  const indent = first - from + head.length;
  return {
    text: head + window.join('').trimEnd() + tail,
    indent,
    width: Math.max(1, Math.min(marked, window.length - (first - from))),
  };
}
