/**
 * The ladder page: the tones of the rung as rungs of a ladder, steps and skips at their true distance, with the tones
 * that the song sings, its first tone and do marked; beside it, if asked for, the same tones on a staff.
 */
import { disc, line, ring, type EllipseShape, type Group, type Page, type Shape } from './page.ts';
import { bodyBottom, drawHead, type Head, type Sheet } from './sheet.ts';
import { printedPitch } from './sticks-page.ts';
import { isTone, pitchName, pitchOf, readPitch, toneSemitones, type Pitch, type Tone } from '../pitch.ts';
import type { Song } from '../song.ts';

export interface LadderOptions {
  readonly staff: boolean;
}

/** A semitone is never higher than this, and the ladder never wider. */
const MOST_SEMITONE_MM = 16;
const LADDER_MM = 38;
/** Size of what is said of a tone, and room for the first head after the staff's left end. */
const REMARK_MM = 4.6;
const DO_MM = 3;
const NAMES: Readonly<Record<string, string>> = {
  d: 'do',
  r: 're',
  m: 'mi',
  f: 'fa',
  s: 'so',
  l: 'la',
  t: 'ti',
};

export function layLadder(song: Song, sheet: Sheet, title: string, options: LadderOptions): readonly Page[] {
  const head: Head = {
    title,
    info: `${song.rung} · do is ${printedPitch(song.do)}`,
    nameLine: null,
    face: 'reader',
  };
  const { groups, bottomMm } = drawHead(sheet, head);
  const tones = ladderTones(song);
  const [low, high] = [toneSemitones(tones[0] ?? 'd'), toneSemitones(tones.at(-1) ?? 'd')];
  const room = bodyBottom(sheet) - bottomMm - 16;
  const semitoneMm = Math.min(MOST_SEMITONE_MM, room / Math.max(1, high - low));
  const ladder: Ladder = {
    song,
    sheet,
    tones,
    leftMm: sheet.margins.leftMm + 24,
    yOf: (tone) => bottomMm + 8 + (high - toneSemitones(tone)) * semitoneMm,
    low,
    high,
    semitoneMm,
  };
  const pageGroups = [...groups, rails(ladder), ...tones.map((tone) => rungGroup(ladder, tone))];
  if (options.staff) pageGroups.push(...staffGroups(ladder, bottomMm));
  return [{ widthMm: sheet.widthMm, heightMm: sheet.heightMm, margins: sheet.margins, groups: pageGroups }];
}

interface Ladder {
  readonly song: Song;
  readonly sheet: Sheet;
  readonly tones: readonly Tone[];
  readonly leftMm: number;
  readonly yOf: (tone: Tone) => number;
  readonly low: number;
  readonly high: number;
  readonly semitoneMm: number;
}

/** The rung's tones from low to high, home with them even where it is not sung. */
function ladderTones(song: Song): readonly Tone[] {
  const all = new Set<Tone>([...song.tones.split(' ').filter(isTone), song.home]);
  return [...all].sort((a, b) => toneSemitones(a) - toneSemitones(b));
}

/** The two rails, and a short tick for each semitone, by which the eye measures steps and skips. */
function rails({ tones, leftMm, yOf, low, high, semitoneMm }: Ladder): Group {
  const [top, bottom] = [yOf(tones.at(-1) ?? 'd') - 6, yOf(tones[0] ?? 'd') + 6];
  const right = leftMm + LADDER_MM;
  const ticks = Array.from({ length: high - low + 1 }, (_, i) => {
    const y = yOf(tones[0] ?? 'd') - i * semitoneMm;
    return line(leftMm, y, leftMm + 2, y, 0.25);
  });
  const rail = (x: number): Shape => line(x, top, x, bottom, 1.1, { cap: 'round' });
  return { role: 'decoration', alt: null, shapes: [rail(leftMm), rail(right), ...ticks] };
}

/** One rung with its letter at the left, its name and what it is at the right. */
function rungGroup({ song, sheet, leftMm, yOf, semitoneMm }: Ladder, tone: Tone): Group {
  const { setter } = sheet;
  const sung = song.phrases.some((phrase) => phrase.notes.some((note) => note.tone === tone));
  const inRung = song.tones.split(' ').includes(tone);
  const y = yOf(tone);
  const right = leftMm + LADDER_MM;
  const sizeMm = Math.min(9, Math.max(3.4, semitoneMm * 0.85));
  const shapes: Shape[] = [
    inRung ? line(leftMm, y, right, y, sung ? 1.4 : 0.5) : line(leftMm, y, right, y, 0.5, { dashMm: 2 }),
    sung
      ? disc(leftMm + LADDER_MM / 2, y, Math.min(3, sizeMm / 2.6))
      : ring(leftMm + LADDER_MM / 2, y, Math.min(2.4, sizeMm / 3), 0.5),
  ];
  const baselineMm = y + 0.34 * sizeMm;
  shapes.push(
    ...setter.text(tone, { xMm: leftMm - 5, baselineMm, face: 'reader-bold', sizeMm, align: 'right' }),
  );
  const notes = remarksOf(song, tone);
  const wordMm = Math.min(REMARK_MM, sizeMm);
  shapes.push(
    ...setter.text(notes, {
      xMm: right + 5,
      baselineMm: y + 0.34 * wordMm,
      face: 'reader',
      sizeMm: wordMm,
    }),
  );
  return { role: 'paragraph', alt: null, shapes };
}

/** What a tone is in this song, in words. */
function remarksOf(song: Song, tone: Tone): string {
  const sounding = song.phrases.flatMap((phrase) => phrase.notes).filter((note) => note.tone !== null);
  const sung = sounding.some((note) => note.tone === tone);
  const remarks = [toneName(tone)];
  if (tone === song.home) remarks.push('home');
  if (sounding[0]?.tone === tone) remarks.push('first note');
  if (tone === song.newTone) remarks.push('new');
  if (!song.tones.split(' ').includes(tone)) remarks.push('not sung yet');
  else if (!sung) remarks.push('not in this song');
  return remarks.join(' · ');
}

function toneName(tone: Tone): string {
  const name = NAMES[tone.charAt(0)] ?? tone;
  return tone.endsWith(',') ? `low ${name}` : tone.endsWith("'") ? `high ${name}` : name;
}

/** Half a staff space at most; less where many tones share the width. */
const MOST_HALF_SPACE_MM = 2.2;

/** The tones as heads on a staff without clef, from low to high, do shown at its line or space. */
function staffGroups(ladder: Ladder, topMm: number): readonly Group[] {
  const { song, sheet, tones, leftMm } = ladder;
  const doPitch = readPitch(song.do);
  if (doPitch === null) return [];
  const remarks = Math.max(
    ...tones.map((tone) => sheet.setter.width(remarksOf(song, tone), 'reader', REMARK_MM)),
  );
  const left = leftMm + LADDER_MM + 5 + remarks + 14;
  const right = sheet.widthMm - sheet.margins.rightMm;
  const apart = (right - left - DO_MM) / tones.length;
  const half = Math.min(MOST_HALF_SPACE_MM, apart / 3);
  const steps = tones.map((tone) => staffStep(pitchOf(tone, doPitch)));
  const highest = Math.max(8, ...steps);
  // the staff hangs from the top of the ladder; five lines stand on the even steps 0 to 8 above E4
  const yOf = (step: number): number => topMm + 14 + (highest - step) * half;
  const lines = [0, 2, 4, 6, 8].map((step) => line(left, yOf(step), right, yOf(step), 0.25));
  const heads: Shape[] = [];
  const letters: Shape[] = [];
  const lowest = Math.min(0, ...steps);
  tones.forEach((tone, i) => {
    const step = steps[i] ?? 0;
    const x = left + DO_MM + apart * (i + 0.5);
    heads.push(
      ...ledgerLines(x, step, yOf, half),
      head(x, yOf(step), half, song.tones.split(' ').includes(tone)),
    );
    letters.push(
      ...sheet.setter.text(tone, {
        xMm: x,
        baselineMm: yOf(lowest) + 4 * half,
        face: 'reader-bold',
        sizeMm: Math.min(4.5, apart * 0.75),
        align: 'centre',
      }),
    );
  });
  const doY = yOf(staffStep(doPitch));
  const names = tones.map((tone) => `${toneName(tone)} ${printedPitch(pitchName(pitchOf(tone, doPitch)))}`);
  return [
    { role: 'figure', alt: `On the staff: ${names.join(', ')}`, shapes: [...lines, ...heads] },
    { role: 'decoration', alt: null, shapes: doMark(left - 0.8, doY) },
    {
      role: 'paragraph',
      alt: null,
      shapes: sheet.setter.text('do', {
        xMm: left - 4.2,
        baselineMm: doY + 1.3,
        face: 'reader-bold',
        sizeMm: 4,
        align: 'right',
      }),
    },
    { role: 'paragraph', alt: null, shapes: letters },
  ];
}

/** Staff places above the bottom line of the treble staff, which is E4. */
function staffStep(pitch: Pitch): number {
  return 'CDEFGAB'.indexOf(pitch.letter) + 7 * (pitch.octave - 4) - 2;
}

function head(xMm: number, yMm: number, half: number, filled: boolean): EllipseShape {
  const radius = { radiusXMm: 1.28 * half, radiusYMm: 0.88 * half };
  return { kind: 'ellipse', xMm, yMm, ...radius, turnDegrees: -20, filled, strokeMm: filled ? 0 : 0.4 };
}

function ledgerLines(x: number, step: number, yOf: (step: number) => number, half: number): readonly Shape[] {
  const shapes: Shape[] = [];
  for (let at = -2; at >= step; at -= 2)
    shapes.push(line(x - 1.8 * half, yOf(at), x + 1.8 * half, yOf(at), 0.3));
  for (let at = 10; at <= step; at += 2)
    shapes.push(line(x - 1.8 * half, yOf(at), x + 1.8 * half, yOf(at), 0.3));
  return shapes;
}

/** A wedge that points to do's line or space. */
function doMark(xMm: number, yMm: number): readonly Shape[] {
  return [
    {
      kind: 'path',
      outline: 'M 0 0 L -3 -1.5 L -3 1.5 Z',
      xMm,
      yMm,
      scaleX: 1,
      scaleY: 1,
      filled: true,
      strokeMm: 0,
    },
  ];
}
