/**
 * The teacher's own words: `banbury: BAN-bu-ry` gives a word's syllables and stress.
 */
import { failed, made } from '../problem.ts';
import type { Outcome, Problem } from '../problem.ts';
import type { Stress } from '../verse.ts';
import { isApostrophe, plainLetter } from './letters.ts';
import type { Spoken } from './speaker.ts';

/**
 * Read the teacher's words into ways to speak, by the letters of the word alone.
 *
 * Capitals mark the stressed syllable; without capitals the first is stressed. Problem: `words-mismatch`.
 */
export function readGivenWords(
  words: Readonly<Record<string, string>>,
): Outcome<ReadonlyMap<string, Spoken>> {
  const given = new Map<string, Spoken>();
  const problems: Problem[] = [];
  for (const [word, division] of Object.entries(words)) {
    const letters = lettersOf(word);
    const parts = division.split(/[-‐‑·\s]+/).filter((part) => part !== '');
    if (
      letters === '' ||
      parts.length === 0 ||
      lettersOf(division) !== letters ||
      parts.some((part) => lettersOf(part) === '')
    ) {
      problems.push({
        code: 'words-mismatch',
        severity: 'error',
        message: `The word "${word}" is divided as "${division}", which does not have the same letters. Write the word's own letters with a hyphen between syllables and the stressed one in capitals, as in banbury: BAN-bu-ry.`,
        hint: `Check the spelling of "${word}" under words.`,
      });
      continue;
    }
    given.set(letters, spokenAs(letters, parts));
  }
  return problems.length > 0 ? failed(...problems) : made(given);
}

function spokenAs(letters: string, parts: readonly string[]): Spoken {
  const cuts: number[] = [];
  let place = 0;
  for (const part of parts) cuts.push((place += lettersOf(part).length));
  cuts.pop();
  const loud = parts.map((part) => part === part.toUpperCase() && part !== part.toLowerCase());
  const stresses = parts.map((_, index): Stress =>
    (loud.includes(true) ? loud[index] === true : index === 0) ? 2 : 0,
  );
  const vowels = [0, ...cuts].map((start, index) => {
    const offset = letters.slice(start, cuts[index] ?? letters.length).search(/[aeiouy]/);
    return start + Math.max(0, offset);
  });
  const strong = stresses.lastIndexOf(2);
  return {
    cuts,
    stresses,
    vowels,
    phones: [],
    rhyme: letters.slice(vowels[strong] ?? 0),
    cost: 0,
    source: 'given',
  };
}

/** The letters that a word is looked up by, apostrophes and hyphens left out. */
export function lettersOf(word: string): string {
  return Array.from(word.normalize('NFC'), (char) => (isApostrophe(char) ? '' : plainLetter(char))).join('');
}
