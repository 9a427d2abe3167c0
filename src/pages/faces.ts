/**
 * Text measured by the widths of the font itself, so that boxes on the page are true on every machine. Letters are set
 * side by side without pair kerning or ligatures; the writers switch both off to agree.
 */
import type { FaceName, TextShape } from './page.ts';
import type { Typeface } from './typeface.ts';

export type Faces = Readonly<Record<FaceName, Typeface>>;

/** A stretch of text that one face can set. */
interface Run {
  readonly face: FaceName;
  readonly text: string;
  readonly widthEm: number;
}

/** Where to look for a letter that a face lacks: the flat sign, say, which the book face has not. */
const FALLBACKS: Readonly<Record<FaceName, readonly FaceName[]>> = {
  book: ['book', 'reader'],
  'book-bold': ['book-bold', 'reader-bold', 'book', 'reader'],
  'book-italic': ['book-italic', 'book', 'reader'],
  reader: ['reader', 'book'],
  'reader-bold': ['reader-bold', 'book-bold', 'reader', 'book'],
};

/** Measures and sets text; made once for all pages of a run. */
export interface Setter {
  /** Advance width. */
  readonly width: (text: string, face: FaceName, sizeMm: number) => number;
  /** The text as shapes from `xMm` on: one, or more where a letter comes from another face. Empty for no text. */
  readonly text: (text: string, style: TextStyle) => readonly TextShape[];
  /** Where the ink of a text lies; null when it has none. */
  readonly ink: (shape: TextShape) => Box | null;
  /** Letters that no face has, each once, in order of first use. */
  readonly missing: (text: string) => readonly string[];
}

export interface TextStyle {
  readonly xMm: number;
  readonly baselineMm: number;
  readonly face: FaceName;
  readonly sizeMm: number;
  /** Which part of the text stands at `xMm`. */
  readonly align?: 'left' | 'centre' | 'right';
}

/** Measures by the given faces. Text is brought to normal form C, white space folded to single spaces. */
export function setterOf(faces: Faces): Setter {
  const known = new Map<FaceName, Map<string, readonly Run[]>>();
  const runsOf = (text: string, face: FaceName): readonly Run[] => {
    const ofFace = known.get(face) ?? new Map<string, readonly Run[]>();
    known.set(face, ofFace);
    const found = ofFace.get(text);
    if (found !== undefined) return found;
    const runs = splitRuns(faces, face, printable(text));
    ofFace.set(text, runs);
    return runs;
  };
  const width = (text: string, face: FaceName, sizeMm: number): number =>
    sizeMm * runsOf(text, face).reduce((sum, run) => sum + run.widthEm, 0);
  return {
    width,
    text: (text, style) => {
      const whole = width(text, style.face, style.sizeMm);
      const back = style.align === 'centre' ? whole / 2 : style.align === 'right' ? whole : 0;
      let xMm = style.xMm - back;
      return runsOf(text, style.face).map((run): TextShape => {
        const { baselineMm, sizeMm } = style;
        const widthMm = run.widthEm * sizeMm;
        const shape: TextShape = {
          kind: 'text',
          xMm,
          baselineMm,
          sizeMm,
          face: run.face,
          text: run.text,
          widthMm,
        };
        xMm += widthMm;
        return shape;
      });
    },
    ink: (shape) => inkOf(shape, faces),
    missing: (text) => [
      ...new Set([...printable(text)].filter((letter) => faceFor(faces, 'book', letter) === null)),
    ],
  };
}

/** White space folded, controls dropped, accents joined to their letters. */
function printable(text: string): string {
  return text
    .toWellFormed()
    .normalize('NFC')
    .replace(/\s+/g, ' ')
    .replace(/\p{Cc}/gu, '');
}

/** The first face that has the letter, or null. */
function faceFor(faces: Faces, wanted: FaceName, letter: string): FaceName | null {
  const codePoint = letter.codePointAt(0) ?? 0;
  // fonts are cut down by a table that ends there
  if (codePoint > 0xffff) return null;
  return FALLBACKS[wanted].find((name) => faces[name].glyphOf(codePoint) !== 0) ?? null;
}

function splitRuns(faces: Faces, wanted: FaceName, text: string): readonly Run[] {
  const runs: Run[] = [];
  for (const letter of text) {
    const face = faceFor(faces, wanted, letter) ?? wanted;
    const { glyphOf, advanceOf, unitsPerEm } = faces[face];
    const widthEm = advanceOf(glyphOf(letter.codePointAt(0) ?? 0)) / unitsPerEm;
    const last = runs.at(-1);
    if (last?.face === face) {
      runs[runs.length - 1] = { face, text: last.text + letter, widthEm: last.widthEm + widthEm };
    } else {
      runs.push({ face, text: letter, widthEm });
    }
  }
  return runs;
}

/** A rectangle on the page. */
export interface Box {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Where the ink of a text lies; null when it has none. */
export function inkOf(shape: TextShape, faces: Faces): Box | null {
  const { glyphOf, advanceOf, boundsOf, unitsPerEm } = faces[shape.face];
  const scale = shape.sizeMm / unitsPerEm;
  let pen = 0;
  let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const letter of shape.text) {
    const glyph = glyphOf(letter.codePointAt(0) ?? 0);
    const bounds = boundsOf(glyph);
    if (bounds !== null) {
      left = Math.min(left, pen + bounds.xMin);
      right = Math.max(right, pen + bounds.xMax);
      low = Math.min(low, bounds.yMin);
      high = Math.max(high, bounds.yMax);
    }
    pen += advanceOf(glyph);
  }
  if (left > right) return null;
  return {
    xMm: shape.xMm + left * scale,
    yMm: shape.baselineMm - high * scale,
    widthMm: (right - left) * scale,
    heightMm: (high - low) * scale,
  };
}

/** True when two boxes share more than an edge. */
export function overlap(a: Box, b: Box): boolean {
  const slack = 1e-6;
  return (
    a.xMm + slack < b.xMm + b.widthMm &&
    b.xMm + slack < a.xMm + a.widthMm &&
    a.yMm + slack < b.yMm + b.heightMm &&
    b.yMm + slack < a.yMm + a.heightMm
  );
}
