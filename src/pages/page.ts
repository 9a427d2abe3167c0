/**
 * A laid-out page: shapes at fixed places in millimetres. Layout happens once; the SVG, HTML and PDF writers only
 * draw what stands here, so a page looks the same in each. Nothing here knows music.
 */

/** The letter forms that pages are set in: a book face, and a reader's face for words that stand alone. */
export type FaceName = 'book' | 'book-bold' | 'book-italic' | 'reader' | 'reader-bold';

export const FACE_NAMES: readonly FaceName[] = ['book', 'book-bold', 'book-italic', 'reader', 'reader-bold'];

/** One run of text on one line, from its left end on its baseline. */
export interface TextShape {
  readonly kind: 'text';
  readonly xMm: number;
  readonly baselineMm: number;
  /** Height of the em square. */
  readonly sizeMm: number;
  readonly face: FaceName;
  /** Without line breaks, in Unicode normal form C; every letter is in the face. */
  readonly text: string;
  /** Sum of the advance widths. */
  readonly widthMm: number;
}

export interface LineShape {
  readonly kind: 'line';
  readonly x1Mm: number;
  readonly y1Mm: number;
  readonly x2Mm: number;
  readonly y2Mm: number;
  /** Stroke width. */
  readonly strokeMm: number;
  /** Lengths of dash and gap; null for a whole line. */
  readonly dashMm: number | null;
  readonly cap: 'butt' | 'round';
}

export interface EllipseShape {
  readonly kind: 'ellipse';
  readonly xMm: number;
  readonly yMm: number;
  readonly radiusXMm: number;
  readonly radiusYMm: number;
  /** Clockwise. */
  readonly turnDegrees: number;
  readonly filled: boolean;
  /** Width of the outline; 0 when only filled. */
  readonly strokeMm: number;
}

export interface RectShape {
  readonly kind: 'rect';
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly filled: boolean;
  readonly strokeMm: number;
  readonly dashMm: number | null;
}

/** An outline in SVG path notation, in its own units, moved and scaled into place. */
export interface PathShape {
  readonly kind: 'path';
  readonly outline: string;
  readonly xMm: number;
  readonly yMm: number;
  /** Millimetres to one unit of the outline. */
  readonly scaleX: number;
  readonly scaleY: number;
  readonly filled: boolean;
  /** Stroke width on paper; 0 when only filled. */
  readonly strokeMm: number;
}

export type Shape = TextShape | LineShape | EllipseShape | RectShape | PathShape;

/**
 * What a group of shapes is to a reader who does not see the page: a title, a heading, a paragraph of text, an entry
 * of the contents, a figure told by its words, a place to write in, or decoration that is passed over.
 */
export type GroupRole =
  'title' | 'heading' | 'paragraph' | 'contents-entry' | 'figure' | 'blank' | 'decoration';

export interface Group {
  readonly role: GroupRole;
  /** What a figure or blank shows, in words; null for text, which speaks for itself. */
  readonly alt: string | null;
  readonly shapes: readonly Shape[];
  /** For an entry of the contents: the page that it names, an index from 0 in the set. */
  readonly toPage?: number;
}

/** Distances from the edge of the paper inside which nothing is printed. */
export interface Margins {
  readonly topMm: number;
  readonly rightMm: number;
  readonly bottomMm: number;
  readonly leftMm: number;
}

export interface Page {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly margins: Margins;
  /** In reading order. */
  readonly groups: readonly Group[];
}

/** Pages that belong together in one file. */
export interface PageSet {
  readonly title: string;
  /** BCP 47 language of the words, such as `en`. */
  readonly language: string;
  /** At least one. */
  readonly pages: readonly Page[];
  /** Where each song begins, for the reader's side panel: a page is an index from 0. */
  readonly outline: readonly { readonly title: string; readonly page: number }[];
}

export function line(
  x1Mm: number,
  y1Mm: number,
  x2Mm: number,
  y2Mm: number,
  strokeMm: number,
  style: { readonly dashMm?: number; readonly cap?: 'butt' | 'round' } = {},
): LineShape {
  return {
    kind: 'line',
    x1Mm,
    y1Mm,
    x2Mm,
    y2Mm,
    strokeMm,
    dashMm: style.dashMm ?? null,
    cap: style.cap ?? 'butt',
  };
}

/** A filled disc. */
export function disc(xMm: number, yMm: number, radiusMm: number): EllipseShape {
  const radius = { radiusXMm: radiusMm, radiusYMm: radiusMm };
  return { kind: 'ellipse', xMm, yMm, ...radius, turnDegrees: 0, filled: true, strokeMm: 0 };
}

/** An open circle whose outline lies inside the radius. */
export function ring(xMm: number, yMm: number, radiusMm: number, strokeMm: number): EllipseShape {
  const radius = { radiusXMm: radiusMm - strokeMm / 2, radiusYMm: radiusMm - strokeMm / 2 };
  return { kind: 'ellipse', xMm, yMm, ...radius, turnDegrees: 0, filled: false, strokeMm };
}

/** A path whose outline is already in millimetres of the page. */
export function path(
  outline: string,
  style: { readonly filled?: boolean; readonly strokeMm?: number },
): PathShape {
  const place = { xMm: 0, yMm: 0, scaleX: 1, scaleY: 1 };
  return { kind: 'path', outline, ...place, filled: style.filled ?? false, strokeMm: style.strokeMm ?? 0 };
}

/** A length as SVG, HTML and path notation write it: at most three decimals (a micrometre), no exponent. */
export function mm(value: number): string {
  const rounded = Math.round(value * 1000) / 1000;
  return String(rounded === 0 ? 0 : rounded);
}
