/**
 * Which form a text is in: what a reader goes by before it reads.
 */
import { isTonicSolfa } from './tonic-solfa.ts';

/** The forms that come in as text. */
export type TextForm = 'rhyme' | 'score' | 'json' | 'musicxml' | 'tonic-solfa';

/**
 * The form of a text, by its opening: front matter with the key `score`, a brace, an XML tag, a key line with letters
 * below it; anything else is a rhyme.
 *
 * @example formOf('---\nscore: chantwright 1\n---\n') // => 'score'
 */
export function formOf(text: string): TextForm {
  if (/^\uFEFF?\s*\{/.test(text)) return 'json';
  if (/^\uFEFF?\s*<(?:\?xml|!DOCTYPE|score-)/.test(text)) return 'musicxml';
  const matter = /^\uFEFF?---[ \t]*(?:\r\n|\n|\r)([\s\S]*?)^---[ \t]*$/m.exec(text);
  if (matter !== null) return /^["']?score["']?[ \t]*:/m.test(matter[1] ?? '') ? 'score' : 'rhyme';
  return isTonicSolfa(text) ? 'tonic-solfa' : 'rhyme';
}
