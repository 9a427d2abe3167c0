/**
 * How large words and beats can be: rows of equal beats over the width of the sheet, each syllable as near to its
 * moment as its neighbours allow. Pages of beats, sticks and heights stand on this grid.
 */
import type { Setter } from './faces.ts';
import { lettersFit } from './letters-fit.ts';
import type { FaceName } from './page.ts';
import { bodyWidth, countPages, type Block, type Head, type Sheet } from './sheet.ts';
import { beatRows, columnsOf, longestPhrase, type BeatRow } from './beat-rows.ts';
import { spread, type Spread, type Wanted } from './spread.ts';
import type { Song, SongNote } from '../song.ts';
import { beatsPerBar, type Ticks } from '../time.ts';

/** One syllable in its row. */
export interface GridWord {
  readonly note: SongNote;
  readonly text: string;
  readonly centreMm: number;
  readonly widthMm: number;
  /** Room kept after it. */
  readonly gapMm: number;
  /** True when a hyphen stands between it and the next syllable. */
  readonly goesOn: boolean;
}

export interface GridRow {
  readonly row: BeatRow;
  readonly words: readonly GridWord[];
  /** Left edge of the row, where its upbeat begins. */
  readonly leftMm: number;
  /** Where its last beat ends. */
  readonly rightMm: number;
  /** Middle of what stands at this moment. */
  readonly xOf: (tick: number) => number;
  /** Where the bar line before this moment stands. */
  readonly barLineX: (tick: number) => number;
}

export interface RowGrid {
  readonly rows: readonly GridRow[];
  readonly beatMm: number;
  /** Size of the words; heights of rows are multiples of it. */
  readonly sizeMm: number;
}

export interface GridWishes {
  readonly face: FaceName;
  /** Tried first; also the size when a page has room for it. */
  readonly preferredMm: number;
  /** Room for the head, and the height of a row, to know what fits a page. */
  readonly head: Head;
  readonly block: (row: BeatRow, sizeMm: number) => Block;
  /** Room for a bar line between two beats, in beats; 0 where none are drawn. */
  readonly barGap: number;
  /** Size of letters that stand under the notes, as a part of the word size; 0 for none. */
  readonly letters: number;
  /** Width of a letter under its note; its own when not given. */
  readonly letterWidthOf?: (note: SongNote, sizeMm: number) => number;
  /** Width of a syllable; its own when not given. */
  readonly widthOf?: (note: SongNote, sizeMm: number) => number;
  /** Room kept after a syllable beyond what parts it from the next, in word sizes; none when not given. */
  readonly roomAfter?: (note: SongNote) => number;
  /** The moment under which a note's letter and syllable stand; its own when not given. */
  readonly placeOf?: (note: SongNote) => number;
}

/** Smaller words are hard to read from a desk: rows are cut before words get smaller. */
const COMFORT_MM = 5;
const LEAST_MM = 2.2;
const STEP_MM = 0.2;
/** Wider beats tear a line of words apart, so they are taken only where they let the words be larger. */
const WIDE_BEAT_MM = 44;
/** Part of a beat that stands left of its moment. */
const BEFORE_BEAT = 0.15;
/** Half the width of the widest mark, in word sizes. */
const REACH = 0.62;
/** Furthest that a syllable may stand from its moment, in beats. */
const TOLERANCE_BEATS = 0.24;

/**
 * The grid with the largest words: phrases whole if that leaves them readable, else cut into rows at bar lines; on as
 * few pages as readable words need.
 */
export function fitRows(song: Song, sheet: Sheet, wishes: GridWishes): RowGrid {
  const perBar = beatsPerBar(song.metre);
  const longest = longestPhrase(song);
  const cuts = [longest];
  for (let beats = Math.ceil(longest / 2 / perBar) * perBar; beats >= perBar; beats = halved(beats, perBar)) {
    if (beats < (cuts.at(-1) ?? 0)) cuts.push(beats);
    if (beats === perBar) break;
  }
  const wanted = sheet.wordSizeMm ?? wishes.preferredMm;
  const comfort = Math.min(COMFORT_MM, wanted);
  let best: RowGrid | null = null;
  for (const most of cuts) {
    const close = largest(song, sheet, wishes, { most, wanted, comfort, widestMm: WIDE_BEAT_MM });
    const wide =
      close !== null && close.beatMm < WIDE_BEAT_MM
        ? close
        : largest(song, sheet, wishes, { most, wanted, comfort, widestMm: Infinity });
    const grid = wide !== null && wide.sizeMm > 1.1 * (close?.sizeMm ?? 0) ? wide : close;
    if (grid !== null && (best === null || grid.sizeMm > best.sizeMm + 1e-9)) best = grid;
    if (best !== null && best.sizeMm >= comfort - 1e-9) break;
  }
  return best ?? forced(song, sheet, wishes, perBar);
}

function halved(beats: number, perBar: number): number {
  return Math.max(perBar, Math.ceil(beats / 2 / perBar) * perBar);
}

/** The largest words for rows of at most so many beats; null when even the least do not fit. */
function largest(
  song: Song,
  sheet: Sheet,
  wishes: GridWishes,
  aims: {
    readonly most: number;
    readonly wanted: number;
    readonly comfort: number;
    readonly widestMm: number;
  },
): RowGrid | null {
  const { most, wanted, comfort, widestMm } = aims;
  const rows = beatRows(song, most);
  const fits = (size: number): boolean =>
    place(song, sheet, wishes, rows, { sizeMm: size, widestMm }) !== null;
  const widest = largestFitting(wanted, fits);
  if (widest === null) return null;
  // as few pages as comfortable words take, then as large as those pages hold
  const pagesAt = (size: number): number =>
    countPages(
      sheet,
      wishes.head,
      rows.map((row) => wishes.block(row, size)),
    );
  const fewest = pagesAt(Math.min(widest, comfort));
  let size = widest;
  while (sheet.wordSizeMm === null && size > comfort && pagesAt(size) > fewest) size -= STEP_MM;
  return place(song, sheet, wishes, rows, { sizeMm: Math.max(size, Math.min(widest, comfort)), widestMm });
}

/** The largest size, in steps down from the one wanted, that fits; smaller words fit wherever larger ones do. */
function largestFitting(wanted: number, fits: (size: number) => boolean): number | null {
  const least = Math.min(LEAST_MM, wanted);
  let [low, high] = [0, Math.floor((wanted - least) / STEP_MM + 1e-9)];
  if (!fits(wanted - high * STEP_MM)) return null;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (fits(wanted - middle * STEP_MM)) high = middle;
    else low = middle + 1;
  }
  return wanted - high * STEP_MM;
}

/** One bar a row and words as small as they must be, moved as far as they must. */
function forced(song: Song, sheet: Sheet, wishes: GridWishes, perBar: number): RowGrid {
  const rows = beatRows(song, perBar);
  for (let size = LEAST_MM; ; size *= 0.9) {
    const grid = place(song, sheet, wishes, rows, { sizeMm: size, widestMm: Infinity, tolerance: Infinity });
    if (grid !== null || size < 0.2) return grid ?? { rows: [], beatMm: 0, sizeMm: size };
  }
}

/** All rows with their words at this size, or null when some row does not hold them. */
function place(
  song: Song,
  sheet: Sheet,
  wishes: GridWishes,
  rows: readonly BeatRow[],
  measures: { readonly sizeMm: number; readonly widestMm: number; readonly tolerance?: number },
): RowGrid | null {
  const { sizeMm, widestMm, tolerance = TOLERANCE_BEATS } = measures;
  const perBeat = song.metre.ticksPerBeat;
  const lead = Math.max(0, ...rows.map((row) => row.firstBeat - row.start)) / perBeat;
  const columns = Math.max(...rows.map(columnsOf(song)));
  const leadBars = Math.max(0, ...rows.map((row) => -barsBefore(row, row.start)));
  const innerBars = leadBars + Math.max(...rows.map((row) => barsBefore(row, row.end - 1)));
  const parts = lead + columns + (innerBars + 0.5) * wishes.barGap;
  // a mark at the first or last moment reaches half its width beyond it
  const wide = Math.min(widestMm, bodyWidth(sheet) / parts);
  const edgeMm = Math.max(0, REACH * sizeMm - BEFORE_BEAT * wide);
  const beatMm = Math.min(widestMm, (bodyWidth(sheet) - 2 * edgeMm) / parts);
  const left = sheet.margins.leftMm;
  const zero = left + edgeMm + (lead + leadBars * wishes.barGap + BEFORE_BEAT) * beatMm;
  const placed: GridRow[] = [];
  for (const row of rows) {
    const xOf = (tick: number): number =>
      zero + ((tick - row.firstBeat) / perBeat + barsBefore(row, tick) * wishes.barGap) * beatMm;
    const barLineX = (tick: number): number => xOf(tick) - (BEFORE_BEAT + wishes.barGap / 2) * beatMm;
    const leftMm = xOf(row.start) - BEFORE_BEAT * beatMm;
    const rightMm = xOf(row.end - 1) + (1 / perBeat - BEFORE_BEAT + wishes.barGap / 2) * beatMm;
    const notes = row.notes.filter((note) => note.syllable !== null);
    const placeOf = wishes.placeOf ?? ((note: SongNote) => note.onset);
    const wanted = notes.map((note) =>
      wantedWord(sheet.setter, note, wishes, { sizeMm, centreMm: xOf(placeOf(note)) }),
    );
    // a row's words may run on to the edge of the sheet where its beats end before it
    const set: Spread | null = spread(wanted, left, Math.max(rightMm, left + bodyWidth(sheet)));
    if (set === null || set.worstMm > tolerance * beatMm) return null;
    if (
      tolerance !== Infinity &&
      !lettersFit(sheet, row, wishes, { xOf: (note) => xOf(placeOf(note)), barLineX, sizeMm })
    )
      return null;
    const words = notes.map((note, i): GridWord => {
      const division = note.syllable?.division ?? 'single';
      return {
        note,
        text: note.syllable?.text ?? '',
        centreMm: set.centresMm[i] ?? 0,
        widthMm: wanted[i]?.widthMm ?? 0,
        gapMm: wanted[i]?.gapAfterMm ?? 0,
        goesOn: (division === 'begin' || division === 'middle') && note.syllable?.text.endsWith('-') !== true,
      };
    });
    placed.push({ row, words, leftMm, rightMm, xOf, barLineX });
  }
  return { rows: placed, beatMm, sizeMm };
}

/** Bar lines between the row's first beat and this moment: negative in its upbeat. */
function barsBefore(row: BeatRow, tick: number): number {
  const after = row.barLines.filter((bar) => bar > row.firstBeat && bar <= tick).length;
  const before = row.barLines.filter((bar) => bar <= row.firstBeat && bar > tick).length;
  return after - before;
}

function wantedWord(
  setter: Setter,
  note: SongNote,
  wishes: GridWishes,
  { sizeMm, centreMm }: { readonly sizeMm: number; readonly centreMm: number },
): Wanted {
  const { face } = wishes;
  const widthMm = wishes.widthOf?.(note, sizeMm) ?? setter.width(note.syllable?.text ?? '', face, sizeMm);
  const division = note.syllable?.division;
  const goesOn = division === 'begin' || division === 'middle';
  const own = goesOn ? setter.width('-', face, sizeMm) + 0.16 * sizeMm : 0.3 * sizeMm;
  return { centreMm, widthMm, gapAfterMm: own + (wishes.roomAfter?.(note) ?? 0) * sizeMm };
}

/** The middle of the gap after a word, where its hyphen stands. */
export function hyphenPlace(row: GridRow, index: number): number {
  const word = row.words[index];
  const next = row.words[index + 1];
  if (word === undefined) return 0;
  const end = word.centreMm + word.widthMm / 2;
  if (next === undefined) return end + word.gapMm / 2;
  return (end + next.centreMm - next.widthMm / 2) / 2;
}

/** Ticks of a row's notes and rests that stand for an empty beat, told apart from beats on which a syllable begins. */
export function beginsOn(row: BeatRow, tick: Ticks): boolean {
  return row.notes.some((note) => note.onset === tick && note.syllable !== null);
}
