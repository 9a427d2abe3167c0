/**
 * Words to syllables: each typed word with its readings, their written parts, and the beats that the teacher gave.
 */
import type { GivenMark } from '../verse.ts';
import type { DraftWord } from './draft.ts';
import { asGiven, cutsOf, marksOf } from './given-marks.ts';
import type { Speaker } from './speaker.ts';
import { knownWord, readingOf } from './ways.ts';
import type { KnownWord, Way } from './ways.ts';
import type { TypedWord, TypedWords } from './words.ts';
import { writeOut } from './written-out.ts';

export interface SpokenWord {
  readonly draft: DraftWord;
  /** One `on` or `off` for each syllable of the first reading, empty beats between; empty in a plain line. */
  readonly marks: readonly GivenMark[];
}

/**
 * The words of a line, numbers written out.
 *
 * In a line with beat marks each word has one reading, the one that the marks divide. A line in which every word that
 * needs dividing is divided is taken at its word: a word left whole is one syllable if it ever is.
 *
 * @param met the words of the rhyme met so far; filled.
 */
export function spokenWords(
  line: TypedWords,
  speaker: Speaker,
  met: Map<string, KnownWord>,
): readonly SpokenWord[] {
  const words = line.words
    .flatMap(writeOut)
    .map((typed) => ({ typed, known: knownWord(typed, speaker, met) }));
  if (!line.given) return words.map(({ typed, known }) => ({ draft: draftOf(typed, known), marks: [] }));
  const exact = words.every(
    ({ typed, known }) => cutsOf(typed).length > 0 || known.ways.some((way) => way.starts.length === 1),
  );
  return words.map(({ typed, known }) => {
    const way = asGiven(typed, known.ways, exact);
    return { draft: draftOf(typed, known, way), marks: marksOf(typed, way) };
  });
}

/** The word with all its readings, or with the one that was chosen. */
function draftOf(typed: TypedWord, known: KnownWord, chosen?: Way): DraftWord {
  return {
    text: known.text,
    span: typed.span,
    source: (chosen ?? known.ways[0]).source,
    edge: typed.edge,
    key: known.key,
    readings: chosen === undefined ? known.readings : [readingOf(typed.chars, chosen)],
  };
}
