/** Rhymes placed from their text, for the tests of placement. */
import { readFileSync } from 'node:fs';
import { writeNotation } from '../../src/export/notation.ts';
import type { Placement } from '../../src/placement.ts';
import type { Problem } from '../../src/problem.ts';
import { placeBeats, type PlacementOptions } from '../../src/setting/placement.ts';
import { openLexicon, readVerse, type Lexicon } from '../../src/syllabify/index.ts';
import type { Verse } from '../../src/verse.ts';

export const lexicon: Lexicon = openLexicon(
  readFileSync(new URL('../../dist/pronunciations.bin', import.meta.url)),
);

export function verseOf(text: string): Verse {
  const read = readVerse(text, { lexicon });
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join('\n'));
  return read.value;
}

const FREE: PlacementOptions = { beatClass: null, beats: null };

export function placed(text: string, options: Partial<PlacementOptions> = {}): Placement {
  const outcome = placeBeats(verseOf(text), { ...FREE, ...options });
  if (!outcome.ok) throw new Error(outcome.problems.map((problem) => problem.message).join('\n'));
  return outcome.value;
}

export function problemsOf(text: string, options: Partial<PlacementOptions> = {}): readonly Problem[] {
  return placeBeats(verseOf(text), { ...FREE, ...options }).problems;
}

/** The rhyme with its beats marked, one string a line. */
export function marked(text: string, options: Partial<PlacementOptions> = {}): readonly string[] {
  return writeNotation(placed(text, options)).trimEnd().split(/\n+/);
}
