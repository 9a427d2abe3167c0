/**
 * Systems of staff notation on their way to the page: words cleared of notes and of one another, and every shape moved
 * from the engraver's units to millimetres.
 */
import { STAFF_SPACE, type EngravedShape, type EngravedSystem, type EngravedText } from './engraved.ts';
import { overlap, type Box } from './faces.ts';
import type { PathShape, Shape } from './page.ts';
import type { Sheet } from './sheet.ts';

/** Least room between notes and words, in the engraver's units. */
const WORD_CLEARANCE = 40;

/** Hyphens and held lines shortened where they would run into a word; left out where nothing remains of them. */
export function withoutStrikes(system: EngravedSystem, sheet: Sheet): EngravedSystem {
  const words = system.shapes.filter((shape) => shape.kind === 'text').map((shape) => wordBox(shape, sheet));
  const shapes = system.shapes.flatMap((shape): readonly EngravedShape[] => {
    if (shape.kind !== 'rect') return [shape];
    let [left, right] = [shape.x, shape.x + shape.width];
    for (const word of words) {
      if (word.yMm > shape.y + shape.height || word.yMm + 1.4 * word.heightMm < shape.y) continue;
      const middle = word.xMm + word.widthMm / 2;
      if (middle <= (left + right) / 2) left = Math.max(left, word.xMm + word.widthMm + WORD_CLEARANCE);
      else right = Math.min(right, word.xMm - WORD_CLEARANCE);
    }
    return right - left < 2 * WORD_CLEARANCE ? [] : [{ ...shape, x: left, width: right - left }];
  });
  return { ...system, shapes };
}

/** The box of a word in the engraver's units, from its baseline to the height of its capitals. */
function wordBox(shape: EngravedText, sheet: Sheet): Box {
  const widthMm = sheet.setter.width(shape.text, shape.face, shape.size);
  const back = shape.anchor === 'middle' ? widthMm / 2 : shape.anchor === 'end' ? widthMm : 0;
  const heightMm = 0.7 * shape.size;
  return { xMm: shape.x - back, yMm: shape.y - heightMm, widthMm, heightMm };
}

/** True when two words of a system overlap. */
export function wordsTouch(system: EngravedSystem, sheet: Sheet): boolean {
  const boxes = system.shapes.filter((shape) => shape.kind === 'text').map((shape) => wordBox(shape, sheet));
  return boxes.some((box, i) => boxes.slice(i + 1).some((other) => overlap(box, other)));
}

/**
 * How much lower the words must stand, in the engraver's units, to clear the notes: the engraver does not count the
 * accents of capitals.
 */
export function clearance(system: EngravedSystem, sheet: Sheet): number {
  const outlines = system.shapes.flatMap((shape) => {
    if (shape.kind !== 'outline' || shape.inWords) return [];
    const { left, right, bottom } = shape.ink;
    return [{ left, right, bottom: bottom + shape.stroke / 2 }];
  });
  let lower = 0;
  for (const shape of system.shapes) {
    if (shape.kind !== 'text') continue;
    for (const text of onPage(shape, sheet, 1, { xMm: 0, yMm: 0 })) {
      const ink = text.kind === 'text' ? sheet.setter.ink(text) : null;
      if (ink === null) continue;
      const above = outlines.filter(({ left, right }) => left < ink.xMm + ink.widthMm && right > ink.xMm);
      for (const { bottom } of above) lower = Math.max(lower, bottom + WORD_CLEARANCE - ink.yMm);
    }
  }
  return lower;
}

/** Highest and lowest ink of a system, in the engraver's units, its words lowered by so much. */
export function extent(system: EngravedSystem, lower: number): { top: number; bottom: number } {
  let top = Math.min(...system.staffLines);
  let bottom = Math.max(...system.staffLines);
  for (const shape of system.shapes) {
    if (shape.kind === 'text') {
      bottom = Math.max(bottom, shape.y + 0.26 * shape.size + lower);
      continue;
    }
    if (shape.kind === 'rect') continue;
    top = Math.min(top, shape.ink.top);
    bottom = Math.max(bottom, shape.ink.bottom);
  }
  return { top: top - STAFF_SPACE / 4, bottom };
}

/** Where the engraver's zero stands on the page. */
export interface Origin {
  readonly xMm: number;
  readonly yMm: number;
}

/** A shape of the engraving as shapes of the page. */
export function onPage(shape: EngravedShape, sheet: Sheet, unitMm: number, origin: Origin): readonly Shape[] {
  const xMm = origin.xMm + shape.x * unitMm;
  const yMm = origin.yMm + shape.y * unitMm;
  if (shape.kind === 'text') {
    const align = shape.anchor === 'middle' ? 'centre' : shape.anchor === 'end' ? 'right' : 'left';
    const { face, text } = shape;
    return sheet.setter.text(text, { xMm, baselineMm: yMm, face, sizeMm: shape.size * unitMm, align });
  }
  if (shape.kind === 'rect') {
    const size = { widthMm: shape.width * unitMm, heightMm: shape.height * unitMm };
    return [{ kind: 'rect', xMm, yMm, ...size, filled: true, strokeMm: 0, dashMm: null }];
  }
  const straight = /^M([-\d.]+) ([-\d.]+) L([-\d.]+) ([-\d.]+)$/.exec(shape.outline);
  if (straight !== null && shape.stroke > 0) {
    const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = straight.slice(1).map((value) => Number(value) * unitMm);
    const strokeMm = shape.stroke * unitMm;
    const ends = { x1Mm: xMm + x1, y1Mm: yMm + y1, x2Mm: xMm + x2, y2Mm: yMm + y2 };
    return [{ kind: 'line', ...ends, strokeMm, dashMm: null, cap: 'butt' }];
  }
  const scales = { scaleX: shape.scaleX * unitMm, scaleY: shape.scaleY * unitMm };
  const drawn: PathShape = {
    kind: 'path',
    outline: shape.outline,
    xMm,
    yMm,
    ...scales,
    filled: true,
    strokeMm: 0,
  };
  return [{ ...drawn, strokeMm: shape.stroke * unitMm }];
}
