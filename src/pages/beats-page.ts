/**
 * The beats page: one mark a beat in the shape of the rhyme, words under the beats, for tapping while chanting. A full
 * mark is a beat on which a syllable begins, an open one an empty beat; a line under it holds the syllable on.
 */
import { disc, line, ring, type Group, type Page, type Shape } from './page.ts';
import { beginsOn, fitRows, hyphenPlace, type GridRow, type GridWishes, type RowGrid } from './row-grid.ts';
import { flow, type Block, type Head, type Sheet } from './sheet.ts';
import type { BeatRow } from './beat-rows.ts';
import type { Song } from '../song.ts';

/** Radius of a mark, room to the words, height of a row: in word sizes. */
const RADIUS = 0.42;
const ROW = 2.3;
const BETWEEN = 0.8;

export function layBeats(song: Song, sheet: Sheet, title: string): readonly Page[] {
  const head: Head = { title, info: null, nameLine: null, face: 'reader' };
  const measured = (row: BeatRow, sizeMm: number): Block => ({ ...spacing(row, sizeMm), draw: () => [] });
  const wishes: GridWishes = { face: 'reader', preferredMm: 9, head, block: measured, barGap: 0, letters: 0 };
  const grid = fitRows(song, sheet, wishes);
  const blocks = grid.rows.map((row): Block => ({
    ...spacing(row.row, grid.sizeMm),
    draw: (topMm) => drawRow(sheet, grid, row, topMm),
  }));
  return flow(sheet, head, blocks);
}

/** A new stanza stands further off, a row that goes on with its phrase closer. */
function spacing(row: BeatRow, sizeMm: number): { heightMm: number; spaceMm: number } {
  const between = row.startsStanza ? 1.8 * BETWEEN : row.startsPhrase ? BETWEEN : 0.6 * BETWEEN;
  return { heightMm: ROW * sizeMm, spaceMm: between * sizeMm };
}

function drawRow(sheet: Sheet, grid: RowGrid, row: GridRow, topMm: number): readonly Group[] {
  const { sizeMm } = grid;
  const radius = Math.min(RADIUS * sizeMm, 0.3 * grid.beatMm);
  const y = topMm + RADIUS * sizeMm;
  const marks: Shape[] = row.row.beats.map((tick) =>
    beginsOn(row.row, tick)
      ? disc(row.xOf(tick), y, radius)
      : ring(row.xOf(tick), y, radius, Math.max(0.35, 0.16 * radius)),
  );
  const baselineMm = topMm + (2 * RADIUS + 1.05) * sizeMm;
  return [
    { role: 'figure', alt: beatsInWords(row.row), shapes: marks },
    { role: 'paragraph', alt: null, shapes: wordShapes(sheet, grid, row, baselineMm) },
    { role: 'decoration', alt: null, shapes: heldLines(grid, row, baselineMm) },
  ];
}

/** The words of a row with their hyphens. */
export function wordShapes(sheet: Sheet, grid: RowGrid, row: GridRow, baselineMm: number): readonly Shape[] {
  const style = { baselineMm, face: 'reader', sizeMm: grid.sizeMm, align: 'centre' } as const;
  return row.words.flatMap((word, i) => [
    ...sheet.setter.text(word.text, { ...style, xMm: word.centreMm }),
    ...(word.goesOn ? sheet.setter.text('-', { ...style, xMm: hyphenPlace(row, i) }) : []),
  ]);
}

/** A line after each syllable that is held over an empty beat, up to the end of its last note. */
function heldLines(grid: RowGrid, row: GridRow, baselineMm: number): readonly Shape[] {
  const shapes: Shape[] = [];
  row.words.forEach((word, i) => {
    const next = row.words[i + 1];
    const from = word.centreMm + word.widthMm / 2 + 0.15 * grid.sizeMm;
    const sounding = row.row.notes.filter(
      (note) => note.tone !== null && note.onset < (next?.note.onset ?? Infinity),
    );
    const lastNote = sounding.at(-1);
    const heldTo = lastNote === undefined ? 0 : lastNote.onset + lastNote.duration;
    const held = row.row.beats.filter((tick) => tick > word.note.onset && tick < heldTo).at(-1);
    if (held === undefined || word.goesOn) return;
    const to = Math.min(
      row.xOf(held) + 0.4 * grid.sizeMm,
      next === undefined ? Infinity : next.centreMm - next.widthMm / 2 - 0.3 * grid.sizeMm,
    );
    if (to > from + 0.5) shapes.push(line(from, baselineMm, to, baselineMm, 0.05 * grid.sizeMm));
  });
  return shapes;
}

function beatsInWords(row: BeatRow): string {
  const beats = row.beats.map((tick) => (beginsOn(row, tick) ? 'beat' : 'empty beat'));
  return beats.length === 0 ? 'no beat' : beats.join(', ');
}
