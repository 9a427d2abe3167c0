/**
 * Families of rhythm names: what children say for a rhythm. A value family (ta, ti-ti) names how long a note is
 * written; a place family (takadimi, counting) names where in the beat a note begins. The families themselves are
 * data in `rhythm-names.data.ts` or in a teacher's file.
 */
import { RHYTHM_FAMILIES } from './rhythm-names.data.ts';
import type { BeatClass, Ticks } from './time.ts';

/** Both kinds of family; `kind` tells them apart. */
export type RhythmNames = ValueNames | PlaceNames;

/** Names by written length. */
export interface ValueNames {
  readonly kind: 'value';
  /** Kebab-case: `ta-ti`. */
  readonly name: string;
  readonly words: ValueWords;
}

/** What is said for each note value; a hyphen inside a word divides what is said on (`ta-a`). */
export interface ValueWords {
  readonly whole: string;
  readonly dottedHalf: string;
  readonly half: string;
  readonly dottedQuarter: string;
  readonly quarter: string;
  readonly dottedEighth: string;
  readonly eighth: string;
  readonly sixteenth: string;
  /** One word or sign for two eighths, or null when they are two words. */
  readonly twoEighths: string | null;
  /** One word for two sixteenths (`tika`), or null when they are two words. */
  readonly twoSixteenths: string | null;
  /** One note of two compound beats (a dotted half in 6/8), and of four. */
  readonly compoundTwo: string;
  readonly compoundFour: string;
  /** A rest of one beat. Other rests are the name of their length in brackets: thought, not said. */
  readonly beatRest: string;
}

/** Names by place in the beat. */
export interface PlaceNames {
  readonly kind: 'place';
  readonly name: string;
  /** A name for each place, a sixteenth apart: four in a simple beat, six in a compound one; `#` is the beat's number. */
  readonly places: Readonly<Record<BeatClass, readonly string[]>>;
}

/** Ticks between two neighbouring places of a place family: a sixteenth note. */
export const PLACE_TICKS: Ticks = 120;

/** One word of a value family with what it stands for. */
export interface Figure {
  /** As written, without stretching: `ta-a`, `tika`, `(ti)`. */
  readonly says: string;
  /** Lengths of its notes; two for `tika`, else one. */
  readonly ticks: readonly Ticks[];
  readonly rest: boolean;
}

/** Every word that a value family has in one beat class; no two figures are written alike. */
export function figuresOf(names: ValueNames, beatClass: BeatClass): readonly Figure[] {
  const w = names.words;
  const lengths: readonly (readonly [Ticks, string])[] = [
    [2880, w.compoundFour],
    [1920, w.whole],
    [1440, beatClass === 'simple' ? w.dottedHalf : w.compoundTwo],
    [960, w.half],
    [720, w.dottedQuarter],
    [480, w.quarter],
    [360, w.dottedEighth],
    [240, w.eighth],
    [120, w.sixteenth],
  ];
  const beat = beatClass === 'simple' ? 480 : 720;
  const figures: Figure[] = lengths.map(([ticks, says]) => ({ says, ticks: [ticks], rest: false }));
  if (w.twoSixteenths !== null) figures.push({ says: w.twoSixteenths, ticks: [120, 120], rest: false });
  if (w.twoEighths !== null) figures.push({ says: w.twoEighths, ticks: [240, 240], rest: false });
  for (const [ticks, says] of lengths) {
    const beats = ticks / beat;
    const rest = Number.isInteger(beats) ? Array<string>(beats).fill(w.beatRest).join('-') : `(${says})`;
    figures.push({ says: rest, ticks: [ticks], rest: true });
  }
  return figures;
}

/** The family that a score uses unless another is asked for. */
export const DEFAULT_NAMES = 'ta-ti';

/**
 * The built-in family of this name, or null.
 *
 * @example findRhythmNames('takadimi')?.kind // => 'place'
 */
export function findRhythmNames(name: string): RhythmNames | null {
  return RHYTHM_FAMILIES.find((family) => family.name === name) ?? null;
}

/** Names of all built-in families, the default one first. */
export function rhythmFamilyNames(): readonly string[] {
  return RHYTHM_FAMILIES.map((family) => family.name);
}
