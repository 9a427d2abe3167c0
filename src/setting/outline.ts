/**
 * The outline of a section before its notes: which chord each bar leans on, and where the phrase is going. Drawn by
 * seed, once for each letter of the form. Only songs with fa or ti have one: chants and pentatonic calls have no
 * chords to follow.
 */
import type { Random } from '../random.ts';
import { draw } from './form.ts';

/** The chord on home, on the fifth above it, or on the fourth: the three that school songs are built on (common practice). */
export type ChordName = 'home' | 'fifth' | 'fourth';

/** Members by degree over home, from 0. The fifth's chord takes its seventh too: so ti re fa. */
export const CHORDS: Readonly<Record<ChordName, readonly number[]>> = {
  home: [0, 2, 4],
  fifth: [4, 6, 1, 3],
  fourth: [3, 5, 0],
};

export interface Outline {
  /** One for each stretch from strong beat to strong beat; at least one. */
  readonly chords: readonly ChordName[];
  readonly shape: Shape;
}

/** Where a phrase goes: `arch` up and down again, `late` with its top near the end, `bowl` down and up again. */
export type Shape = 'arch' | 'late' | 'fall' | 'rise' | 'bowl';

/** What a section does in the song. */
export type Role = 'opens' | 'moves-on' | 'closes';

const NAMES = ['home', 'fifth', 'fourth'] as const;
const SHAPES = ['arch', 'late', 'fall', 'rise', 'bowl'] as const;

/** Odds of the chords with which a section begins and ends: the song settles, leaves home, and comes back. */
const BEGINS: Readonly<Record<Role, readonly number[]>> = {
  opens: [80, 14, 6],
  'moves-on': [32, 40, 28],
  closes: [30, 42, 28],
};
const ENDS: Readonly<Record<Role, readonly number[]>> = {
  opens: [55, 38, 7],
  'moves-on': [48, 45, 7],
  closes: [100, 0, 0],
};
/** Phrases rise and fall or only fall, seldom the other way (Huron, "The melodic arch", 1996). */
const GOES: Readonly<Record<Role, readonly number[]>> = {
  opens: [30, 12, 28, 25, 5],
  'moves-on': [25, 13, 35, 20, 7],
  closes: [25, 10, 60, 0, 5],
};

/** The outline of a section of `stretches` strong beats, at least one. */
export function drawOutline(stretches: number, role: Role, random: Random): Outline {
  const chords: ChordName[] = [];
  for (let k = 0; k < stretches; k += 1) {
    const odds = k === stretches - 1 ? ENDS[role] : k === 0 ? BEGINS[role] : [42, 34, 24];
    chords.push(NAMES[draw(random, odds)] ?? 'home');
  }
  return { chords, shape: SHAPES[draw(random, GOES[role])] ?? 'arch' };
}

/** 1 where the shape rises, -1 where it falls, 0 where it turns; `part` of the phrase has gone by, from 0 to 1. */
export function directionAt(shape: Shape, part: number): -1 | 0 | 1 {
  if (shape === 'fall') return -1;
  if (shape === 'rise') return part <= 0.8 ? 1 : 0;
  const turn = shape === 'late' ? 0.7 : 0.45;
  const side = part <= turn ? 1 : -1;
  return shape === 'bowl' ? (side === 1 ? -1 : 1) : side;
}

/** Two songs in three keep to one octave and a little; the others use the rung's whole width. */
const KEEPS_TO_AN_OCTAVE = [2, 1];

/**
 * The lowest and highest tone that a song keeps to, of tones given in semitones from do, low to high: an octave and
 * not more than a tone over, with every tone in `needed` inside. Null where the tones are no wider, or by draw.
 */
export function drawCompass(
  heights: readonly number[],
  needed: readonly number[],
  random: Random,
): readonly [low: number, high: number] | null {
  const keeps = draw(random, KEEPS_TO_AN_OCTAVE) === 0;
  const pick = random();
  if (!keeps || (heights.at(-1) ?? 0) - (heights[0] ?? 0) <= 14) return null;
  const lows = heights.filter((low) => needed.every((h) => h >= low && h <= low + 13));
  const low = lows[pick % Math.max(1, lows.length)];
  return low === undefined ? null : [low, low + 13];
}
