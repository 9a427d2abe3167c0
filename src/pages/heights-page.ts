/**
 * The heights page: the words at the heights of their tones, no staff, to point along while singing. Steps and skips
 * stand at their true distance: every semitone is the same height.
 */
import { disc, mm, path, type Group, type Page, type Shape } from './page.ts';
import { fitRows, hyphenPlace, type GridRow, type GridWishes, type RowGrid } from './row-grid.ts';
import { flow, type Block, type Head, type Sheet } from './sheet.ts';
import type { BeatRow } from './beat-rows.ts';
import { toneSemitones, type Tone } from '../pitch.ts';
import type { Song, SongNote } from '../song.ts';

/** Height of a semitone in word sizes, and the most that a row's tones may take: less where that saves a page. */
const SEMITONE = 0.5;
/** Room for the line of a slur, in word sizes. */
const SLIDE = 0.8;
const RANGES_MM = [38, 30, 24, 18];

export function layHeights(song: Song, sheet: Sheet, title: string): readonly Page[] {
  const head: Head = { title, info: null, nameLine: null, face: 'reader' };
  const heights = song.phrases.flatMap((phrase) =>
    phrase.notes.flatMap(({ tone }) => (tone === null ? [] : [toneSemitones(tone)])),
  );
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  const range = { low, high };
  const laid = RANGES_MM.map(
    (mostMm) => (): readonly Page[] => layAt(song, sheet, head, { ...range, mostMm }),
  );
  let best: readonly Page[] | null = null;
  for (const lay of laid) {
    const pages = lay();
    if (best === null || pages.length < best.length) best = pages;
    if (best.length === 1) break;
  }
  return best ?? [];
}

function layAt(
  song: Song,
  sheet: Sheet,
  head: Head,
  { low, high, mostMm }: { readonly low: number; readonly high: number; readonly mostMm: number },
): readonly Page[] {
  const stepAt = (sizeMm: number): number => Math.min(SEMITONE * sizeMm, mostMm / Math.max(1, high - low));
  const block = (row: BeatRow, sizeMm: number): Block => ({
    heightMm: (high - low) * stepAt(sizeMm) + 1.25 * sizeMm,
    spaceMm: (row.startsStanza ? 1.4 : 0.7) * sizeMm,
    draw: () => [],
  });
  const slurred = new Set(
    song.phrases.flatMap((phrase) => phrase.notes).filter((note) => note.slur === 'start'),
  );
  const roomAfter = (note: SongNote): number => (slurred.has(note) ? SLIDE : 0);
  const wishes: GridWishes = {
    face: 'reader',
    preferredMm: 9,
    head,
    block,
    barGap: 0,
    letters: 0,
    roomAfter,
  };
  const grid = fitRows(song, sheet, wishes);
  const step = stepAt(grid.sizeMm);
  const blocks = grid.rows.map((row): Block => ({
    ...block(row.row, grid.sizeMm),
    draw: (topMm) => {
      const baseline = (tone: Tone): number => topMm + grid.sizeMm + (high - toneSemitones(tone)) * step;
      return drawRow(sheet, grid, row, baseline);
    },
  }));
  return flow(sheet, head, blocks);
}

function drawRow(
  sheet: Sheet,
  grid: RowGrid,
  row: GridRow,
  baseline: (tone: Tone) => number,
): readonly Group[] {
  const words = row.words.flatMap((word, i): readonly Shape[] => {
    const { tone } = word.note;
    if (tone === null) return [];
    const style = {
      baselineMm: baseline(tone),
      face: 'reader',
      sizeMm: grid.sizeMm,
      align: 'centre',
    } as const;
    return [
      ...sheet.setter.text(word.text, { ...style, xMm: word.centreMm }),
      ...(word.goesOn ? sheet.setter.text('-', { ...style, xMm: hyphenAt(sheet, grid, row, i) }) : []),
    ];
  });
  return [
    { role: 'paragraph', alt: null, shapes: words },
    { role: 'decoration', alt: null, shapes: slides(grid, row, baseline) },
  ];
}

/** The hyphen stays with its syllable, at its height. */
function hyphenAt(sheet: Sheet, grid: RowGrid, row: GridRow, index: number): number {
  const word = row.words[index];
  const after =
    (word?.centreMm ?? 0) +
    (word?.widthMm ?? 0) / 2 +
    sheet.setter.width('-', 'reader', grid.sizeMm) / 2 +
    0.04 * grid.sizeMm;
  return Math.min(after, hyphenPlace(row, index));
}

/** From a syllable to where its slur goes: a line that ends in a dot at the second tone's height. */
function slides(grid: RowGrid, row: GridRow, baseline: (tone: Tone) => number): readonly Shape[] {
  const shapes: Shape[] = [];
  const middle = (tone: Tone): number => baseline(tone) - 0.26 * grid.sizeMm;
  row.words.forEach((word, i) => {
    const next = row.words[i + 1];
    const slurred = row.row.notes.find(
      (note: SongNote) =>
        note.onset > word.note.onset && note.onset < (next?.note.onset ?? Infinity) && note.slur === 'stop',
    );
    if (slurred?.tone === undefined || slurred.tone === null || word.note.tone === null) return;
    const from = word.centreMm + word.widthMm / 2 + (word.goesOn ? 0.45 : 0.1) * grid.sizeMm;
    const limit = next === undefined ? Infinity : next.centreMm - next.widthMm / 2 - 0.18 * grid.sizeMm;
    const to = Math.min(Math.max(row.xOf(slurred.onset), from + 0.3 * grid.sizeMm), limit);
    const [y1, y2] = [middle(word.note.tone), middle(slurred.tone)];
    if (to > from) {
      const bend = `M ${mm(from)} ${mm(y1)} C ${mm((from + to) / 2)} ${mm(y1)} ${mm((from + to) / 2)} ${mm(y2)} ${mm(to)} ${mm(y2)}`;
      shapes.push(path(bend, { strokeMm: 0.06 * grid.sizeMm }));
    }
    shapes.push(disc(Math.min(to, limit), y2, 0.1 * grid.sizeMm));
  });
  return shapes;
}
