/**
 * Pages to fill in: sticks, letters and words with blanks, and the same page with the answers. Both are drawn by one
 * function, which is told whether to write the answers, so they agree in every blank and lie over one another.
 */
import { hasLetter, type Blanks } from './blanks.ts';
import type { BeatRow } from './beat-rows.ts';
import { evenPlaces, hiddenStretches, isBlank, type HiddenStretch } from './hidden-rhythm.ts';
import { line, type Group, type Page, type Shape } from './page.ts';
import {
  fitRows,
  hyphenPlace,
  type GridRow,
  type GridWishes,
  type GridWord,
  type RowGrid,
} from './row-grid.ts';
import { flow, type Block, type Head, type Sheet } from './sheet.ts';
import {
  BAR_GAP,
  barLines,
  letterShapes,
  rhythmInWords,
  STICK,
  stickShapes,
  stickSpacing,
} from './sticks-page.ts';
import type { Song, SongNote } from '../song.ts';

export interface FillOptions {
  readonly blanks: Blanks;
  /** True on the key. */
  readonly answers: boolean;
  /** Dictation pages have no words: words tell the rhythm and the tune. */
  readonly dictation: boolean;
  /** Sheet number, from 1, when there are several; else null. */
  readonly version: number | null;
}

export function layFill(song: Song, sheet: Sheet, title: string, options: FillOptions): readonly Page[] {
  const head: Head = {
    title,
    info: instruction(options),
    nameLine: options.answers ? 'Answers' : 'Name',
    face: 'reader',
  };
  const places =
    options.blanks.part === 'rhythm' ? evenPlaces(song, options.blanks) : new Map<SongNote, number>();
  const showsWords = !options.dictation || options.blanks.part === 'words';
  const wishes: GridWishes = {
    face: 'reader',
    preferredMm: 8,
    head,
    block: (row, sizeMm) => ({ ...stickSpacing(row, sizeMm), draw: () => [] }),
    barGap: BAR_GAP,
    letters: STICK.letters,
    placeOf: (note) => places.get(note) ?? note.onset,
    widthOf: wordWidths(song, sheet, options.blanks, showsWords),
    letterWidthOf: (note, sizeMm) => {
      const own = sheet.setter.width(note.tone ?? '', 'reader-bold', sizeMm);
      return isBlank(options.blanks, 'tones', note) ? Math.max(own, BLANK_LETTER * sizeMm) : own;
    },
  };
  const grid = fitRows(song, sheet, wishes);
  let number = 0;
  const blocks = grid.rows.map((row): Block => ({
    ...stickSpacing(row.row, grid.sizeMm),
    draw: (topMm) => {
      const drawn = drawRow(
        { song, sheet, grid, options, placeOf: wishes.placeOf ?? ((note) => note.onset), showsWords },
        row,
        topMm,
      );
      return drawn.map((group) => {
        if (group.role !== 'blank') return group;
        number += 1;
        return { ...group, alt: `blank ${String(number)}` };
      });
    },
  }));
  return flow(sheet, head, blocks);
}

/** Width of a blank for a letter, in letter sizes: the same for all, so that it gives nothing away. */
const BLANK_LETTER = 1.15;

function instruction({ blanks, dictation, version }: FillOptions): string {
  const what = { tones: 'the missing letters', rhythm: 'the missing rhythm', words: 'the missing words' }[
    blanks.part
  ];
  const sheet = version === null ? '' : ` · Sheet ${String(version)}`;
  return `${dictation ? 'Listen, then write' : 'Sing, then write'} ${what}.${sheet}`;
}

/** Hidden syllables are all as wide as the widest of them. */
function wordWidths(
  song: Song,
  sheet: Sheet,
  blanks: Blanks,
  showsWords: boolean,
): (note: SongNote, sizeMm: number) => number {
  if (!showsWords) return () => 0;
  const own = (note: SongNote): number => sheet.setter.width(note.syllable?.text ?? '', 'reader', 1);
  const hidden = song.phrases
    .flatMap((phrase) => phrase.notes)
    .filter((note) => isBlank(blanks, 'words', note));
  const widest = Math.max(1.4, ...hidden.map(own));
  return (note, sizeMm) => sizeMm * (isBlank(blanks, 'words', note) ? widest : own(note));
}

interface Drawing {
  readonly song: Song;
  readonly sheet: Sheet;
  readonly grid: RowGrid;
  readonly options: FillOptions;
  readonly placeOf: (note: SongNote) => number;
  readonly showsWords: boolean;
}

function drawRow(drawing: Drawing, row: GridRow, topMm: number): readonly Group[] {
  const { song, grid, options } = drawing;
  const { blanks, answers } = options;
  const shown = row.row.notes.filter((note) => !isBlank(blanks, 'rhythm', note));
  const stretches = hiddenStretches(song, blanks, row.row.notes);
  return [
    {
      role: 'figure',
      alt: rhythmAlt(row.row, blanks),
      shapes: runs(shown).flatMap((notes) => stickShapes(song, grid, row, { topMm, notes })),
    },
    ...stretches.map((stretch): Group => ({
      role: 'blank',
      alt: null,
      shapes: [
        frame(grid, row, stretch, topMm),
        ...(answers ? stickShapes(song, grid, row, { topMm: topMm, notes: stretch.notes }) : []),
      ],
    })),
    ...letterGroups(drawing, row, topMm),
    ...(drawing.showsWords ? wordGroups(drawing, row, topMm) : []),
    barLines(grid, row, topMm),
  ];
}

/** Notes that follow one another without a hidden one between them: no beam or bow reaches across a blank. */
function runs(notes: readonly SongNote[]): readonly (readonly SongNote[])[] {
  const found: SongNote[][] = [];
  for (const note of notes) {
    const before = found.at(-1)?.at(-1);
    if (before !== undefined && before.onset + before.duration === note.onset) found.at(-1)?.push(note);
    else found.push([note]);
  }
  return found;
}

function rhythmAlt(row: BeatRow, blanks: Blanks): string {
  const parts: string[] = [];
  for (const note of row.notes) {
    if (isBlank(blanks, 'rhythm', note)) {
      if (parts.at(-1) !== 'blank') parts.push('blank');
    } else {
      parts.push(rhythmInWords([note]));
    }
  }
  return parts.join(', ');
}

/** An empty box over the beats whose rhythm is hidden. */
function frame(grid: RowGrid, row: GridRow, stretch: HiddenStretch, topMm: number): Shape {
  const pad = 0.15 * grid.beatMm;
  const left = row.xOf(stretch.start) - pad + 0.08 * grid.beatMm;
  const right = Math.min(row.xOf(stretch.end - 1) - 0.9 * pad, row.rightMm - 0.02 * grid.beatMm);
  const heightMm = STICK.stick * grid.sizeMm + 0.3 * grid.sizeMm;
  return {
    kind: 'rect',
    xMm: left,
    yMm: topMm - 0.15 * grid.sizeMm,
    widthMm: Math.max(right - left, 0.2 * grid.beatMm),
    heightMm,
    filled: false,
    strokeMm: 0.3,
    dashMm: 1.2,
  };
}

/** The letters as one text, and each hidden letter as a blank of its own. */
function letterGroups(drawing: Drawing, row: GridRow, topMm: number): readonly Group[] {
  const { sheet, grid, options, placeOf } = drawing;
  const letters: Shape[] = [];
  const blanks: Group[] = [];
  for (const note of row.row.notes) {
    if (!hasLetter(note)) continue;
    const xMm = row.xOf(placeOf(note));
    const letter = letterShapes(sheet, grid, xMm, note, topMm);
    if (!isBlank(options.blanks, 'tones', note)) {
      letters.push(...letter);
      continue;
    }
    const y = topMm + (STICK.lettersAt + 0.16) * grid.sizeMm;
    const half = (BLANK_LETTER * STICK.letters * grid.sizeMm) / 2;
    const shapes = [
      line(xMm - half, y, xMm + half, y, 0.06 * grid.sizeMm),
      ...(options.answers ? letter : []),
    ];
    blanks.push({ role: 'blank', alt: null, shapes });
  }
  return [{ role: 'paragraph', alt: null, shapes: letters }, ...blanks];
}

/** The words as one text, and each hidden syllable as a blank of its own. */
function wordGroups(drawing: Drawing, row: GridRow, topMm: number): readonly Group[] {
  const { sheet, grid, options } = drawing;
  const baselineMm = topMm + STICK.wordsAt * grid.sizeMm;
  const style = { baselineMm, face: 'reader', sizeMm: grid.sizeMm, align: 'centre' } as const;
  const words: Shape[] = [];
  const blanks: Group[] = [];
  row.words.forEach((word: GridWord, i) => {
    const text = sheet.setter.text(word.text, { ...style, xMm: word.centreMm });
    if (word.goesOn) words.push(...sheet.setter.text('-', { ...style, xMm: hyphenPlace(row, i) }));
    if (!isBlank(options.blanks, 'words', word.note)) {
      words.push(...text);
      return;
    }
    const y = baselineMm + 0.16 * grid.sizeMm;
    const [from, to] = [word.centreMm - word.widthMm / 2, word.centreMm + word.widthMm / 2];
    const shapes = [line(from, y, to, y, 0.06 * grid.sizeMm), ...(options.answers ? text : [])];
    blanks.push({ role: 'blank', alt: null, shapes });
  });
  return [{ role: 'paragraph', alt: null, shapes: words }, ...blanks];
}
