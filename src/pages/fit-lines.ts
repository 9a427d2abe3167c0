/**
 * Titles and other texts that must fit a width.
 */
import type { Setter } from './faces.ts';
import type { FaceName } from './page.ts';

/**
 * A text in lines that fit the width: smaller before it is broken, broken between words, and smaller yet only where a
 * single word is too wide.
 */
export function fitLines(
  setter: Setter,
  text: string,
  style: {
    readonly face: FaceName;
    readonly sizeMm: number;
    readonly leastMm: number;
    readonly widthMm: number;
  },
): { readonly lines: readonly string[]; readonly sizeMm: number } {
  const { face, widthMm } = style;
  const whole = setter.width(text, face, 1);
  const single = whole === 0 ? style.sizeMm : widthMm / whole;
  if (single >= style.leastMm) return { lines: [text], sizeMm: Math.min(style.sizeMm, single) };
  const words = text.split(/\s+/).filter((word) => word !== '');
  const widest = Math.max(...words.map((word) => setter.width(word, face, 1)));
  const sizeMm = Math.min(style.leastMm, widthMm / widest);
  const lines: string[] = [];
  for (const word of words) {
    const last = lines.at(-1);
    const longer = last === undefined ? word : `${last} ${word}`;
    if (last !== undefined && setter.width(longer, face, sizeMm) <= widthMm + 1e-6)
      lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return { lines, sizeMm };
}
