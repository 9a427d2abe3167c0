/**
 * Rules of the melody that look at three tones: the latest on a beat, the one before, and the next. Costs as in
 * `melody-costs.ts`.
 */
import { height, type Ground } from './melody-costs.ts';

export interface TurnRule {
  readonly name: string;
  /** `anchor` is the latest tone on a beat before `from`; `onBeat` tells whether `from` stands on a beat. */
  readonly cost: (anchor: number, from: number, to: number, ground: Ground, onBeat: boolean) => number;
}

export const TURN_RULES: readonly TurnRule[] = [
  { name: 'leap-after-leap', cost: leapAfterLeap },
  { name: 'beat-to-beat', cost: beatToBeat },
  { name: 'onward', cost: onward },
  { name: 'between-beats', cost: betweenBeats },
  { name: 'moving-on', cost: movingOn },
];

/** Two leaps the same way are hard to sing, unless they spell the home chord. */
function leapAfterLeap(anchor: number, from: number, to: number, ground: Ground, onBeat: boolean): number {
  const first = height(ground, from) - height(ground, anchor);
  const second = height(ground, to) - height(ground, from);
  if (first * second <= 0 || Math.abs(first) < 3 || Math.abs(second) < 3) return 0;
  const sum = Math.abs(first + second);
  return (onBeat ? 20 : 40) + (sum > 9 ? 120 : sum > 7 ? 60 : 0);
}

/** A step goes on its way rather than turning back (after a falling step 62 % go on down, 15 % turn). */
function onward(anchor: number, from: number, to: number, ground: Ground): number {
  const first = height(ground, from) - height(ground, anchor);
  const second = height(ground, to) - height(ground, from);
  if (first === 0 || second === 0 || Math.abs(first) > 2 || Math.abs(second) > 2) return 0;
  if (first * second > 0) return ground.diatonic ? (first < 0 ? -60 : -45) : first < 0 ? -80 : -55;
  return ground.rung.tones.length <= 4 ? 0 : ground.diatonic ? 15 : 35;
}

/** From beat to beat the tune moves, and not too far. */
function beatToBeat(anchor: number, from: number, to: number, ground: Ground, onBeat: boolean): number {
  if (onBeat) return 0;
  if (anchor === to) return from === to ? 0 : 20;
  const size = Math.abs(height(ground, to) - height(ground, anchor));
  return size > 7 ? 60 : size > 4 ? 20 : 0;
}

/**
 * A tone between two beats repeats the first, passes to the second, leans out and back by step, or moves within the
 * home chord; a leap to a passing tone is hard to hear (common practice).
 */
function betweenBeats(anchor: number, from: number, to: number, ground: Ground, onBeat: boolean): number {
  if (onBeat || !ground.diatonic || from === anchor) return 0;
  const first = height(ground, from) - height(ground, anchor);
  const second = height(ground, to) - height(ground, from);
  const steps = Math.abs(first) <= 2 && Math.abs(second) <= 2;
  if (steps) return first * second > 0 ? -20 : 0;
  if (from === to) return Math.abs(first) <= 2 ? 10 : 40;
  if (ground.restful[from] === true) return 0;
  return Math.abs(first) <= 2 && second * first < 0 ? 30 : 60;
}

/** No tone stays for a third beat as if the tune had stopped. */
function movingOn(anchor: number, from: number, to: number, ground: Ground, onBeat: boolean): number {
  if (anchor !== from || from !== to || !ground.diatonic) return 0;
  return onBeat ? 60 : 20;
}
