/**
 * What a second voice beside the tune is charged for: one entry a rule. Thirds and sixths are at home; perfect intervals
 * never follow one another; contrary motion is best; at a close the voices do not run in thirds; a voice moves by
 * small steps (common practice of two-part writing, note against note).
 */
import { toneStep, type Tone } from '../pitch.ts';
import type { Strength } from '../time.ts';
import { intervalName } from './intervals.ts';

export const SECOND_RULES = {
  /** A second, seventh or tritone with the tune, on a strong beat, another beat, off the beat. */
  'rub-strong': 80,
  'rub-weak': 40,
  'rub-off': 20,
  /** A fourth on a beat, off the beat: it sounds unfinished. */
  'fourth-on-beat': 16,
  'fourth-off-beat': 6,
  'open-fifth': 4,
  octave: 6,
  unison: 9,
  'wider-than-an-octave': 8,
  /** Unison, fifth or octave twice in a row while both move. */
  'parallel-perfect': 60,
  /** Thirds or sixths in a row while both move the same way. */
  'parallel-sweet': 2,
  /** The same while the phrase closes: its last two tones. */
  'parallel-at-close': 18,
  /** Both move the same way, not in parallel. */
  'similar-motion': 3,
  /** One voice moves, the other stays. */
  'oblique-motion': 1,
  /** The tune repeats its tone and the second voice does not. */
  restless: 4,
  /** A leap of a fourth or fifth, and a wider one. */
  leap: 5,
  'wide-leap': 14,
  /** The last tone of a closed phrase is not of the chord of home. */
  'close-off-home': 20,
} as const;
export type SecondRule = keyof typeof SECOND_RULES;

/** A tone of the tune with the tone of the second voice beside it. */
export interface Pair {
  readonly tune: Tone;
  readonly second: Tone;
}

/** Where a pair stands. */
export interface PairPlace {
  /** The strongest moment while the pair sounds. */
  readonly strength: Strength;
  /** True on the last tone of a phrase, and whether the phrase closes. */
  readonly last: boolean;
  readonly closed: boolean;
  readonly home: 'd' | 'l';
}

const CHORDS: Readonly<Record<'d' | 'l', string>> = { d: 'dms', l: 'ldm' };

/** Rules that the two tones break where they stand, the tones before and after apart. */
export function standingRules({ tune, second }: Pair, place: PairPlace): readonly SecondRule[] {
  const broken: SecondRule[] = [];
  const { strength } = place;
  switch (intervalName(tune, second)) {
    case 'second':
    case 'seventh':
    case 'tritone':
      broken.push(strength >= 2 ? 'rub-strong' : strength === 1 ? 'rub-weak' : 'rub-off');
      break;
    case 'fourth':
      broken.push(strength > 0 ? 'fourth-on-beat' : 'fourth-off-beat');
      break;
    case 'fifth':
      broken.push('open-fifth');
      break;
    case 'octave':
      broken.push('octave');
      break;
    case 'unison':
      broken.push('unison');
      break;
    case 'third':
    case 'sixth':
      break;
  }
  if (Math.abs(toneStep(tune) - toneStep(second)) > 7) broken.push('wider-than-an-octave');
  if (place.last && place.closed && !CHORDS[place.home].includes(second.charAt(0)))
    broken.push('close-off-home');
  return broken;
}

/** Rules that the step from one pair to the next of the same phrase breaks. */
export function movingRules(before: Pair, after: Pair, place: PairPlace): readonly SecondRule[] {
  const broken: SecondRule[] = [];
  const tuneMoves = Math.sign(toneStep(after.tune) - toneStep(before.tune));
  const secondMoves = Math.sign(toneStep(after.second) - toneStep(before.second));
  const leap = Math.abs(toneStep(after.second) - toneStep(before.second));
  if (leap > 4) broken.push('wide-leap');
  else if (leap > 2) broken.push('leap');
  if (tuneMoves === 0 && secondMoves !== 0) broken.push('restless');
  else if (tuneMoves !== 0 && secondMoves === 0) broken.push('oblique-motion');
  else if (tuneMoves !== 0 && tuneMoves === secondMoves) broken.push(...sameWay(before, after, place));
  return broken;
}

function sameWay(before: Pair, after: Pair, place: PairPlace): readonly SecondRule[] {
  const name = intervalName(after.tune, after.second);
  if (name !== intervalName(before.tune, before.second)) return ['similar-motion'];
  if (name === 'unison' || name === 'fifth' || name === 'octave') return ['parallel-perfect'];
  return [place.last && place.closed ? 'parallel-at-close' : 'parallel-sweet'];
}

export function sumOf(rules: readonly SecondRule[]): number {
  return rules.reduce((sum, rule) => sum + SECOND_RULES[rule], 0);
}
