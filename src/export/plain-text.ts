/**
 * Words under letters in plain text: what the score and the tonic sol-fa forms have in common.
 */
import type { NoteSyllable } from '../song.ts';

/**
 * A syllable as written under its note: a hyphen when its word goes on, a hyphen of the word doubled, and a backslash
 * before what would be taken for a mark of the form. `''` for none.
 *
 * @example writtenSyllable({ text: 'Bo-', word: 0, division: 'begin' }) // => 'Bo--'
 */
export function writtenSyllable(syllable: NoteSyllable | null): string {
  if (syllable === null) return '';
  const { text, division } = syllable;
  const goesOn = division === 'begin' || division === 'middle';
  const hyphen = goesOn && text.length > 1 && text.endsWith('-');
  const escaped = (hyphen ? text.slice(0, -1) : text).replace(/[\\|\u2502\u2551#_\s-]/g, '\\$&');
  return `${escaped}${hyphen ? '-' : ''}${goesOn ? '-' : ''}`;
}

/** Characters that a text takes on a line: letters with their accents count once. */
export function shownWidth(text: string): number {
  if (/^[\x20-\x7e]*$/.test(text)) return text.length;
  return [...text.replace(/\p{M}/gu, '')].length;
}
