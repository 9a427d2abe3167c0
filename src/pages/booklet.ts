/**
 * Many songs in one file: a contents page, page numbers, and where each song begins.
 */
import { line, type Group, type Page, type PageSet, type Shape } from './page.ts';
import { fitLines } from './fit-lines.ts';
import { bodyWidth, flow, withFoot, type Block, type Head, type Sheet } from './sheet.ts';

/** Pages of one song. */
export interface Chapter {
  readonly title: string;
  /** What tells it from other songs of that title: its rung, say. Null when the title does. */
  readonly remark: string | null;
  readonly source: string | null;
  readonly pages: readonly Page[];
}

export interface Binding {
  readonly title: string;
  readonly language: string;
  /** False for one song alone. */
  readonly contents: boolean;
}

/**
 * Bind chapters into one set of pages. Pages are numbered from 1, contents included, when there are several; the
 * number of a song in the contents is that of its first page.
 */
export function bind(sheet: Sheet, chapters: readonly Chapter[], binding: Binding): PageSet {
  const front = binding.contents ? contentsPages(sheet, chapters, binding.title, 0).length : 0;
  const contents = binding.contents ? contentsPages(sheet, chapters, binding.title, front) : [];
  const count = front + chapters.reduce((sum, chapter) => sum + chapter.pages.length, 0);
  const pages: Page[] = [];
  const outline: { title: string; page: number }[] = [];
  const put = (page: Page, source: string | null): void => {
    pages.push(withFoot(sheet, page, { source, number: count > 1 ? pages.length + 1 : null }));
  };
  for (const page of contents) put(page, null);
  for (const chapter of chapters) {
    if (binding.contents && chapter.pages.length > 0)
      outline.push({ title: entryTitle(chapter), page: pages.length });
    for (const page of chapter.pages) put(page, chapter.source);
  }
  return { title: binding.title, language: binding.language, pages, outline };
}

function entryTitle({ title, remark }: Chapter): string {
  return remark === null ? title : `${title}, ${remark}`;
}

const ENTRY_MM = 5;

/** One line a song: title, dots, page number; long titles take more lines. */
function contentsPages(
  sheet: Sheet,
  chapters: readonly Chapter[],
  title: string,
  front: number,
): readonly Page[] {
  const head: Head = { title, info: null, nameLine: null, face: 'book' };
  const { setter } = sheet;
  const [left, right] = [sheet.margins.leftMm, sheet.widthMm - sheet.margins.rightMm];
  let next = front;
  const blocks = chapters.flatMap((chapter): readonly Block[] => {
    if (chapter.pages.length === 0) return [];
    const page = next;
    next += chapter.pages.length;
    const number = String(page + 1);
    const widthMm = bodyWidth(sheet) - 18;
    const { lines, sizeMm } = fitLines(setter, entryTitle(chapter), {
      face: 'book',
      sizeMm: ENTRY_MM,
      leastMm: 4,
      widthMm,
    });
    const heightMm = lines.length * 1.25 * sizeMm;
    const draw = (topMm: number): readonly Group[] => {
      const baseline = (i: number): number => topMm + (i * 1.25 + 1) * sizeMm;
      const last = lines.length - 1;
      const words: Shape[] = lines.flatMap((text, i) =>
        setter.text(text, { xMm: left, baselineMm: baseline(i), face: 'book', sizeMm }),
      );
      words.push(
        ...setter.text(number, {
          xMm: right,
          baselineMm: baseline(last),
          face: 'book',
          sizeMm,
          align: 'right',
        }),
      );
      const from = left + setter.width(lines[last] ?? '', 'book', sizeMm) + 2;
      const to = right - setter.width(number, 'book', sizeMm) - 2;
      const dots =
        to > from ? [line(from, baseline(last) - 0.3, to, baseline(last) - 0.3, 0.3, { dashMm: 0.9 })] : [];
      return [
        { role: 'contents-entry', alt: null, shapes: words, toPage: page },
        { role: 'decoration', alt: null, shapes: dots },
      ];
    };
    return [{ heightMm, spaceMm: 2.2, draw }];
  });
  return flow({ ...sheet, className: sheet.className, date: sheet.date }, head, blocks);
}
