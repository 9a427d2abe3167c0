/**
 * The song page: staff notation with its words, one phrase a system, as a song book has it.
 */
import type { Engraver } from './engraver.ts';
import { engraverInput } from './engraver.ts';
import { readEngraving, STAFF_SPACE, type EngravedShape, type EngravedSystem } from './engraving.ts';
import { overlap, type Box } from './faces.ts';
import { outlinePoints } from './outline-bounds.ts';
import type { Group, Page, PathShape, Shape } from './page.ts';
import { bodyWidth, flow, type Block, type Head, type Sheet } from './sheet.ts';
import { printedPitch } from './sticks-page.ts';
import { readPitch } from '../pitch.ts';
import type { Song, SongPhrase } from '../song.ts';

export interface SongPageOptions {
  readonly engraver: Engraver;
  readonly writeMusicXml: (song: Song) => string;
  /** Solfa letters under the words. */
  readonly letters: boolean;
}

/** Height of the five lines: large for young readers, never smaller than print can show. */
const LARGEST_STAFF_MM = 9.5;
const LEAST_STAFF_MM = 3.5;
/** Room left of the staff for the do sign. */
const DO_SIGN_MM = 10;
/** A system is not drawn out to more than this times its natural width. */
const MOST_DRAWN_OUT = 1.3;

export function laySong(song: Song, sheet: Sheet, title: string, options: SongPageOptions): readonly Page[] {
  const head: Head = { title, info: startInfo(song), nameLine: null, face: 'book' };
  const { systems, unitMm } = engrave(song, sheet, options);
  const blocks = systems.map((system, i): Block => {
    const { top, bottom } = extent(system, sheet, unitMm);
    return {
      heightMm: (bottom - top) * unitMm,
      spaceMm: 2.5,
      draw: (topMm) => {
        const origin = { xMm: sheet.margins.leftMm + DO_SIGN_MM, yMm: topMm - top * unitMm };
        const shapes = system.shapes.flatMap((shape) => onPage(shape, sheet, unitMm, origin));
        const text = shapes.filter((shape) => shape.kind === 'text');
        const notes: Group = {
          role: 'figure',
          alt: `Staff notation, line ${String(i + 1)}`,
          shapes: shapes.filter((shape) => shape.kind !== 'text'),
        };
        const sign = i === 0 ? doSign(song, system, sheet, unitMm, origin) : [];
        return [notes, ...sign, { role: 'paragraph', alt: null, shapes: text }];
      },
    };
  });
  return flow(sheet, head, blocks);
}

/** What a singer needs to begin, in the words of a song book. */
function startInfo(song: Song): string {
  const beat = song.metre.beatClass === 'compound' ? 'dotted quarter' : 'quarter';
  return `do is ${printedPitch(song.do)} · ${beat} = ${String(song.tempoBpm)} · ${song.rung}`;
}

interface Engraved {
  readonly systems: readonly EngravedSystem[];
  readonly unitMm: number;
}

/** Draw the song as large as its widest phrase allows; where words still touch, draw it smaller. */
function engrave(song: Song, sheet: Sheet, options: SongPageOptions): Engraved {
  const xml = engraverInput(options.writeMusicXml(song), { letters: options.letters });
  const widthMm = bodyWidth(sheet) - DO_SIGN_MM;
  const natural = Math.max(...song.phrases.map((phrase, i) => naturalWidth(sheet, phrase, i === 0)));
  let staffMm = Math.min(LARGEST_STAFF_MM, (widthMm / natural) * 4 * STAFF_SPACE);
  for (;;) {
    const unitMm = Math.max(staffMm, LEAST_STAFF_MM) / (4 * STAFF_SPACE);
    const widthUnits = Math.min(widthMm / unitMm, natural * MOST_DRAWN_OUT);
    const systems = readEngraving(options.engraver.draw(xml, { widthUnits, justified: true }));
    if (staffMm <= LEAST_STAFF_MM || !systems.some((system) => wordsTouch(system, sheet)))
      return { systems, unitMm };
    staffMm *= 0.88;
  }
}

/** Size of the words in the engraver's units, and what else stands in a system before its notes. */
const WORD_SIZE = 450;
const CLEF_AND_KEY = 1700;
const METRE = 700;

/**
 * About how wide a phrase wants to be, in the engraver's units: each note as wide as its syllable or its value asks.
 * Measured on verovio 6.3; only a first guess, since what comes back is looked at.
 */
function naturalWidth(sheet: Sheet, phrase: SongPhrase, first: boolean): number {
  const notes = phrase.notes.map((note) => {
    const value = 260 + 340 * (note.duration / 480) ** 0.6;
    const text = note.syllable?.text ?? '';
    const goesOn = note.syllable?.division === 'begin' || note.syllable?.division === 'middle';
    const words = text === '' ? 0 : sheet.setter.width(text, 'book', WORD_SIZE) + (goesOn ? 240 : 170);
    return Math.max(value, words);
  });
  return CLEF_AND_KEY + (first ? METRE : 0) + notes.reduce((sum, width) => sum + width, 0);
}

/** True when two words of a system overlap. */
function wordsTouch(system: EngravedSystem, sheet: Sheet): boolean {
  const boxes = system.shapes.flatMap((shape): Box[] => {
    if (shape.kind !== 'text') return [];
    const widthMm = sheet.setter.width(shape.text, shape.face, shape.size);
    const back = shape.anchor === 'middle' ? widthMm / 2 : shape.anchor === 'end' ? widthMm : 0;
    return [{ xMm: shape.x - back, yMm: shape.y - 0.7 * shape.size, widthMm, heightMm: 0.7 * shape.size }];
  });
  return boxes.some((box, i) => boxes.slice(i + 1).some((other) => overlap(box, other)));
}

/** Highest and lowest ink of a system, in the engraver's units. */
function extent(system: EngravedSystem, sheet: Sheet, unitMm: number): { top: number; bottom: number } {
  let top = Math.min(...system.staffLines);
  let bottom = Math.max(...system.staffLines);
  for (const shape of system.shapes) {
    if (shape.kind === 'text') {
      bottom = Math.max(bottom, shape.y + 0.26 * shape.size);
      continue;
    }
    for (const [, y] of outlinePoints(shape.outline)) {
      top = Math.min(top, shape.y + y * shape.scaleY);
      bottom = Math.max(bottom, shape.y + y * shape.scaleY);
    }
  }
  return { top: Math.min(top, doHeight(system) - sheet.setter.width('d', 'book', 2 / unitMm)), bottom };
}

function doHeight(system: EngravedSystem): number {
  return Math.min(...system.staffLines);
}

interface Origin {
  readonly xMm: number;
  readonly yMm: number;
}

function onPage(shape: EngravedShape, sheet: Sheet, unitMm: number, origin: Origin): readonly Shape[] {
  const xMm = origin.xMm + shape.x * unitMm;
  const yMm = origin.yMm + shape.y * unitMm;
  if (shape.kind === 'text') {
    const align = shape.anchor === 'middle' ? 'centre' : shape.anchor === 'end' ? 'right' : 'left';
    const { face, text } = shape;
    return sheet.setter.text(text, { xMm, baselineMm: yMm, face, sizeMm: shape.size * unitMm, align });
  }
  const straight = /^M([-\d.]+) ([-\d.]+) L([-\d.]+) ([-\d.]+)$/.exec(shape.outline);
  if (straight !== null && shape.stroke > 0) {
    const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = straight.slice(1).map((value) => Number(value) * unitMm);
    const strokeMm = shape.stroke * unitMm;
    const ends = { x1Mm: xMm + x1, y1Mm: yMm + y1, x2Mm: xMm + x2, y2Mm: yMm + y2 };
    return [{ kind: 'line', ...ends, strokeMm, dashMm: null, cap: 'butt' }];
  }
  const scales = { scaleX: shape.scaleX * unitMm, scaleY: shape.scaleY * unitMm };
  const drawn: PathShape = {
    kind: 'path',
    outline: shape.outline,
    xMm,
    yMm,
    ...scales,
    filled: true,
    strokeMm: 0,
  };
  return [{ ...drawn, strokeMm: shape.stroke * unitMm }];
}

/** `do` and a wedge that points to its line or space, left of the first system. */
function doSign(
  song: Song,
  system: EngravedSystem,
  sheet: Sheet,
  unitMm: number,
  origin: Origin,
): readonly Group[] {
  const pitch = readPitch(song.do);
  const bottomLine = Math.max(...system.staffLines);
  if (pitch === null) return [];
  // the bottom line of the treble staff is E4, and each letter is half a space
  const steps = 'CDEFGAB'.indexOf(pitch.letter) + 7 * (pitch.octave - 4) - 2;
  const yMm = origin.yMm + (bottomLine - (steps * STAFF_SPACE) / 2) * unitMm;
  const space = STAFF_SPACE * unitMm;
  const right = origin.xMm + system.left * unitMm - 0.3 * space;
  const wedge: PathShape = {
    kind: 'path',
    outline: 'M 0 0 L -10 -4.5 L -10 4.5 Z',
    xMm: right,
    yMm,
    scaleX: space / 10,
    scaleY: space / 10,
    filled: true,
    strokeMm: 0,
  };
  const sizeMm = Math.min(1.9 * space, 4.2);
  const place = { xMm: right - 1.25 * space, baselineMm: yMm + 0.24 * sizeMm, align: 'right' } as const;
  return [
    {
      role: 'paragraph',
      alt: null,
      shapes: sheet.setter.text('do', { ...place, face: 'reader-bold', sizeMm }),
    },
    { role: 'decoration', alt: null, shapes: [wedge] },
  ];
}
