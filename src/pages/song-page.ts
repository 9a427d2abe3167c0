/**
 * The song page: staff notation with its words, one phrase a system, as a song book has it.
 */
import type { Engraver } from './engraver.ts';
import { engraverInput } from './engraver.ts';
import { STAFF_SPACE, type EngravedSystem } from './engraved.ts';
import { readEngraving } from './engraving.ts';
import type { Group, Page, PathShape } from './page.ts';
import { bodyWidth, flow, type Block, type Head, type Sheet } from './sheet.ts';
import { printedPitch } from './sticks-page.ts';
import { clearance, extent, onPage, withoutStrikes, wordsTouch, type Origin } from './systems.ts';
import { readPitch } from '../pitch.ts';
import type { Song, SongPhrase } from '../song.ts';

export interface SongPageOptions {
  readonly engraver: Engraver;
  readonly writeMusicXml: (song: Song) => string;
  /** Solfa letters under the words. */
  readonly letters: boolean;
}

/** Height of the five lines: large for young readers; smaller only where a phrase is very long. */
const LARGEST_STAFF_MM = 9.5;
const LEAST_STAFF_MM = 1.8;
/** Room left of the staff for the do sign. */
const DO_SIGN_MM = 10;
/** Room right of the staff, into which a breath mark reaches. */
const BREATH_MM = 2;
/** A system is not drawn out to more than this times its natural width. */
const MOST_DRAWN_OUT = 1.3;

export function laySong(song: Song, sheet: Sheet, title: string, options: SongPageOptions): readonly Page[] {
  const head: Head = { title, info: startInfo(song), nameLine: null, face: 'book' };
  const { systems, unitMm } = engrave(song, sheet, options);
  const blocks = systems.map((system, i): Block => {
    const lower = clearance(system, sheet);
    const { top, bottom } = extent(system, lower);
    return {
      heightMm: (bottom - top) * unitMm,
      spaceMm: 2.5,
      draw: (topMm) => {
        const origin = { xMm: sheet.margins.leftMm + DO_SIGN_MM, yMm: topMm - top * unitMm };
        const lowered = system.shapes.map((shape) =>
          shape.inWords ? { ...shape, y: shape.y + lower } : shape,
        );
        const shapes = lowered.flatMap((shape) => onPage(shape, sheet, unitMm, origin));
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
  const widthMm = bodyWidth(sheet) - DO_SIGN_MM - BREATH_MM;
  const natural = Math.max(...song.phrases.map((phrase, i) => naturalWidth(sheet, phrase, i === 0)));
  let staffMm = Math.min(LARGEST_STAFF_MM, (widthMm / natural) * 4 * STAFF_SPACE);
  for (;;) {
    const unitMm = staffMm / (4 * STAFF_SPACE);
    const widthUnits = Math.min(widthMm / unitMm, natural * MOST_DRAWN_OUT);
    const drawn = readEngraving(options.engraver.draw(xml, { widthUnits, justified: true }));
    const fits = drawn.every(({ right }) => right * unitMm <= widthMm + 0.5);
    if (staffMm <= LEAST_STAFF_MM || (fits && !drawn.some((system) => wordsTouch(system, sheet)))) {
      return { systems: drawn.map((system) => withoutStrikes(system, sheet)), unitMm };
    }
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
