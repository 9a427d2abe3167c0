/**
 * A drawing of the engraver as systems of shapes, in its own units.
 */
import type { FaceName } from './page.ts';

/** A word of the engraving, in the engraver's units. */
export interface EngravedText {
  readonly kind: 'text';
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly size: number;
  readonly face: FaceName;
  readonly text: string;
}

/** An outline, filled, moved and scaled into place; a straight line when `stroke` is more than 0 and it has no area. */
export interface EngravedOutline {
  readonly kind: 'outline';
  readonly outline: string;
  readonly x: number;
  readonly y: number;
  readonly scaleX: number;
  readonly scaleY: number;
  readonly stroke: number;
  /** Where its ink lies, strokes not counted. */
  readonly ink: EngravedBox;
}

/** Edges in the engraver's units. */
export interface EngravedBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** A filled rectangle: a hyphen, or the line after a word that is held. */
export interface EngravedRect {
  readonly kind: 'rect';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A shape, and whether it belongs to the words under the staff: the words, their hyphens and lines. */
export type EngravedShape = (EngravedText | EngravedOutline | EngravedRect) & { readonly inWords: boolean };

/** One system of staff notation. */
export interface EngravedSystem {
  readonly shapes: readonly EngravedShape[];
  /** The five lines of the staff from top to bottom. */
  readonly staffLines: readonly number[];
  readonly left: number;
  readonly right: number;
}

/** Units from line to line of the staff. */
export const STAFF_SPACE = 180;
