/**
 * Whether the solfa letters of a row have room.
 */
import type { BeatRow } from './beat-rows.ts';
import type { GridWishes } from './row-grid.ts';
import type { Sheet } from './sheet.ts';
import type { SongNote } from '../song.ts';

/** How far a flag reaches beyond its stick, in word sizes. */
const FLAG = 0.45;

/** True when the letters under the notes and the flags above them touch neither one another nor a bar line nor the edge. */
export function lettersFit(
  sheet: Sheet,
  row: BeatRow,
  wishes: GridWishes,
  measures: {
    readonly xOf: (note: SongNote) => number;
    readonly barLineX: (tick: number) => number;
    readonly sizeMm: number;
  },
): boolean {
  if (wishes.letters === 0) return true;
  const { xOf, barLineX, sizeMm } = measures;
  const size = wishes.letters * sizeMm;
  const gap = 0.12 * size;
  const rightEdge = sheet.widthMm - sheet.margins.rightMm;
  let taken = sheet.margins.leftMm - gap;
  for (const note of row.notes) {
    const before = row.barLines.find((bar) => bar === note.onset && bar > row.start);
    if (before !== undefined) {
      if (barLineX(before) < taken + gap / 2) return false;
      taken = barLineX(before) - gap / 2;
    }
    if (note.tone === null) continue;
    const isTiedOn = note.tie === 'stop' || note.tie === 'both';
    const own = wishes.letterWidthOf?.(note, size) ?? sheet.setter.width(note.tone, 'reader-bold', size);
    const left = isTiedOn ? 0 : own / 2;
    // an octave mark hangs beside its letter
    const hang =
      sheet.setter.width(note.tone, 'reader-bold', size) -
      sheet.setter.width(note.tone.charAt(0), 'reader-bold', size);
    if (xOf(note) - left < taken + gap) return false;
    taken = xOf(note) + Math.max(left + hang / 2, note.duration < 480 ? FLAG * sizeMm : 0);
  }
  const end = row.barLines.at(-1) === row.end || row.endsSong ? gap : 0;
  return taken + end <= rightEdge;
}
