/**
 * Where the ink of a shape lies. Curves are taken by their control points, which never lie inside the curve's box, so
 * the box is never too small.
 */
import { inkOf, type Box, type Faces } from './faces.ts';
import type { Shape } from './page.ts';

/** The box of a shape, strokes included; null for a shape without ink. */
export function inkBox(shape: Shape, faces: Faces): Box | null {
  switch (shape.kind) {
    case 'text':
      return inkOf(shape, faces);
    case 'line': {
      const half = shape.strokeMm / 2;
      const level = shape.cap === 'butt' && shape.y1Mm === shape.y2Mm;
      const upright = shape.cap === 'butt' && shape.x1Mm === shape.x2Mm;
      return around([shape.x1Mm, shape.x2Mm], [shape.y1Mm, shape.y2Mm], level ? 0 : half, upright ? 0 : half);
    }
    case 'ellipse': {
      const turn = (shape.turnDegrees * Math.PI) / 180;
      const across = Math.hypot(shape.radiusXMm * Math.cos(turn), shape.radiusYMm * Math.sin(turn));
      const up = Math.hypot(shape.radiusXMm * Math.sin(turn), shape.radiusYMm * Math.cos(turn));
      const { xMm, yMm } = shape;
      return around([xMm - across, xMm + across], [yMm - up, yMm + up], shape.strokeMm / 2);
    }
    case 'rect':
      return around(
        [shape.xMm, shape.xMm + shape.widthMm],
        [shape.yMm, shape.yMm + shape.heightMm],
        shape.strokeMm / 2,
      );
    case 'path': {
      const points = outlinePoints(shape.outline);
      const xs = points.map(([x]) => shape.xMm + x * shape.scaleX);
      const ys = points.map(([, y]) => shape.yMm + y * shape.scaleY);
      return xs.length === 0 ? null : around(xs, ys, shape.strokeMm / 2);
    }
  }
}

function around(xs: readonly number[], ys: readonly number[], besideMm: number, aboveMm = besideMm): Box {
  const [left, top] = [Math.min(...xs) - besideMm, Math.min(...ys) - aboveMm];
  return {
    xMm: left,
    yMm: top,
    widthMm: Math.max(...xs) + besideMm - left,
    heightMm: Math.max(...ys) + aboveMm - top,
  };
}

type Point = readonly [x: number, y: number];

/** Numbers that each command takes; SVG 1.1, chapter 8. */
const ARGUMENTS: Readonly<Record<string, number>> = { M: 2, L: 2, H: 1, V: 1, C: 6, S: 4, Q: 4, T: 2, Z: 0 };

/**
 * End and control points of a path, in its own units. The reflected control points of `S` and `T` are left out: they
 * lie as far beyond the curve as the last ones lay before it, so the box may be too small by that where a path has
 * them. Arcs are not read.
 */
export function outlinePoints(outline: string): readonly Point[] {
  const points: Point[] = [];
  let [x, y, startX, startY] = [0, 0, 0, 0];
  for (const [, command = 'Z', rest = ''] of outline.matchAll(/([MLHVCSQTZ])([^MLHVCSQTZ]*)/gi)) {
    const numbers = (rest.match(/[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/gi) ?? []).map(Number);
    const name = command.toUpperCase();
    const relative = command !== name;
    const take = ARGUMENTS[name] ?? 0;
    if (name === 'Z') [x, y] = [startX, startY];
    for (let i = 0; take > 0 && i + take <= numbers.length; i += take) {
      const part = numbers.slice(i, i + take);
      const [fromX, fromY] = relative ? [x, y] : [0, 0];
      if (name === 'H') x = fromX + (part[0] ?? 0);
      else if (name === 'V') y = fromY + (part[0] ?? 0);
      else {
        for (let k = 0; k < take; k += 2) points.push([fromX + (part[k] ?? 0), fromY + (part[k + 1] ?? 0)]);
        [x, y] = points.at(-1) ?? [x, y];
      }
      if (name === 'M' && i === 0) [startX, startY] = [x, y];
      points.push([x, y]);
    }
  }
  return points;
}
