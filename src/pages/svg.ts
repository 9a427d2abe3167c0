/**
 * Page -> SVG, and pages -> one HTML file that prints the same. Both carry the letters they need, so they look the same
 * on a machine without our fonts; `textLength` keeps the boxes even where a viewer takes no embedded fonts.
 */
import type { Faces } from './faces.ts';
import { base64, escapeMarkup } from './markup.ts';
import { FACE_NAMES, mm, type FaceName, type Group, type Page, type PageSet, type Shape } from './page.ts';
import { subsetFont } from './subset-font.ts';

/** Names of the fonts inside a file; what follows is taken when the embedded font is not. */
const FAMILIES: Readonly<Record<FaceName, string>> = {
  book: "'page-book','Tinos','Liberation Serif',serif",
  'book-bold': "'page-book-bold','Tinos','Liberation Serif',serif",
  'book-italic': "'page-book-italic','Tinos','Liberation Serif',serif",
  reader: "'page-reader','Andika',sans-serif",
  'reader-bold': "'page-reader-bold','Andika',sans-serif",
};
/** What an installed font is asked for; the embedded faces are declared with the same weight and slope. */
const STYLES: Readonly<Record<FaceName, { weight: number; slope: string }>> = {
  book: { weight: 400, slope: 'normal' },
  'book-bold': { weight: 700, slope: 'normal' },
  'book-italic': { weight: 400, slope: 'italic' },
  reader: { weight: 400, slope: 'normal' },
  'reader-bold': { weight: 700, slope: 'normal' },
};

/** One page as a file of its own. */
export function writeSvg(page: Page, document: { title: string; language: string }, faces: Faces): string {
  const style = `<style>${fontRules([page], faces)}</style>`;
  const title = `<title>${escapeMarkup(document.title)}</title>`;
  return `<?xml version="1.0" encoding="UTF-8"?>\n${svgElement(page, document.language, `${title}\n${style}\n`)}\n`;
}

/** All pages in one file: a page of paper each when printed. */
export function writeHtml(set: PageSet, faces: Faces): string {
  const first = set.pages[0];
  const paper = `${mm(first?.widthMm ?? 210)}mm ${mm(first?.heightMm ?? 297)}mm`;
  const css = [
    `@page{size:${paper};margin:0}`,
    'html{background:#fff}body{margin:0}',
    '.page{display:block;break-after:page;break-inside:avoid}.page:last-child{break-after:auto}',
    '@media screen{.page{margin:1rem auto;outline:1px solid #000;max-width:100%;height:auto}}',
    fontRules(set.pages, faces),
  ].join('\n');
  const pages = set.pages.map((page, i) =>
    svgElement(page, set.language, '', ` class="page" id="page-${String(i + 1)}"`),
  );
  return [
    '<!doctype html>',
    `<html lang="${escapeMarkup(set.language)}">`,
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width">',
    `<title>${escapeMarkup(set.title)}</title>`,
    `<style>\n${css}\n</style>`,
    '</head>',
    '<body>',
    ...pages,
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

function svgElement(page: Page, language: string, before: string, attributes = ''): string {
  const size = `width="${mm(page.widthMm)}mm" height="${mm(page.heightMm)}mm"`;
  const box = `viewBox="0 0 ${mm(page.widthMm)} ${mm(page.heightMm)}"`;
  const lang = `xml:lang="${escapeMarkup(language)}" lang="${escapeMarkup(language)}"`;
  const paper = `<rect width="${mm(page.widthMm)}" height="${mm(page.heightMm)}" fill="#fff"/>`;
  const body = page.groups.map(groupElement).join('\n');
  return `<svg xmlns="http://www.w3.org/2000/svg" ${size} ${box} ${lang}${attributes}>\n${before}${paper}\n${body}\n</svg>`;
}

function groupElement(group: Group): string {
  const shapes = group.shapes.map(shapeElement).join('\n');
  const { role, alt, toPage } = group;
  if (role === 'decoration') return `<g aria-hidden="true">\n${shapes}\n</g>`;
  const label = alt === null ? '' : ` role="img" aria-label="${escapeMarkup(alt)}"`;
  const heading =
    role === 'title' || role === 'heading'
      ? ` role="heading" aria-level="${role === 'title' ? '1' : '2'}"`
      : '';
  const element = `<g${label}${heading}>\n${shapes}\n</g>`;
  return toPage === undefined ? element : `<a href="#page-${String(toPage + 1)}">\n${element}\n</a>`;
}

function shapeElement(shape: Shape): string {
  switch (shape.kind) {
    case 'text': {
      const { weight, slope } = STYLES[shape.face];
      const fit =
        [...shape.text].length > 1
          ? ` textLength="${mm(shape.widthMm)}" lengthAdjust="spacingAndGlyphs"`
          : '';
      const font = `font-family="${FAMILIES[shape.face]}" font-size="${mm(shape.sizeMm)}"`;
      const style = `${weight === 400 ? '' : ' font-weight="700"'}${slope === 'normal' ? '' : ' font-style="italic"'}`;
      const off = 'style="font-kerning:none;font-variant-ligatures:none;white-space:pre"';
      const place = `x="${mm(shape.xMm)}" y="${mm(shape.baselineMm)}"`;
      return `<text ${place} ${font}${style}${fit} ${off}>${escapeMarkup(shape.text)}</text>`;
    }
    case 'line': {
      const ends = `x1="${mm(shape.x1Mm)}" y1="${mm(shape.y1Mm)}" x2="${mm(shape.x2Mm)}" y2="${mm(shape.y2Mm)}"`;
      const cap = shape.cap === 'round' ? ' stroke-linecap="round"' : '';
      return `<line ${ends} ${stroke(shape.strokeMm, shape.dashMm)}${cap}/>`;
    }
    case 'ellipse': {
      const centre = `cx="${mm(shape.xMm)}" cy="${mm(shape.yMm)}"`;
      const radii = `rx="${mm(shape.radiusXMm)}" ry="${mm(shape.radiusYMm)}"`;
      const turn =
        shape.turnDegrees === 0
          ? ''
          : ` transform="rotate(${mm(shape.turnDegrees)} ${mm(shape.xMm)} ${mm(shape.yMm)})"`;
      return `<ellipse ${centre} ${radii}${turn} ${paint(shape.filled, shape.strokeMm, null)}/>`;
    }
    case 'rect': {
      const place = `x="${mm(shape.xMm)}" y="${mm(shape.yMm)}"`;
      const size = `width="${mm(shape.widthMm)}" height="${mm(shape.heightMm)}"`;
      return `<rect ${place} ${size} ${paint(shape.filled, shape.strokeMm, shape.dashMm)}/>`;
    }
    case 'path': {
      const { xMm, yMm, scaleX, scaleY, strokeMm } = shape;
      const still = xMm === 0 && yMm === 0 && scaleX === 1 && scaleY === 1;
      const place = still
        ? ''
        : ` transform="translate(${mm(xMm)} ${mm(yMm)}) scale(${scaleText(scaleX)} ${scaleText(scaleY)})"`;
      const width = scaleX === 0 ? 0 : strokeMm / Math.abs(scaleX);
      return `<path d="${shape.outline}"${place} ${paint(shape.filled, width, null)} stroke-linejoin="round"/>`;
    }
  }
}

/** A factor needs more digits than a length. */
function scaleText(value: number): string {
  return String(Math.round(value * 1e6) / 1e6);
}

function paint(filled: boolean, strokeMm: number, dashMm: number | null): string {
  const fill = filled ? 'fill="#000"' : 'fill="none"';
  return strokeMm > 0 ? `${fill} ${stroke(strokeMm, dashMm)}` : fill;
}

function stroke(strokeMm: number, dashMm: number | null): string {
  const dash = dashMm === null ? '' : ` stroke-dasharray="${mm(dashMm)}"`;
  return `stroke="#000" stroke-width="${mm(strokeMm)}"${dash}`;
}

/** `@font-face` rules with the letters that the pages use, and no others. */
function fontRules(pages: readonly Page[], faces: Faces): string {
  const used = new Map<FaceName, string>();
  for (const page of pages) {
    for (const group of page.groups) {
      for (const shape of group.shapes) {
        if (shape.kind === 'text') used.set(shape.face, (used.get(shape.face) ?? '') + shape.text);
      }
    }
  }
  return FACE_NAMES.flatMap((name) => {
    const text = used.get(name);
    if (text === undefined) return [];
    const { weight, slope } = STYLES[name];
    const source = `url(data:font/ttf;base64,${base64(subsetFont(faces[name], text, `page-${name}`))}) format('truetype')`;
    return [
      `@font-face{font-family:'page-${name}';font-weight:${String(weight)};font-style:${slope};src:${source}}`,
    ];
  }).join('\n');
}
