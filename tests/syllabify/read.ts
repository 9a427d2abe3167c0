/** The compiled dictionary and short ways to ask about one word, for the tests of this folder. */
import { readFileSync } from 'node:fs';
import { openLexicon, readVerse } from '../../src/syllabify/index.ts';
import type { Lexicon } from '../../src/syllabify/index.ts';
import { linesOf } from '../../src/verse.ts';
import type { Line, Reading, Verse, Word } from '../../src/verse.ts';

export const lexicon: Lexicon = openLexicon(
  readFileSync(new URL('../../dist/pronunciations.bin', import.meta.url)),
);

export function verseOf(text: string, words: Readonly<Record<string, string>> = {}): Verse {
  const read = readVerse(text, { lexicon, words });
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join('\n'));
  return read.value;
}

export function lineOf(text: string): Line {
  const [line] = linesOf(verseOf(text));
  if (line === undefined) throw new Error('no line');
  return line;
}

export function wordOf(text: string): Word {
  const [word] = lineOf(text).words;
  if (word === undefined) throw new Error('no word');
  return word;
}

/** A reading with a dot between its parts, a real hyphen kept: `hick·o·ry`. */
export function parts(reading: Reading): string {
  return reading.syllables.map((syllable) => syllable.text).join('·');
}

/** The usual reading of a word, divided. */
export function divided(text: string): string {
  return parts(wordOf(text).readings[0]);
}

/** The usual reading with the syllables of primary stress in capitals. */
export function stressed(text: string): string {
  return wordOf(text)
    .readings[0].syllables.map((syllable) =>
      syllable.stress === 2 ? syllable.text.toUpperCase() : syllable.text.toLowerCase(),
    )
    .join('·');
}
