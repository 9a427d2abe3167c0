/**
 * The columns of a score: one phrase as a list of bar lines and columns, then rows of text in which rhythm, letters
 * and words stand beneath one another. Alignment is for the eye only; nothing is ever read by its column.
 */
import { figuresOf, PLACE_TICKS, type RhythmNames } from '../rhythm-names.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';
import type { Ticks } from '../time.ts';
import { isTiedOn, songEnd, ticksIntoBar } from './bars.ts';
import { shownWidth, writtenSyllable } from './plain-text.ts';

/** One column of a phrase: what stands on each of the three lines. */
export type Column =
  | { readonly kind: 'bar'; readonly double: boolean }
  | {
      readonly kind: 'cell';
      readonly rhythm: string;
      /** True when the rhythm name is tied to the next column's by hyphens, as eighths are by a beam. */
      readonly joined: boolean;
      /** True when the next column begins a beat. */
      readonly endsBeat: boolean;
      readonly letter: string;
      readonly word: string;
    };

/** How a family of names is written. */
export interface RhythmWriter {
  /** The name of a note as one word for each column that it takes; `''` when the note before has said it too. */
  readonly say: (notes: readonly SongNote[], index: number, intoBar: Ticks) => readonly string[];
  /** False where two rests must stay apart, so that `z-z` is one rest of two beats and `z z` are two. */
  readonly joinsRests: boolean;
}

/** The columns of one phrase, bar lines included. */
export function phraseColumns(song: Song, phrase: SongPhrase, writer: RhythmWriter): readonly Column[] {
  const columns: Column[] = [];
  const { notes } = phrase;
  const beat = song.metre.ticksPerBeat;
  const end = songEnd(song);
  notes.forEach((note, i) => {
    const intoBar = ticksIntoBar(song, note.onset);
    if (intoBar === 0) columns.push({ kind: 'bar', double: false });
    const says = writer.say(notes, i, intoBar);
    const next = notes[i + 1];
    const nextInto = ticksIntoBar(song, note.onset + note.duration);
    const inBeat = next !== undefined && nextInto % beat !== 0;
    const twoRests = note.tone === null && next?.tone === null;
    const joined = inBeat && (writer.joinsRests || !twoRests);
    says.forEach((rhythm, k) => {
      const last = k === says.length - 1;
      columns.push({
        kind: 'cell',
        rhythm: last && note.breath === true ? `${rhythm},` : rhythm,
        joined: last ? joined : says[k + 1] !== '-',
        endsBeat: last ? nextInto % beat === 0 : true,
        letter: k === 0 ? letterOf(note) : '',
        word: k === 0 ? writtenSyllable(note.syllable) : '',
      });
    });
    if (note.onset + note.duration === end) columns.push({ kind: 'bar', double: true });
    else if (next === undefined && nextInto === 0) columns.push({ kind: 'bar', double: false });
  });
  return columns.map((column, i) => sayForNext(column, columns[i + 1]));
}

/** A name that stands for the next note too takes over its breath, and is tied on only if that one is. */
function sayForNext(column: Column, next: Column | undefined): Column {
  if (column.kind !== 'cell') return column;
  if (column.rhythm === ',') return { ...column, rhythm: '' };
  if (next?.kind !== 'cell') return column;
  if (next.rhythm !== '' && next.rhythm !== ',') return column;
  return { ...column, rhythm: column.rhythm + next.rhythm, joined: next.joined };
}

/** The solfa letter, `-` for a tied note, brackets around a slur, nothing for a rest. */
function letterOf(note: SongNote): string {
  if (note.tone === null) return '';
  const letter = isTiedOn(note) ? '-' : note.tone;
  return note.slur === 'start' ? `(${letter}` : note.slur === 'stop' ? `${letter})` : letter;
}

/** How this family says each note of this song, looked up once for all. */
export function rhythmWriter(song: Song, names: RhythmNames): RhythmWriter {
  return names.kind === 'place'
    ? { say: placeWriter(song, names.places[song.metre.beatClass]), joinsRests: true }
    : { say: valueWriter(song, names), joinsRests: false };
}

function valueWriter(song: Song, names: Extract<RhythmNames, { kind: 'value' }>): RhythmWriter['say'] {
  const says = new Map<string, readonly string[]>();
  const pairs = new Map<Ticks, string>();
  for (const figure of figuresOf(names, song.metre.beatClass)) {
    const [first = 0] = figure.ticks;
    if (figure.ticks.length === 2) pairs.set(first, figure.says);
    else says.set(`${figure.rest ? 'z' : ''}${String(first)}`, figure.says.split('-'));
  }
  const isPairFirst = (notes: readonly SongNote[], i: number, intoBar: Ticks): boolean => {
    const [first, second] = [notes[i], notes[i + 1]];
    if (first === undefined || second === undefined || first.breath === true) return false;
    const { duration } = first;
    return (
      pairs.has(duration) &&
      second.duration === duration &&
      first.tone !== null &&
      second.tone !== null &&
      (intoBar % song.metre.ticksPerBeat) % (2 * duration) === 0 &&
      (intoBar % song.metre.ticksPerBeat) + 2 * duration <= song.metre.ticksPerBeat
    );
  };
  return (notes, i, intoBar) => {
    const note = notes[i];
    if (note === undefined) return [];
    if (isPairFirst(notes, i, intoBar)) return [pairs.get(note.duration) ?? ''];
    if (i > 0 && isPairFirst(notes, i - 1, intoBar - note.duration)) return [''];
    const words = says.get(`${note.tone === null ? 'z' : ''}${String(note.duration)}`);
    if (words === undefined) throw new RangeError(`No note value lasts ${String(note.duration)} ticks.`);
    return words;
  };
}

function placeWriter(song: Song, places: readonly string[]): RhythmWriter['say'] {
  const beat = song.metre.ticksPerBeat;
  return (notes, i, intoBar) => {
    const note = notes[i];
    if (note === undefined) return [];
    const place = places[(intoBar % beat) / PLACE_TICKS];
    if (place === undefined) throw new RangeError(`No place at ${String(intoBar)} ticks.`);
    const name = place === '#' ? String(Math.floor(intoBar / beat) + 1) : place;
    const held = Math.ceil(((intoBar % beat) + note.duration) / beat) - 1;
    return [note.tone === null ? `(${name})` : name, ...Array<string>(held).fill('-')];
  };
}

/** How the bar lines are drawn. */
export interface BarSigns {
  readonly single: string;
  readonly double: string;
}

/**
 * Lay columns out as rows of three lines: rhythm, letters, words; the last left out when there are no words at all.
 *
 * A row that would pass `width` characters is broken at the last bar line before it, if there is one.
 */
export function layRows(
  columns: readonly Column[],
  signs: BarSigns,
  width: number,
): readonly (readonly string[])[] {
  return breakRows(columns, width).map((row) => {
    const lines = ['  ', '  ', '  '];
    row.forEach((column, i) => {
      if (column.kind === 'bar') {
        const sign = column.double ? signs.double : `${signs.single} `;
        lines.forEach((line, k) => (lines[k] = line + sign));
        return;
      }
      const size = columnWidth(column, row[i + 1]);
      const cells = [column.rhythm, column.letter, column.word];
      cells.forEach((text, k) => {
        const fill = k === 0 && column.joined ? '-' : ' ';
        lines[k] = `${lines[k] ?? ''}${text}${fill.repeat(Math.max(0, size - shownWidth(text)))}`;
      });
    });
    const hasWords = row.some((column) => column.kind === 'cell' && column.word !== '');
    return (hasWords ? lines : lines.slice(0, 2)).map((line) => line.trimEnd());
  });
}

function breakRows(columns: readonly Column[], width: number): readonly (readonly Column[])[] {
  const rows: Column[][] = [];
  let row: Column[] = [];
  let used = 2;
  let lastBar = -1;
  columns.forEach((column, i) => {
    used += columnWidth(column, columns[i + 1]);
    if (column.kind === 'bar' && row.length > 0) lastBar = row.length;
    row.push(column);
    if (used <= width || lastBar <= 0 || column.kind === 'bar') return;
    // the bar line closes this row and opens the next
    rows.push(row.slice(0, lastBar + 1));
    row = row.slice(lastBar);
    used = 2 + row.reduce((sum, c, k) => sum + columnWidth(c, row[k + 1] ?? columns[i + 1]), 0);
    lastBar = -1;
  });
  rows.push(row);
  return rows;
}

/** Columns inside a beat stand one space apart, beats two. */
function columnWidth(column: Column, next: Column | undefined): number {
  if (column.kind === 'bar') return 2;
  const gap = column.endsBeat && next?.kind === 'cell' ? 2 : 1;
  return gap + Math.max(shownWidth(column.rhythm), shownWidth(column.letter), shownWidth(column.word));
}
