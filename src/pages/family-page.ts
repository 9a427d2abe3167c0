/**
 * The family page: the rungs of one rhyme beneath one another, aligned by syllable, as reading cards. The first rung is
 * written out; of each further one only what differs from the rung above it, the rest as dots.
 */
import { disc, line, type Group, type Page, type Shape } from './page.ts';
import { bodyWidth, countPages, flow, type Block, type Head, type Sheet } from './sheet.ts';
import type { Song, SongPhrase } from '../song.ts';

/** One syllable's column: its text and, for each song, the letters that it is sung on. */
interface Column {
  readonly text: string;
  readonly goesOn: boolean;
  readonly letters: readonly string[];
}

/** A card's line: columns that stand in one row. */
interface Card {
  readonly columns: readonly Column[];
  readonly startsStanza: boolean;
  readonly goesOn: boolean;
}

const PREFERRED_MM = 6.5;
const LEAST_MM = 2.5;
const STEP_MM = 0.25;
/** Measures in word sizes. */
const ROW_EM = 1.25;
const GAP_EM = 0.38;
/** After a syllable whose word goes on. */
const JOIN_EM = 0.12;
const BETWEEN_EM = 1.1;

/**
 * Cards for songs of one rhyme, the easiest first. The songs' lines are those of the same rhyme: where a song has other
 * syllables than the first in some line, that line shows it as empty.
 */
export function layFamily(songs: readonly Song[], sheet: Sheet, title: string): readonly Page[] {
  const first = songs[0];
  if (first === undefined) return [];
  const head: Head = {
    title,
    info: songs.map((song) => song.rung).join(' · '),
    nameLine: null,
    face: 'reader',
  };
  const lines = first.phrases.map((phrase, i) => ({
    columns: columnsOf(
      phrase,
      songs.map((song) => song.phrases[i]),
    ),
    startsStanza: i > 0 && first.phrases[i - 1]?.stanza !== phrase.stanza,
  }));
  const layAt = (sizeMm: number): readonly Block[] =>
    lines.flatMap(({ columns, startsStanza }) =>
      cardsOf(sheet, songs, columns, sizeMm).map((own, k, all): Block =>
        cardBlock(
          sheet,
          songs,
          { columns: own, startsStanza: startsStanza && k === 0, goesOn: k < all.length - 1 },
          sizeMm,
          k > 0,
        ),
      ),
    );
  let sizeMm = sheet.wordSizeMm ?? PREFERRED_MM;
  if (sheet.wordSizeMm === null) {
    const comfort = 4.2;
    const fewest = countPages(sheet, head, layAt(comfort));
    while (sizeMm > comfort && countPages(sheet, head, layAt(sizeMm)) > fewest) sizeMm -= STEP_MM;
    // a whole line on its card is worth a little size
    const broken = (size: number): number => layAt(size).length;
    while (
      sizeMm > LEAST_MM + 1.2 &&
      broken(sizeMm) > lines.length &&
      broken(sizeMm - STEP_MM) < broken(sizeMm)
    )
      sizeMm -= STEP_MM;
  }
  return flow(sheet, head, layAt(sizeMm));
}

function columnsOf(phrase: SongPhrase, others: readonly (SongPhrase | undefined)[]): readonly Column[] {
  const letters = others.map((other) => lettersOf(other));
  const own = phrase.notes.flatMap((note) => (note.syllable === null ? [] : [note.syllable]));
  return own.map((syllable, i): Column => ({
    text: syllable.text,
    goesOn: (syllable.division === 'begin' || syllable.division === 'middle') && !syllable.text.endsWith('-'),
    letters: letters.map((each) => (each.length === own.length ? (each[i] ?? '') : '')),
  }));
}

/** The letters of each syllable, slurred ones together; a tie adds none. */
function lettersOf(phrase: SongPhrase | undefined): readonly string[] {
  const letters: string[] = [];
  for (const note of phrase?.notes ?? []) {
    if (note.tone === null) continue;
    if (note.syllable !== null) letters.push(note.tone);
    else if (note.tie === null || note.tie === 'start')
      letters[letters.length - 1] = `${letters.at(-1) ?? ''} ${note.tone}`;
  }
  return letters;
}

/** What a row shows in a column: the letters where they are new or changed, else null for a dot. */
function shownIn(column: Column, row: number): string | null {
  const own = column.letters[row] ?? '';
  return row > 0 && own === column.letters[row - 1] ? null : own;
}

function labelWidth(sheet: Sheet, songs: readonly Song[], sizeMm: number): number {
  return (
    Math.max(...songs.map((song) => sheet.setter.width(song.rung, 'reader', 0.62 * sizeMm))) + 0.8 * sizeMm
  );
}

function columnWidth(sheet: Sheet, column: Column, sizeMm: number): number {
  const letters = column.letters.map(
    (text) => sheet.setter.width(text, 'reader-bold', sizeMm) + 0.2 * sizeMm,
  );
  const word = sheet.setter.width(column.goesOn ? `${column.text}-` : column.text, 'reader', sizeMm);
  return Math.max(word, ...letters);
}

/** Columns in rows that fit the width. */
function cardsOf(
  sheet: Sheet,
  songs: readonly Song[],
  columns: readonly Column[],
  sizeMm: number,
): readonly (readonly Column[])[] {
  const room = bodyWidth(sheet) - labelWidth(sheet, songs, sizeMm);
  const rows: Column[][] = [];
  let used = Infinity;
  for (const column of columns) {
    const widthMm = columnWidth(sheet, column, sizeMm);
    if (used + widthMm > room) {
      rows.push([]);
      used = 0;
    }
    rows.at(-1)?.push(column);
    used += widthMm + (column.goesOn ? JOIN_EM : GAP_EM) * sizeMm;
  }
  return rows;
}

function cardBlock(
  sheet: Sheet,
  songs: readonly Song[],
  card: Card,
  sizeMm: number,
  continued: boolean,
): Block {
  const heightMm = (1.35 + ROW_EM * songs.length) * sizeMm;
  const between = card.startsStanza ? 1.8 * BETWEEN_EM : continued ? 0.6 * BETWEEN_EM : BETWEEN_EM;
  return {
    heightMm,
    spaceMm: between * sizeMm,
    draw: (topMm) => drawCard(sheet, songs, card, { sizeMm, topMm, heightMm }),
  };
}

function drawCard(
  sheet: Sheet,
  songs: readonly Song[],
  { columns }: Card,
  { sizeMm, topMm, heightMm }: { readonly sizeMm: number; readonly topMm: number; readonly heightMm: number },
): readonly Group[] {
  const { setter } = sheet;
  const left = sheet.margins.leftMm;
  const label = labelWidth(sheet, songs, sizeMm);
  const words: Shape[] = [];
  const rows: { text: Shape[]; dots: Shape[] }[] = songs.map(() => ({ text: [], dots: [] }));
  const baselineOf = (row: number): number => topMm + (2.2 + ROW_EM * row) * sizeMm;
  let x = left + label;
  for (const column of columns) {
    const widthMm = columnWidth(sheet, column, sizeMm);
    const text = column.goesOn ? `${column.text}-` : column.text;
    words.push(...setter.text(text, { xMm: x, baselineMm: topMm + sizeMm, face: 'reader', sizeMm }));
    songs.forEach((_, row) => {
      const shown = shownIn(column, row);
      if (shown === null)
        rows[row]?.dots.push(disc(x + 0.28 * sizeMm, baselineOf(row) - 0.22 * sizeMm, 0.06 * sizeMm));
      else
        rows[row]?.text.push(
          ...setter.text(shown, { xMm: x, baselineMm: baselineOf(row), face: 'reader-bold', sizeMm }),
        );
    });
    x += widthMm + (column.goesOn ? JOIN_EM : GAP_EM) * sizeMm;
  }
  const under = line(
    left,
    topMm + heightMm + 0.3 * sizeMm,
    sheet.widthMm - sheet.margins.rightMm,
    topMm + heightMm + 0.3 * sizeMm,
    0.15,
  );
  return [
    { role: 'paragraph', alt: null, shapes: words },
    ...songs.flatMap((song, row): readonly Group[] => [
      {
        role: 'paragraph',
        alt: null,
        shapes: [
          ...setter.text(song.rung, {
            xMm: left,
            baselineMm: baselineOf(row),
            face: 'reader',
            sizeMm: 0.62 * sizeMm,
          }),
          ...(rows[row]?.text ?? []),
        ],
      },
      { role: 'decoration', alt: null, shapes: rows[row]?.dots ?? [] },
    ]),
    { role: 'decoration', alt: null, shapes: [under] },
  ];
}
