/**
 * Text to Verse: stanzas, lines, words, and how each word may be sung. Knows nothing of beats, except those that the
 * teacher wrote herself.
 */
import { failed, made } from '../problem.ts';
import type { Outcome, Problem } from '../problem.ts';
import type { GivenMark, Line, Stanza, Verse } from '../verse.ts';
import type { Lexicon } from './lexicon.ts';
import { readLines } from './lines.ts';
import type { TypedLine } from './lines.ts';
import { readGivenWords } from './given-words.ts';
import { newSpeaker } from './speaker.ts';
import type { Speaker } from './speaker.ts';
import { markProminence } from './stress.ts';
import { spokenWords } from './syllables.ts';
import type { KnownWord } from './ways.ts';
import { partWords } from './words.ts';

export { openLexicon } from './lexicon.ts';
export type { Lexicon } from './lexicon.ts';

export interface ReadVerseOptions {
  readonly lexicon: Lexicon;
  /** The teacher's own syllables and stress by word: `{ banbury: 'BAN-bu-ry' }`. */
  readonly words?: Readonly<Record<string, string>>;
  /** Without it the first line is the title. */
  readonly title?: string;
  /** Where `text` begins in the file as typed; spans count from the file's first character. 0 by default. */
  readonly offset?: number;
}

/**
 * Read a rhyme. Every word gets at least one reading, in the dictionary or not.
 *
 * Problems: `nothing-to-sing`, `not-text`, `line-too-long`, `bad-beat-mark`, `words-mismatch`.
 *
 * @example readVerse('Bee, bee, bumblebee', { lexicon }).value.stanzas[0].lines[0].words.length // => 3
 */
export function readVerse(text: string, options: ReadVerseOptions): Outcome<Verse> {
  const offset = options.offset ?? 0;
  const typed = readLines(text, offset);
  if (!typed.ok) return typed;
  const given = readGivenWords(options.words ?? {});
  if (!given.ok) return given;
  const speaker = newSpeaker(options.lexicon, given.value);
  const met = new Map<string, KnownWord>();
  const problems: Problem[] = [];
  const stanzas = new Map<number, Line[]>();
  let number = 0;
  for (const line of typed.value) {
    const read = readLine(line, number + 1, speaker, met);
    problems.push(...read.problems);
    if (read.line === null) continue;
    number++;
    const stanza = stanzas.get(line.stanza);
    if (stanza === undefined) stanzas.set(line.stanza, [read.line]);
    else stanza.push(read.line);
  }
  if (number === 0) problems.push(nothing(offset, text.length));
  if (problems.some((problem) => problem.severity === 'error')) return failed(...problems);
  const list: Stanza[] = [...stanzas.values()].map((lines, index) => ({
    number: index + 1,
    lines: lines.map((line) => ({ ...line, stanza: index + 1 })),
  }));
  return made({ title: options.title ?? titleFrom(list[0]?.lines[0]?.text ?? ''), stanzas: list }, problems);
}

function readLine(
  line: TypedLine,
  number: number,
  speaker: Speaker,
  met: Map<string, KnownWord>,
): { readonly line: Line | null; readonly problems: readonly Problem[] } {
  const parted = partWords(line.text, line.span.start, number);
  if (parted.problems.length > 0) return { line: null, problems: parted.problems };
  const spoken = spokenWords(parted, speaker, met);
  if (spoken.length === 0) {
    return {
      line: null,
      problems: [
        {
          code: 'nothing-to-sing',
          severity: 'warning',
          message: `This line has no letters, so there is nothing to sing on it; it is left out: ${line.text.trim()}`,
          span: line.span,
          hint: 'Begin the line with # if it is a remark.',
        },
      ],
    };
  }
  const words = markProminence(spoken.map((entry) => entry.draft));
  const given: readonly GivenMark[] | null = parted.given
    ? [
        ...spoken.flatMap((entry) => entry.marks),
        ...parted.trailing.map((sound) => ({ kind: 'empty', sound }) as const),
      ]
    : null;
  return {
    line: { number, stanza: line.stanza, text: parted.text, span: line.span, words, given },
    problems: [],
  };
}

function nothing(offset: number, length: number): Problem {
  return {
    code: 'nothing-to-sing',
    severity: 'error',
    message:
      'There is nothing to sing here: no line has a word. A rhyme is a text with one phrase on each line.',
    span: { start: offset, end: offset + length },
    hint: 'Write the words of the rhyme, one phrase a line; lines that begin with # are remarks.',
  };
}

/** The first line without its closing punctuation. */
function titleFrom(text: string): string {
  return text.replace(/[\s.,;:!?…–—-]+$/u, '');
}
