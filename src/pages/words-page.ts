/**
 * The words page: the rhyme in large print, words whole, with a mark under each syllable that falls on a beat.
 */
import { disc, ring, type Group, type Page, type Shape } from './page.ts';
import { bodyWidth, countPages, flow, type Block, type Head, type Sheet } from './sheet.ts';
import { beatRows, type BeatRow } from './beat-rows.ts';
import type { Song } from '../song.ts';
import { ticksPerBar } from '../time.ts';

/** Something in a line of words: a word with the marks under it, or the mark of an empty beat. */
interface Item {
  readonly text: string;
  /** Advance in word sizes. */
  readonly widthEm: number;
  /** Marks by the place of their middle from the left of the item, in word sizes. */
  readonly marks: readonly { readonly atEm: number; readonly kind: 'strong' | 'beat' | 'empty' }[];
}

const PREFERRED_MM = 13;
/** Lines are broken before words get smaller than this. */
const COMFORT_MM = 6.8;
const STEP_MM = 0.25;
const SPACE_EM = 0.3;
const INDENT_EM = 1;
/** Height of a printed line and the room between lines, in word sizes. */
const LINE_EM = 1.42;
const BETWEEN_EM = 0.35;
const INFO = 'A dot is a beat, a large dot begins a bar, an open dot is an empty beat.';

export function layWords(song: Song, sheet: Sheet, title: string): readonly Page[] {
  const head: Head = { title, info: INFO, nameLine: null, face: 'reader' };
  const lines = beatRows(song, Infinity).map((row) => ({ row, items: itemsOf(song, sheet, row) }));
  const sizeMm = chooseSize(sheet, head, lines);
  const blocks = lines.flatMap((each) => lineBlocks(sheet, each, sizeMm));
  return flow(sheet, head, blocks);
}

interface Line {
  readonly row: BeatRow;
  readonly items: readonly Item[];
}

/** The largest size at which every line stands unbroken; where that is small, a readable one on as few pages as it takes. */
function chooseSize(sheet: Sheet, head: Head, lines: readonly Line[]): number {
  const widthMm = bodyWidth(sheet);
  const longest = Math.max(...lines.map(({ items }) => lineWidth(items)));
  const widest = Math.max(...lines.flatMap(({ items }) => items.map((item) => item.widthEm + INDENT_EM)));
  const most = Math.min(sheet.wordSizeMm ?? PREFERRED_MM, widthMm / widest);
  if (sheet.wordSizeMm !== null) return most;
  const whole = Math.min(most, widthMm / longest);
  const comfort = Math.min(most, COMFORT_MM);
  const pagesAt = (size: number): number =>
    countPages(
      sheet,
      head,
      lines.flatMap((each) => lineBlocks(sheet, each, size)),
    );
  const fewest = pagesAt(comfort);
  let size = whole >= COMFORT_MM ? whole : comfort;
  while (size > comfort && pagesAt(size) > fewest) size -= STEP_MM;
  return Math.max(size, Math.min(comfort, size));
}

function lineWidth(items: readonly Item[]): number {
  return items.reduce((sum, item) => sum + item.widthEm + SPACE_EM, -SPACE_EM);
}

function itemsOf(song: Song, sheet: Sheet, row: BeatRow): readonly Item[] {
  const bar = ticksPerBar(song.metre);
  const kindAt = (tick: number): 'strong' | 'beat' =>
    (tick - song.upbeatTicks) % bar === 0 ? 'strong' : 'beat';
  const items: { text: string; widthEm: number; marks: Item['marks'][number][] }[] = [];
  let word: number | null = null;
  const beatsLeft = [...row.beats];
  const emptiesBefore = (tick: number): void => {
    while ((beatsLeft[0] ?? Infinity) < tick) {
      beatsLeft.shift();
      items.push({ text: '', widthEm: 0.7, marks: [{ atEm: 0.35, kind: 'empty' }] });
      word = null;
    }
  };
  for (const note of row.notes) {
    const { syllable } = note;
    if (syllable === null) continue;
    const inWord = syllable.word === word;
    // a beat inside a word is held by it: no mark of its own would have a place
    if (inWord) while ((beatsLeft[0] ?? Infinity) < note.onset) beatsLeft.shift();
    else emptiesBefore(note.onset);
    const onBeat = beatsLeft[0] === note.onset;
    if (onBeat) beatsLeft.shift();
    const last = items.at(-1);
    const widthEm = sheet.setter.width(syllable.text, 'reader', 1);
    const start = inWord && last !== undefined ? last.widthEm : 0;
    const marks = onBeat ? [{ atEm: start + widthEm / 2, kind: kindAt(note.onset) }] : [];
    if (inWord && last !== undefined) {
      last.text += syllable.text;
      last.widthEm += widthEm;
      last.marks.push(...marks);
    } else {
      items.push({ text: syllable.text, widthEm, marks });
    }
    word = syllable.word;
  }
  emptiesBefore(Infinity);
  return items;
}

/** A line of the rhyme as printed lines; those that go on are indented. */
function lineBlocks(sheet: Sheet, { row, items }: Line, sizeMm: number): readonly Block[] {
  const widthEm = bodyWidth(sheet) / sizeMm + 1e-6;
  const printed: Item[][] = [];
  for (const item of items) {
    const last = printed.at(-1);
    const indent = printed.length > 1 ? INDENT_EM : 0;
    // the mark of an empty beat never begins a line: it goes with the word before it
    const fits = indent + lineWidth([...(last ?? []), item]) <= widthEm;
    if (last !== undefined && fits) last.push(item);
    else if (item.text === '' && last !== undefined && last.length > 1) {
      const word = last.findLastIndex((each) => each.text !== '');
      printed.push([...last.splice(Math.max(1, word)), item]);
    } else printed.push([item]);
  }
  return printed.map((line, i): Block => ({
    heightMm: LINE_EM * sizeMm,
    spaceMm: (i > 0 ? 0 : row.startsStanza ? 3 * BETWEEN_EM : BETWEEN_EM) * sizeMm,
    draw: (topMm) => drawLine(sheet, line, sizeMm, { topMm, indentMm: i > 0 ? INDENT_EM * sizeMm : 0 }),
  }));
}

function drawLine(
  sheet: Sheet,
  items: readonly Item[],
  sizeMm: number,
  { topMm, indentMm }: { readonly topMm: number; readonly indentMm: number },
): readonly Group[] {
  const baselineMm = topMm + 0.95 * sizeMm;
  const markMm = baselineMm + 0.36 * sizeMm;
  const words: Shape[] = [];
  const marks: Shape[] = [];
  let x = sheet.margins.leftMm + indentMm;
  for (const item of items) {
    words.push(...sheet.setter.text(item.text, { xMm: x, baselineMm, face: 'reader', sizeMm }));
    for (const { atEm, kind } of item.marks) {
      const at = x + atEm * sizeMm;
      if (kind === 'empty') marks.push(ring(at, markMm, 0.1 * sizeMm, 0.03 * sizeMm));
      else marks.push(disc(at, markMm, (kind === 'strong' ? 0.12 : 0.07) * sizeMm));
    }
    x += (item.widthEm + SPACE_EM) * sizeMm;
  }
  return [
    { role: 'paragraph', alt: null, shapes: words },
    { role: 'decoration', alt: null, shapes: marks },
  ];
}
