/**
 * The sticks page: stick notation, solfa letters beneath it, words beneath those, large enough for the wall.
 */
import { line, type Group, type Page, type Shape } from './page.ts';
import { fitRows, type GridRow, type GridWishes, type RowGrid } from './row-grid.ts';
import { flow, type Block, type Head, type Sheet } from './sheet.ts';
import { bows, stickSigns, type StickPlace } from './stick-signs.ts';
import { wordShapes } from './beats-page.ts';
import type { BeatRow } from './beat-rows.ts';
import type { Song, SongNote } from '../song.ts';

/** Measures of a row in word sizes. */
export const STICK = {
  stick: 1.35,
  letters: 0.95,
  lettersAt: 2.6,
  wordsAt: 3.95,
  row: 4.35,
  between: 0.9,
} as const;

/** Room for a bar line, in beats. */
export const BAR_GAP = 0.22;

export function laySticks(song: Song, sheet: Sheet, title: string): readonly Page[] {
  const head: Head = { title, info: songInfo(song), nameLine: null, face: 'reader' };
  const wishes: GridWishes = {
    face: 'reader',
    preferredMm: 9,
    head,
    block: (row, sizeMm) => ({ ...stickSpacing(row, sizeMm), draw: () => [] }),
    barGap: BAR_GAP,
    letters: STICK.letters,
  };
  const grid = fitRows(song, sheet, wishes);
  const blocks = grid.rows.map((row): Block => ({
    ...stickSpacing(row.row, grid.sizeMm),
    draw: (topMm) => {
      const { sizeMm } = grid;
      const sticks = {
        shapes: stickShapes(song, grid, row, { topMm, notes: row.row.notes }),
        alt: rhythmInWords(row.row.notes),
      };
      const letters = row.row.notes.flatMap((note) =>
        letterShapes(sheet, grid, row.xOf(note.onset), note, topMm),
      );
      return [
        { role: 'figure', ...sticks },
        { role: 'paragraph', alt: null, shapes: letters },
        {
          role: 'paragraph',
          alt: null,
          shapes: wordShapes(sheet, grid, row, topMm + STICK.wordsAt * sizeMm),
        },
        barLines(grid, row, topMm),
      ];
    },
  }));
  return flow(sheet, head, blocks);
}

/** Height of a row and the room above it. */
export function stickSpacing(row: BeatRow, sizeMm: number): { heightMm: number; spaceMm: number } {
  const between = row.startsStanza
    ? 1.8 * STICK.between
    : row.startsPhrase
      ? STICK.between
      : 0.7 * STICK.between;
  return { heightMm: STICK.row * sizeMm, spaceMm: between * sizeMm };
}

/** What a singer needs to begin: rung, do, metre and tempo. */
export function songInfo(song: Song): string {
  const metre = `${String(song.metre.beats)}/${String(song.metre.beatType)}`;
  return `${song.rung} · do is ${printedPitch(song.do)} · ${metre} · ${String(song.tempoBpm)} beats a minute`;
}

/** A pitch name as people read it: `B♭`, without its octave. */
export function printedPitch(pitch: string): string {
  return pitch
    .replace(/-?\d+$/, '')
    .replaceAll('b', '♭')
    .replaceAll('#', '♯');
}

export function stickPlace(song: Song, grid: RowGrid, row: GridRow, topMm: number): StickPlace {
  const { metre } = song;
  const stickMm = STICK.stick * grid.sizeMm;
  return { xOf: row.xOf, topMm, stickMm, metre, beatOrigin: song.upbeatTicks % metre.ticksPerBeat };
}

/** Sticks, bows and breath marks of these notes of a row. */
export function stickShapes(
  song: Song,
  grid: RowGrid,
  row: GridRow,
  { topMm, notes }: { readonly topMm: number; readonly notes: readonly SongNote[] },
): readonly Shape[] {
  const place = stickPlace(song, grid, row, topMm);
  const last = row.row.endsSong ? row.row.notes.at(-1) : undefined;
  const breaths = notes.filter((note) => note.breath === true && note !== last);
  return [
    ...stickSigns(notes, place),
    ...bows(notes, place, { leftMm: row.leftMm + 0.6, rightMm: row.rightMm - 0.6 }),
    ...breaths.map((note) => {
      const endMm = Math.min(row.xOf(note.onset + note.duration), row.rightMm);
      return breathMark(endMm - 0.35 * grid.sizeMm, grid.sizeMm, topMm);
    }),
  ];
}

/** A comma above the row's end. */
function breathMark(xMm: number, sizeMm: number, topMm: number): Shape {
  const unit = 0.14 * sizeMm;
  const outline =
    'M 0 0 C 1 -0.9 2.1 0.1 1.5 1.6 C 1.2 2.4 0.5 2.9 -0.3 3.2 C 0.5 2.5 0.9 1.8 0.7 1.3 C -0.2 1.6 -0.7 0.6 0 0 Z';
  return { kind: 'path', outline, xMm, yMm: topMm, scaleX: unit, scaleY: unit, filled: true, strokeMm: 0 };
}

/** The solfa letter of a note; none on rests and on notes that a tie continues. */
export function letterShapes(
  sheet: Sheet,
  grid: RowGrid,
  xMm: number,
  note: SongNote,
  topMm: number,
): readonly Shape[] {
  if (note.tone === null || note.tie === 'stop' || note.tie === 'both') return [];
  const baselineMm = topMm + STICK.lettersAt * grid.sizeMm;
  const sizeMm = STICK.letters * grid.sizeMm;
  // the octave mark hangs beside the letter, so that letters of all octaves stand under their sticks
  const hang =
    (sheet.setter.width(note.tone, 'reader-bold', sizeMm) -
      sheet.setter.width(note.tone.charAt(0), 'reader-bold', sizeMm)) /
    2;
  return sheet.setter.text(note.tone, {
    xMm: xMm + hang,
    baselineMm,
    face: 'reader-bold',
    sizeMm,
    align: 'centre',
  });
}

/** Bar lines through the sticks and letters, a double bar at the end of the song. */
export function barLines(grid: RowGrid, row: GridRow, topMm: number): Group {
  const { sizeMm } = grid;
  const [top, bottom] = [topMm - 0.1 * sizeMm, topMm + (STICK.lettersAt + 0.25) * sizeMm];
  const thin = 0.045 * sizeMm;
  const thick = 0.14 * sizeMm;
  const shapes = row.row.barLines.map((tick) => {
    const x = tick === row.row.end ? row.rightMm - thin / 2 : row.barLineX(tick);
    return line(x, top, x, bottom, thin);
  });
  if (row.row.endsSong) {
    if (row.row.barLines.at(-1) === row.row.end) shapes.pop();
    const x = row.rightMm - thick / 2;
    shapes.push(line(x, top, x, bottom, thick), line(x - thick * 1.6, top, x - thick * 1.6, bottom, thin));
  }
  return { role: 'decoration', alt: null, shapes };
}

/** Names that say the note value without rhythm syllables, which differ from class to class. */
const VALUE_WORDS: Readonly<Record<number, string>> = {
  2880: 'dotted whole',
  1920: 'whole',
  1440: 'dotted half',
  960: 'half',
  720: 'dotted quarter',
  480: 'quarter',
  360: 'dotted eighth',
  240: 'eighth',
  120: 'sixteenth',
};

/** The rhythm in words, for those who hear the page. */
export function rhythmInWords(notes: readonly SongNote[]): string {
  return notes
    .map(
      (note) => `${VALUE_WORDS[note.duration] ?? String(note.duration)}${note.tone === null ? ' rest' : ''}`,
    )
    .join(', ');
}
