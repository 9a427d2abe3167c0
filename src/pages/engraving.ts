/**
 * The engraver's drawing as shapes of our own. verovio draws a page as SVG in its own units; here its outlines, lines
 * and words become shapes of the page, system by system, so that the same writers draw them and the same tests measure
 * them. Reads what verovio writes, not any SVG.
 */
import type {
  EngravedBox,
  EngravedOutline,
  EngravedRect,
  EngravedShape,
  EngravedSystem,
  EngravedText,
} from './engraved.ts';
import { outlinePoints } from './outline-bounds.ts';
import type { FaceName } from './page.ts';

interface Frame {
  readonly tag: string;
  readonly kind: string;
  readonly x: number;
  readonly y: number;
  readonly italic: boolean;
  readonly bold: boolean;
  readonly size: number;
  readonly inWords: boolean;
}

/** A `text` element while it is read. */
interface Word {
  readonly x: number;
  readonly y: number;
  readonly anchor: EngravedText['anchor'];
  readonly runs: { readonly text: string; readonly frame: Frame }[];
}

/** What stands in the drawing but not on our page: bar numbers, the name of the part, the tempo, notes for machines. */
const LEFT_OUT = new Set(['mNum', 'label', 'labelAbbr', 'tempo', 'pgHead', 'pgFoot']);

/**
 * Read the systems of a drawing.
 * @throws RangeError when there is no system in it.
 */
export function readEngraving(svg: string): readonly EngravedSystem[] {
  const outlines = readDefinitions(svg);
  const boxes = boxFinder();
  const systems: { shapes: EngravedShape[]; lines: number[]; left: number; right: number }[] = [];
  const frames: Frame[] = [];
  let word: Word | null = null;
  let depthLeftOut = 0;
  for (const [, close, tag = '', attributes = '', empty, words] of svg.matchAll(
    /<(\/?)([a-zA-Z]+)([^>]*?)(\/?)>|([^<]+)/g,
  )) {
    if (words !== undefined) {
      const top = frames.at(-1);
      const text = unescapeMarkup(words);
      if (word !== null && top?.tag === 'tspan' && top.size > 0 && depthLeftOut === 0)
        word.runs.push({ text, frame: top });
      continue;
    }
    if (close === '/') {
      const closed = frames.pop();
      if (closed !== undefined && isLeftOut(closed)) depthLeftOut -= 1;
      if (tag === 'text') {
        const shape = word === null ? null : wordShape(word);
        if (shape !== null) systems.at(-1)?.shapes.push(shape);
        word = null;
      }
      continue;
    }
    const frame = openFrame(tag, attributes, frames.at(-1));
    if (frame.kind === 'system' && empty !== '/')
      systems.push({ shapes: [], lines: [], left: Infinity, right: -Infinity });
    const system = systems.at(-1);
    if (tag === 'text' && empty !== '/') {
      const [x, y] = [frame.x + numberOf(attributes, 'x'), frame.y + numberOf(attributes, 'y')];
      word = { x, y, anchor: anchorOf(attributes), runs: [] };
    }
    if (system !== undefined && depthLeftOut === 0) {
      const shape = outlineShape(tag, attributes, frame, { outlines, boxOf: boxes });
      if (shape !== null) system.shapes.push({ ...shape, inWords: frame.inWords });
      if (tag === 'path' && frames.at(-1)?.kind === 'staff') noteStaffLine(system, attributes, frame);
    }
    if (empty === '/') continue;
    frames.push(frame);
    if (isLeftOut(frame)) depthLeftOut += 1;
  }
  if (systems.length === 0) throw new RangeError('The engraver drew no system.');
  return systems.map(({ shapes, lines, left, right }) => ({
    shapes,
    staffLines: [...new Set(lines)].sort((a, b) => a - b),
    left,
    right,
  }));
}

function isLeftOut({ tag, kind }: Frame): boolean {
  return tag === 'title' || tag === 'style' || tag === 'desc' || tag === 'defs' || LEFT_OUT.has(kind);
}

/** Glyph outlines by the name that `use` calls them. verovio draws them upwards and turns them over. */
function readDefinitions(svg: string): ReadonlyMap<string, string> {
  const end = svg.indexOf('</defs>');
  const outlines = new Map<string, string>();
  for (const [, id = '', outline = ''] of svg
    .slice(0, end)
    .matchAll(/<g id="([^"]+)">\s*<path transform="scale\(1,-1\)" d="([^"]*)"/g)) {
    outlines.set(id, outline);
  }
  return outlines;
}

function openFrame(tag: string, attributes: string, parent: Frame | undefined): Frame {
  const [, x = '0', y = '0'] = /transform="translate\(([-\d.]+)[, ]+([-\d.]+)\)"/.exec(attributes) ?? [];
  const kind = (textOf(attributes, 'class') ?? '').split(' ')[0] ?? '';
  const size = /font-size="([\d.]+)px"/.exec(attributes)?.[1];
  return {
    tag,
    kind,
    x: (parent?.x ?? 0) + (tag === 'g' ? Number(x) : 0),
    y: (parent?.y ?? 0) + (tag === 'g' ? Number(y) : 0),
    italic: attributes.includes('font-style="italic"') || (parent?.italic ?? false),
    bold: attributes.includes('font-weight="bold"') || (parent?.bold ?? false),
    size: size === undefined ? (parent?.size ?? 0) : Number(size),
    inWords: kind === 'verse' || (parent?.inWords ?? false),
  };
}

/** verovio's sign for an underscore in the words. */
const UNDERSCORE = /\uE551/g;

/** The runs of a word joined, in the face and size of the first; null when there is nothing to see. */
function wordShape({ x, y, anchor, runs }: Word): EngravedShape | null {
  const text = runs
    .map((run) => run.text)
    .join('')
    .replace(UNDERSCORE, '_')
    .trim();
  const frame = runs[0]?.frame;
  if (frame === undefined || text === '') return null;
  const face: FaceName = frame.italic ? 'book-italic' : frame.bold ? 'book-bold' : 'book';
  return { kind: 'text', x, y, anchor, size: frame.size, face, text, inWords: frame.inWords };
}

interface Placing {
  readonly x: number;
  readonly y: number;
  readonly scaleX: number;
  readonly scaleY: number;
}

/** Boxes of outlines in their own units, each worked out once: a page of notes has few different ones. */
function boxFinder(): (outline: string) => EngravedBox {
  const known = new Map<string, EngravedBox>();
  return (outline) => {
    const found = known.get(outline);
    if (found !== undefined) return found;
    let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
    for (const [x, y] of outlinePoints(outline)) {
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.min(top, y);
      bottom = Math.max(bottom, y);
    }
    const box = { left, top, right, bottom };
    known.set(outline, box);
    return box;
  };
}

function placed(box: EngravedBox, { x, y, scaleX, scaleY }: Placing): EngravedBox {
  const [a, b] = [y + box.top * scaleY, y + box.bottom * scaleY];
  return {
    left: x + box.left * scaleX,
    right: x + box.right * scaleX,
    top: Math.min(a, b),
    bottom: Math.max(a, b),
  };
}

function outlineShape(
  tag: string,
  attributes: string,
  frame: Frame,
  {
    outlines,
    boxOf,
  }: { readonly outlines: ReadonlyMap<string, string>; readonly boxOf: (outline: string) => EngravedBox },
): EngravedOutline | EngravedRect | null {
  const put = (
    outline: string,
    stroke: number,
    { x, y, scaleX, scaleY }: Placing = { x: 0, y: 0, scaleX: 1, scaleY: 1 },
  ): EngravedOutline => {
    const place = { x: frame.x + x, y: frame.y + y, scaleX, scaleY };
    return { kind: 'outline', outline, ...place, stroke, ink: placed(boxOf(outline), place) };
  };
  switch (tag) {
    case 'use': {
      const name = textOf(attributes, 'xlink:href')?.slice(1) ?? '';
      const place = /translate\(([-\d.]+)[, ]+([-\d.]+)\) scale\(([-\d.]+)[, ]+([-\d.]+)\)/.exec(attributes);
      const [x, y, scaleX, scaleY] = (place?.slice(1) ?? ['0', '0', '1', '1']).map(Number);
      const placing = { x: x ?? 0, y: y ?? 0, scaleX: scaleX ?? 1, scaleY: -(scaleY ?? 1) };
      return put(outlines.get(name) ?? '', 0, placing);
    }
    case 'path':
      return put(textOf(attributes, 'd') ?? '', numberOf(attributes, 'stroke-width'));
    case 'polygon': {
      const points = (textOf(attributes, 'points') ?? '').trim().split(/\s+/);
      return put(`M ${points.map((point) => point.replace(',', ' ')).join(' L ')} Z`, 0);
    }
    case 'rect':
      return {
        kind: 'rect',
        x: frame.x + numberOf(attributes, 'x'),
        y: frame.y + numberOf(attributes, 'y'),
        width: numberOf(attributes, 'width'),
        height: numberOf(attributes, 'height'),
      };
    default:
      return null;
  }
}

/** The staff lines are the straight paths that stand in the staff itself. */
function noteStaffLine(
  system: { lines: number[]; left: number; right: number },
  attributes: string,
  frame: Frame,
): void {
  const line = /d="M([-\d.]+) ([-\d.]+) L([-\d.]+) ([-\d.]+)"/.exec(attributes);
  if (line === null) return;
  const [x1 = 0, y1 = 0, x2 = 0] = line.slice(1).map(Number);
  system.lines.push(frame.y + y1);
  system.left = Math.min(system.left, frame.x + x1);
  system.right = Math.max(system.right, frame.x + x2);
}

function anchorOf(attributes: string): EngravedText['anchor'] {
  const anchor = textOf(attributes, 'text-anchor');
  return anchor === 'middle' || anchor === 'end' ? anchor : 'start';
}

/** The value of an attribute as it stands; every attribute has a blank before its name. */
function textOf(attributes: string, name: string): string | null {
  const key = ` ${name}="`;
  const at = attributes.indexOf(key);
  if (at < 0) return null;
  const start = at + key.length;
  return attributes.slice(start, attributes.indexOf('"', start));
}

function numberOf(attributes: string, name: string): number {
  return Number(textOf(attributes, name) ?? 0);
}

const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

function unescapeMarkup(text: string): string {
  return text.replace(
    /&(?:#x([\da-f]+)|#(\d+)|(\w+));/gi,
    (whole, hex?: string, decimal?: string, name?: string) => {
      if (hex !== undefined) return String.fromCodePoint(parseInt(hex, 16));
      if (decimal !== undefined) return String.fromCodePoint(Number(decimal));
      return ENTITIES[name ?? ''] ?? whole;
    },
  );
}
