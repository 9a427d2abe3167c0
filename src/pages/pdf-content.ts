/**
 * Shapes as PDF content: the operators of ISO 32000-1, chapters 8 and 9, in millimetres from the top left corner of the
 * page. Written directly, since pdfkit's drawing calls would cost more than all the rest of a page.
 */
import { mm, type FaceName, type PathShape, type Shape, type TextShape } from './page.ts';

/** The glyphs of a text in a face, as hexadecimal, and what the page calls the font. */
export type EncodeText = (face: FaceName, text: string) => { readonly font: string; readonly hex: string };

/** Turns shapes into operators; keeps the outlines it has translated, for a page of notes draws few many times. */
export type ContentWriter = (shape: Shape) => string;

export function contentWriter(encode: EncodeText): ContentWriter {
  const known = new Map<string, string>();
  const outlineOperators = (outline: string): string => {
    const found = known.get(outline);
    if (found !== undefined) return found;
    const operators = pathOperators(outline);
    known.set(outline, operators);
    return operators;
  };
  return (shape) => {
    switch (shape.kind) {
      case 'text':
        return textOperators(shape, encode);
      case 'line': {
        const cap = shape.cap === 'round' ? 1 : 0;
        const ends = `${mm(shape.x1Mm)} ${mm(shape.y1Mm)} m ${mm(shape.x2Mm)} ${mm(shape.y2Mm)} l`;
        return `${String(cap)} J ${dashed(shape.dashMm, `${mm(shape.strokeMm)} w ${ends} S`)}`;
      }
      case 'rect': {
        const box = `${mm(shape.xMm)} ${mm(shape.yMm)} ${mm(shape.widthMm)} ${mm(shape.heightMm)} re`;
        return dashed(shape.dashMm, painted(box, shape));
      }
      case 'ellipse': {
        const turn = (shape.turnDegrees * Math.PI) / 180;
        const [cos, sin] = [factor(Math.cos(turn)), factor(Math.sin(turn))];
        const place = `${cos} ${sin} ${factor(-Math.sin(turn))} ${cos} ${mm(shape.xMm)} ${mm(shape.yMm)} cm`;
        return `q ${place} ${painted(ellipseOperators(shape.radiusXMm, shape.radiusYMm), shape)} Q`;
      }
      case 'path':
        return placedPath(shape, outlineOperators(shape.outline));
    }
  };
}

function textOperators(shape: TextShape, encode: EncodeText): string {
  const { font, hex } = encode(shape.face, shape.text);
  // the page counts downwards, so letters are turned over once more
  const place = `1 0 0 -1 ${mm(shape.xMm)} ${mm(shape.baselineMm)} Tm`;
  return `BT /${font} ${mm(shape.sizeMm)} Tf ${place} <${hex}> Tj ET`;
}

function placedPath(shape: PathShape, operators: string): string {
  const { xMm, yMm, scaleX, scaleY } = shape;
  const strokeMm = scaleX === 0 ? 0 : shape.strokeMm / Math.abs(scaleX);
  const place = `${factor(scaleX)} 0 0 ${factor(scaleY)} ${mm(xMm)} ${mm(yMm)} cm`;
  return `q ${place} ${painted(operators, { filled: shape.filled, strokeMm })} Q`;
}

/** A factor needs more digits than a length. */
function factor(value: number): string {
  return String(Math.round(value * 1e6) / 1e6 + 0);
}

function painted(path: string, style: { readonly filled: boolean; readonly strokeMm: number }): string {
  if (style.strokeMm <= 0) return `${path} f`;
  return `0 J ${mm(style.strokeMm)} w ${path} ${style.filled ? 'B' : 'S'}`;
}

function dashed(dashMm: number | null, operators: string): string {
  return dashMm === null ? operators : `[${mm(dashMm)}] 0 d ${operators} [] 0 d`;
}

/** How far the control points of a quarter circle lie, for a radius of 1. */
const QUARTER = 0.5522848;

function ellipseOperators(radiusX: number, radiusY: number): string {
  const [x, y, cx, cy] = [mm(radiusX), mm(radiusY), mm(QUARTER * radiusX), mm(QUARTER * radiusY)];
  const minus = (length: string): string => (length === '0' ? '0' : `-${length}`);
  return [
    `${x} 0 m`,
    `${x} ${cy} ${cx} ${y} 0 ${y} c`,
    `${minus(cx)} ${y} ${minus(x)} ${cy} ${minus(x)} 0 c`,
    `${minus(x)} ${minus(cy)} ${minus(cx)} ${minus(y)} 0 ${minus(y)} c`,
    `${cx} ${minus(y)} ${x} ${minus(cy)} ${x} 0 c h`,
  ].join(' ');
}

/** Numbers that each command of SVG path notation takes (SVG 1.1, chapter 8). */
const ARGUMENTS: Readonly<Record<string, number>> = { M: 2, L: 2, H: 1, V: 1, C: 6, S: 4, Q: 4, T: 2, Z: 0 };

/**
 * SVG path notation as PDF path operators; quadratic curves become cubic ones.
 * @throws RangeError for arcs, which nothing here draws.
 */
export function pathOperators(outline: string): string {
  const out: string[] = [];
  let [x, y, startX, startY, controlX, controlY] = [0, 0, 0, 0, 0, 0];
  let before = '';
  for (const [, command = 'Z', rest = ''] of outline.matchAll(/([a-z])([^a-z]*(?:e[-+]?\d+[^a-z]*)*)/gi)) {
    const name = command.toUpperCase();
    const take = ARGUMENTS[name];
    if (take === undefined) throw new RangeError(`A path has the command ${command}.`);
    const numbers = (rest.match(/[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/gi) ?? []).map(Number);
    const [dx, dy] = command === name ? [0, 0] : [1, 1];
    if (name === 'Z') {
      out.push('h');
      [x, y] = [startX, startY];
      before = name;
    }
    for (let i = 0; take > 0 && i + take <= numbers.length; i += take) {
      const at = (k: number): number => (numbers[i + k] ?? 0) + (k % 2 === 0 ? dx * x : dy * y);
      let points: readonly number[];
      if (name === 'H') points = [(numbers[i] ?? 0) + dx * x, y];
      else if (name === 'V') points = [x, (numbers[i] ?? 0) + dy * y];
      else points = Array.from({ length: take }, (_, k) => at(k));
      const [endX = x, endY = y] = points.slice(-2);
      // S and T begin with the last control point turned round the current one
      const [mirrorX, mirrorY] =
        'CSQT'.includes(before) && before !== '' ? [2 * x - controlX, 2 * y - controlY] : [x, y];
      if (name === 'M' && i === 0) {
        out.push(`${mm(endX)} ${mm(endY)} m`);
        [startX, startY] = [endX, endY];
      } else if (name === 'C' || name === 'S') {
        const controls = name === 'C' ? points.slice(0, 4) : [mirrorX, mirrorY, ...points.slice(0, 2)];
        out.push(`${[...controls, endX, endY].map(mm).join(' ')} c`);
        [controlX, controlY] = [controls[2] ?? x, controls[3] ?? y];
      } else if (name === 'Q' || name === 'T') {
        const [qx = x, qy = y] = name === 'Q' ? points : [mirrorX, mirrorY];
        const thirds = [
          x + (2 / 3) * (qx - x),
          y + (2 / 3) * (qy - y),
          endX + (2 / 3) * (qx - endX),
          endY + (2 / 3) * (qy - endY),
        ];
        out.push(`${[...thirds, endX, endY].map(mm).join(' ')} c`);
        [controlX, controlY] = [qx, qy];
      } else {
        out.push(`${mm(endX)} ${mm(endY)} l`);
      }
      [x, y] = [endX, endY];
      before = name;
    }
  }
  return out.join(' ');
}
