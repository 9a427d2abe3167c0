/**
 * Stick notation as teachers write it by hand: stems without heads for quarters and shorter, beams for what is played
 * in one beat, open heads for half notes and longer, a Z for a beat of rest. Common practice.
 */
import { disc, line, mm, path, type EllipseShape, type Shape } from './page.ts';
import { noteValue } from '../note-value.ts';
import type { SongNote } from '../song.ts';
import type { Metre, Ticks } from '../time.ts';

export interface StickPlace {
  readonly xOf: (tick: number) => number;
  readonly topMm: number;
  /** Length of a stick; all other measures follow from it. */
  readonly stickMm: number;
  readonly metre: Metre;
  /** Ticks at which some beat begins. */
  readonly beatOrigin: Ticks;
}

/** Lengths in parts of the stick. */
const STROKE = 0.07;
const BEAM = 0.13;
const BEAM_STEP = 0.24;

/** Signs of these notes and rests, which follow one another; ties and slurs are drawn by `bows`. */
export function stickSigns(notes: readonly SongNote[], place: StickPlace): readonly Shape[] {
  return beamGroups(notes, place).flatMap((group) => {
    const [first] = group;
    if (group.length > 1) return beamed(group, place);
    if (first === undefined) return [];
    return first.tone === null ? rest(first, place) : single(first, place);
  });
}

/** Notes shorter than a quarter that lie in one beat belong together; a rest or a longer note parts them. */
function beamGroups(notes: readonly SongNote[], place: StickPlace): readonly (readonly SongNote[])[] {
  const groups: SongNote[][] = [];
  const beatOf = (note: SongNote): number =>
    Math.floor((note.onset - place.beatOrigin) / place.metre.ticksPerBeat);
  for (const note of notes) {
    const last = groups.at(-1)?.at(-1);
    const joins = last !== undefined && isShort(last) && isShort(note) && beatOf(last) === beatOf(note);
    if (joins) groups.at(-1)?.push(note);
    else groups.push([note]);
  }
  return groups;
}

function isShort(note: SongNote): boolean {
  return note.tone !== null && note.duration < 480;
}

/** Beams or flags of a note: 1 for an eighth, 2 for a sixteenth. */
function beamsOf(note: SongNote): number {
  return note.duration >= 240 ? 1 : 2;
}

function stem(xMm: number, { topMm, stickMm }: StickPlace): Shape {
  return line(xMm, topMm, xMm, topMm + stickMm, STROKE * stickMm);
}

function beamed(group: readonly SongNote[], place: StickPlace): readonly Shape[] {
  const { topMm, stickMm } = place;
  const x = (note: SongNote | undefined): number => place.xOf(note?.onset ?? 0);
  const half = (STROKE * stickMm) / 2;
  const beam = (from: number, to: number, level: number): Shape => {
    const y = topMm + (level * BEAM_STEP + BEAM / 2) * stickMm;
    return line(from - half, y, to + half, y, BEAM * stickMm);
  };
  const shapes: Shape[] = group.flatMap((note) => [stem(x(note), place), ...dots(note, x(note), place)]);
  shapes.push(beam(x(group[0]), x(group.at(-1)), 0));
  group.forEach((note, i) => {
    if (beamsOf(note) < 2) return;
    const next = group[i + 1];
    const before = group[i - 1];
    if (next !== undefined && beamsOf(next) === 2) shapes.push(beam(x(note), x(next), 1));
    else if (before === undefined || beamsOf(before) < 2) {
      // alone among longer ones: a short beam towards its neighbour
      const towards = before === undefined ? 0.3 * stickMm : -0.3 * stickMm;
      shapes.push(beam(Math.min(x(note), x(note) + towards), Math.max(x(note), x(note) + towards), 1));
    }
  });
  return shapes;
}

function single(note: SongNote, place: StickPlace): readonly Shape[] {
  const { topMm, stickMm } = place;
  const x = place.xOf(note.onset);
  const value = noteValue(note.duration)?.type ?? 'quarter';
  const shapes: Shape[] = [];
  if (value === 'whole') shapes.push(openHead(x, place));
  else if (value === 'half') shapes.push(stem(x, place), openHead(x - 0.2 * stickMm, place));
  else shapes.push(stem(x, place));
  if (note.duration < 480) {
    for (let level = 0; level < beamsOf(note); level++) {
      const y = topMm + level * BEAM_STEP * stickMm;
      const [reach, drop] = [0.3 * stickMm, 0.42 * stickMm];
      const curve = `M ${mm(x)} ${mm(y)} C ${mm(x + 0.1 * reach)} ${mm(y + 0.5 * drop)} ${mm(x + reach)} ${mm(y + 0.4 * drop)} ${mm(x + 0.85 * reach)} ${mm(y + drop)}`;
      shapes.push(path(curve, { strokeMm: STROKE * stickMm }));
    }
  }
  return [...shapes, ...dots(note, x, place)];
}

/** The head of a half note, its right edge at the stem. */
function openHead(xMm: number, { topMm, stickMm }: StickPlace): EllipseShape {
  return {
    kind: 'ellipse',
    xMm,
    yMm: topMm + 0.88 * stickMm,
    radiusXMm: 0.2 * stickMm,
    radiusYMm: 0.13 * stickMm,
    turnDegrees: -20,
    filled: false,
    strokeMm: 0.06 * stickMm,
  };
}

function dots(note: SongNote, xMm: number, { topMm, stickMm }: StickPlace): readonly Shape[] {
  const value = noteValue(note.duration);
  if (value?.dots !== 1) return [];
  const beside = value.type === 'whole' ? 0.38 : 0.2;
  return [disc(xMm + beside * stickMm, topMm + 0.86 * stickMm, 0.065 * stickMm)];
}

/** A Z for each beat of silence; inside the beat a hooked stroke, with two hooks for a sixteenth. */
function rest(note: SongNote, place: StickPlace): readonly Shape[] {
  const { ticksPerBeat } = place.metre;
  if (note.duration < 480) return shortRest(place.xOf(note.onset), note, place);
  const unit = note.duration % ticksPerBeat === 0 ? ticksPerBeat : note.duration;
  const shapes: Shape[] = [];
  for (let at = note.onset; at < note.onset + note.duration; at += unit) {
    shapes.push(...beatRest(place.xOf(at), unit, place));
  }
  return shapes;
}

function beatRest(x: number, ticks: Ticks, { topMm, stickMm }: StickPlace): readonly Shape[] {
  const [top, bottom, half] = [topMm + 0.22 * stickMm, topMm + 0.88 * stickMm, 0.19 * stickMm];
  const zed = `M ${mm(x - half)} ${mm(top)} H ${mm(x + half)} L ${mm(x - half)} ${mm(bottom)} H ${mm(x + half)}`;
  const shapes: Shape[] = [path(zed, { strokeMm: STROKE * stickMm })];
  if (ticks === 720) shapes.push(disc(x + 0.36 * stickMm, bottom - 0.1 * stickMm, 0.065 * stickMm));
  return shapes;
}

function shortRest(x: number, note: SongNote, { topMm, stickMm }: StickPlace): readonly Shape[] {
  const [top, bottom] = [topMm + 0.34 * stickMm, topMm + 0.92 * stickMm];
  const right = x + 0.14 * stickMm;
  const shapes: Shape[] = [line(right, top, x - 0.06 * stickMm, bottom, STROKE * stickMm)];
  for (let hook = 0; hook < beamsOf(note); hook++) {
    const y = top + hook * 0.22 * stickMm;
    const tip = right - hook * 0.22 * 0.34 * stickMm;
    shapes.push(disc(tip - 0.26 * stickMm, y, 0.07 * stickMm));
    const curve = `M ${mm(tip - 0.26 * stickMm)} ${mm(y)} Q ${mm(tip - 0.1 * stickMm)} ${mm(y + 0.12 * stickMm)} ${mm(tip)} ${mm(y)}`;
    shapes.push(path(curve, { strokeMm: 0.8 * STROKE * stickMm }));
  }
  return shapes;
}

/** Slurs and ties as bows under the sticks, from note to note; one that leaves the row ends at its edge. */
export function bows(
  notes: readonly SongNote[],
  place: StickPlace,
  edges: { leftMm: number; rightMm: number },
): readonly Shape[] {
  const y = place.topMm + 1.08 * place.stickMm;
  const bow = (from: number, to: number): Shape => {
    const depth = Math.min(0.26 * place.stickMm, 0.12 * place.stickMm + 0.1 * (to - from));
    const curve = `M ${mm(from)} ${mm(y)} C ${mm(from + 0.25 * (to - from))} ${mm(y + depth)} ${mm(to - 0.25 * (to - from))} ${mm(y + depth)} ${mm(to)} ${mm(y)}`;
    return path(curve, { strokeMm: 0.8 * STROKE * place.stickMm });
  };
  return notes.flatMap((note, i) => {
    const x = place.xOf(note.onset);
    const next = notes[i + 1];
    const to = next === undefined ? edges.rightMm : place.xOf(next.onset);
    const shapes: Shape[] = [];
    if (note.slur === 'start' || note.tie === 'start' || note.tie === 'both') shapes.push(bow(x, to));
    if (i === 0 && (note.slur === 'stop' || note.tie === 'stop' || note.tie === 'both'))
      shapes.push(bow(edges.leftMm, x));
    return shapes;
  });
}
