/**
 * Which form a text is in: what a reader goes by before it reads.
 */
import { isTonicSolfa } from './tonic-solfa-header.ts';

/** The forms that come in as text. */
export type TextForm = 'rhyme' | 'score' | 'json' | 'musicxml' | 'tonic-solfa';

/** Settings with the key `score`, closed or not, under nothing but remarks. */
const SCORE =
  /^\uFEFF?(?:[ \t]*(?:#[^\r\n]*)?(?:\r\n|\n|\r))*---[ \t]*(?:\r\n|\n|\r)(?:(?!---)[^\r\n]*(?:\r\n|\n|\r))*?["']?score["']?[ \t]*:/;
/** The same under something else, when it is surely ours. */
const OUR_SCORE =
  /^---[ \t]*(?:\r\n|\n|\r)(?:(?!---)[^\r\n]*(?:\r\n|\n|\r))*?["']?score["']?[ \t]*:[ \t]*["']?chantwright/m;

/**
 * The form of a text, by its opening: front matter with the key `score`, a brace, an XML tag, a key line with letters
 * below it; anything else is a rhyme.
 *
 * @example formOf('---\nscore: chantwright 1\n---\n') // => 'score'
 */
export function formOf(text: string): TextForm {
  if (/^\uFEFF?\s*\{/.test(text)) return 'json';
  if (/^\uFEFF?\s*<(?:\?xml|!DOCTYPE|score-)/.test(text)) return 'musicxml';
  if (SCORE.test(text) || OUR_SCORE.test(text)) return 'score';
  if (/^\uFEFF?---[ \t]*[\r\n]/.test(text)) return 'rhyme';
  return isTonicSolfa(text) ? 'tonic-solfa' : 'rhyme';
}
