/**
 * The sheet of paper: its size and margins, what stands at its head and foot, and how rows flow from page to page.
 */
import type { Setter } from './faces.ts';
import { fitLines } from './fit-lines.ts';
import { line, type FaceName, type Group, type Margins, type Page, type Shape } from './page.ts';

export type PaperSize = 'a4' | 'letter';

/** Width and height in portrait: ISO 216 A4, and ANSI Letter (8.5 by 11 inches). */
export const PAPER_SIZES: Readonly<Record<PaperSize, readonly [widthMm: number, heightMm: number]>> = {
  a4: [210, 297],
  letter: [215.9, 279.4],
};

/** What all pages of a run share. */
export interface Sheet {
  readonly setter: Setter;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly margins: Margins;
  /** Words are set in this size; null: as large as suits the page. */
  readonly wordSizeMm: number | null;
  readonly className: string | null;
  /** As it shall be printed. */
  readonly date: string | null;
}

export interface Head {
  readonly title: string;
  /** A line beneath the title; null for none. */
  readonly info: string | null;
  /** What stands on the line above the body: the pupil's name goes there, or `Answers`. Null for no such line. */
  readonly nameLine: 'Name' | 'Answers' | null;
  readonly face: 'book' | 'reader';
}

/** A part of the page that is not divided: a row of beats, a line of words. */
export interface Block {
  readonly heightMm: number;
  /** Room above it, dropped at the top of a page. */
  readonly spaceMm: number;
  readonly draw: (topMm: number) => readonly Group[];
}

/** Room kept for the page number and the source line. */
const FOOT_MM = 8;
/** Room is added between blocks up to this factor, so that a short song fills its page. */
const MOST_STRETCH = 3;

export function bodyWidth(sheet: Sheet): number {
  return sheet.widthMm - sheet.margins.leftMm - sheet.margins.rightMm;
}

/** Where the body ends, above the foot. */
export function bodyBottom(sheet: Sheet): number {
  return sheet.heightMm - sheet.margins.bottomMm - FOOT_MM;
}

/** The head of a page and where the body begins beneath it. */
export function drawHead(
  sheet: Sheet,
  head: Head,
): { readonly groups: readonly Group[]; readonly bottomMm: number } {
  const { setter, margins } = sheet;
  const left = margins.leftMm;
  const right = sheet.widthMm - margins.rightMm;
  const bold: FaceName = head.face === 'book' ? 'book-bold' : 'reader-bold';
  const groups: Group[] = [];
  let y = margins.topMm;
  if (sheet.className !== null || sheet.date !== null) {
    const sizeMm = 3.8;
    y += 4.5;
    const [classSize, dateSize] = shareWidth(sheet, sheet.className ?? '', sheet.date ?? '', {
      face: head.face,
      sizeMm,
    });
    groups.push({
      role: 'paragraph',
      alt: null,
      shapes: [
        ...setter.text(sheet.className ?? '', {
          xMm: left,
          baselineMm: y,
          face: head.face,
          sizeMm: classSize,
        }),
        ...setter.text(sheet.date ?? '', {
          xMm: right,
          baselineMm: y,
          face: head.face,
          sizeMm: dateSize,
          align: 'right',
        }),
      ],
    });
    y += 2;
  }
  const title = fitLines(setter, head.title, { face: bold, sizeMm: 8.5, leastMm: 6, widthMm: right - left });
  const shapes: Shape[] = [];
  for (const text of title.lines) {
    y += 1.15 * title.sizeMm;
    shapes.push(...setter.text(text, { xMm: left, baselineMm: y, face: bold, sizeMm: title.sizeMm }));
  }
  groups.push({ role: 'title', alt: null, shapes });
  y += 2.5;
  if (head.info !== null) {
    const info = fitLines(setter, head.info, {
      face: head.face,
      sizeMm: 4.2,
      leastMm: 3.4,
      widthMm: right - left,
    });
    const infoShapes = info.lines.flatMap((text, i) =>
      setter.text(text, { xMm: left, baselineMm: y + 4.2 + 5.2 * i, face: head.face, sizeMm: info.sizeMm }),
    );
    groups.push({ role: 'paragraph', alt: null, shapes: infoShapes });
    y += 5.2 * info.lines.length + 1;
  }
  if (head.nameLine !== null) {
    y += 9;
    const label = setter.text(head.nameLine, { xMm: left, baselineMm: y, face: bold, sizeMm: 4.6 });
    const from = left + setter.width(head.nameLine, bold, 4.6) + 2.5;
    groups.push({ role: 'paragraph', alt: null, shapes: label });
    if (head.nameLine === 'Name') {
      groups.push({ role: 'decoration', alt: null, shapes: [line(from, y + 0.8, right, y + 0.8, 0.25)] });
    }
    y += 3;
  }
  return { groups, bottomMm: y + 5 };
}

/** Sizes that let two texts share a line. */
function shareWidth(
  sheet: Sheet,
  leftText: string,
  rightText: string,
  style: { readonly face: FaceName; readonly sizeMm: number },
): readonly [number, number] {
  const wide = sheet.setter.width(leftText, style.face, 1) + sheet.setter.width(rightText, style.face, 1);
  const size = wide === 0 ? style.sizeMm : Math.min(style.sizeMm, (bodyWidth(sheet) - 6) / wide);
  return [size, size];
}

/** Height of blocks beneath one another, the room above the first left out. */
export function stackHeight(blocks: readonly Block[]): number {
  return blocks.reduce((sum, block, i) => sum + block.heightMm + (i === 0 ? 0 : block.spaceMm), 0);
}

/** How many pages the blocks take under this head. */
export function countPages(sheet: Sheet, head: Head, blocks: readonly Block[]): number {
  return divide(sheet, head, blocks).length;
}

/** Set blocks beneath one another, on as many pages as they need; each page has the head. */
export function flow(sheet: Sheet, head: Head, blocks: readonly Block[]): readonly Page[] {
  const { groups, bottomMm } = drawHead(sheet, head);
  return divide(sheet, head, blocks).map((own, i, all) => {
    const room = bodyBottom(sheet) - bottomMm - stackHeight(own);
    const spaces = own.slice(1).reduce((sum, block) => sum + block.spaceMm, 0);
    // a last page that is not full keeps the spacing of its neighbours
    const stretch =
      spaces === 0 || (i > 0 && i === all.length - 1) ? 1 : Math.min(MOST_STRETCH, 1 + room / spaces);
    const drawn: Group[] = [...groups];
    let y = bottomMm;
    own.forEach((block, k) => {
      if (k > 0) y += block.spaceMm * Math.max(1, stretch);
      drawn.push(...block.draw(y));
      y += block.heightMm;
    });
    return { widthMm: sheet.widthMm, heightMm: sheet.heightMm, margins: sheet.margins, groups: drawn };
  });
}

function divide(sheet: Sheet, head: Head, blocks: readonly Block[]): readonly (readonly Block[])[] {
  const room = bodyBottom(sheet) - drawHead(sheet, head).bottomMm;
  const pages: Block[][] = [[]];
  let used = 0;
  for (const block of blocks) {
    const last = pages.at(-1) ?? [];
    const needed = used + block.heightMm + (last.length === 0 ? 0 : block.spaceMm);
    if (last.length > 0 && needed > room + 1e-6) {
      pages.push([block]);
      used = block.heightMm;
    } else {
      last.push(block);
      used = needed;
    }
  }
  return pages;
}

/** The same pages with their foot: source line at the left, page number at the right (none when null). */
export function withFoot(
  sheet: Sheet,
  page: Page,
  foot: { readonly source: string | null; readonly number: number | null },
): Page {
  const { setter, margins } = sheet;
  const baselineMm = page.heightMm - margins.bottomMm - 1;
  const right = page.widthMm - margins.rightMm;
  const number = foot.number === null ? '' : String(foot.number);
  const shapes: Shape[] = [
    ...setter.text(number, { xMm: right, baselineMm, face: 'book', sizeMm: 4, align: 'right' }),
  ];
  const groups: Group[] = [...page.groups];
  if (foot.source !== null && foot.source !== '') {
    const widthMm = right - margins.leftMm - setter.width(number, 'book', 4) - 5;
    const style = { face: 'book-italic', sizeMm: 3.4, leastMm: 2.6, widthMm } as const;
    const { lines, sizeMm } = fitLines(setter, foot.source, style);
    const up = (lines.length - 1) * 1.15 * sizeMm;
    const source = lines.flatMap((text, i) =>
      setter.text(text, {
        xMm: margins.leftMm,
        baselineMm: baselineMm - up + i * 1.15 * sizeMm,
        face: 'book-italic',
        sizeMm,
      }),
    );
    groups.push({ role: 'paragraph', alt: null, shapes: source });
  }
  if (shapes.length > 0) groups.push({ role: 'decoration', alt: null, shapes });
  return { ...page, groups: groups.filter((group) => group.shapes.length > 0) };
}
