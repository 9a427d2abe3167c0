/**
 * The rules of the melody as integer costs: 100 is one natural-log unit, negative is a reward, FORBIDDEN is never.
 * One entry per rule; `explain` prints the same names. Weights are the project's own: they follow the shares that
 * the trade's handbooks give and were checked against aggregate figures of children's songs.
 */
import { FORBIDDEN } from '../lattice.ts';
import { toneSemitones, toneStep } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import { beatPlace, type Place } from './melody-places.ts';

/** A rung with what the rules ask about its tones, worked out once. Tones are named by their index in the rung. */
export interface Ground {
  readonly rung: Rung;
  /** Semitones from do, for each tone. */
  readonly heights: readonly number[];
  /** Semitones from do to home. */
  readonly home: number;
  /** Whether the tone belongs to the chord on home, for each tone. */
  readonly restful: readonly boolean[];
}

export function groundOf(rung: Rung): Ground {
  return {
    rung,
    heights: rung.tones.map(toneSemitones),
    home: toneSemitones(rung.home),
    // Home, the third and the fifth above it, in any octave.
    restful: rung.tones.map((tone) =>
      [0, 2, 4].includes((((toneStep(tone) - toneStep(rung.home)) % 7) + 7) % 7),
    ),
  };
}

/** A moment of the tune, for the rules that look at one tone alone. */
export interface Moment {
  readonly ground: Ground;
  readonly place: Place;
  readonly ticksPerBeat: number;
  readonly first: boolean;
  readonly last: boolean;
  /** The phrase closes its strophe. */
  readonly closes: boolean;
  /** A later phrase closes this tune. */
  readonly asks: boolean;
  /** Index of the tone that an earlier phrase has here, or -1; what leaving it costs. */
  readonly remembered: number;
  readonly memoryCost: number;
  /** Index of the tone that the easier song of the family has here, or -1. */
  readonly family: number;
  /** This seed's leaning to each tone here. */
  readonly fancy: readonly number[];
}

export interface LocalRule {
  readonly name: string;
  /** `tone` is an index into the rung's tones. */
  readonly cost: (tone: number, moment: Moment) => number;
}

/** Where two neighbouring sounds of a phrase stand. */
export interface Step {
  readonly ground: Ground;
  /** Place of the second sound. */
  readonly place: 'strong' | 'weak' | 'off';
  /** `close`: the second sound is the last of its strophe; `open`: the last of another phrase. */
  readonly ending: 'none' | 'open' | 'close';
}

export interface StepRule {
  readonly name: string;
  readonly cost: (from: number, to: number, step: Step) => number;
}

export interface TurnRule {
  readonly name: string;
  /** `anchor` is the latest tone on a beat before `from`; `onBeat` tells whether `from` stands on a beat. */
  readonly cost: (anchor: number, from: number, to: number, ground: Ground, onBeat: boolean) => number;
}

export const LOCAL_RULES: readonly LocalRule[] = [
  { name: 'beat-place', cost: onTheBeat },
  { name: 'opening', cost: opening },
  { name: 'ending', cost: ending },
  { name: 'kept-for-the-close', cost: keptForTheClose },
  { name: 'long-tone', cost: longTone },
  {
    name: 'phrase-memory',
    cost: (tone, m) => (m.remembered < 0 || m.remembered === tone ? 0 : m.memoryCost),
  },
  { name: 'family', cost: (tone, m) => (m.family < 0 || m.family === tone ? 0 : 1000) },
  { name: 'fancy', cost: (tone, m) => m.fancy[tone] ?? 0 },
];

export const STEP_RULES: readonly StepRule[] = [
  { name: 'ways', cost: ways },
  { name: 'leap-limit', cost: leapLimit },
  { name: 'repeat', cost: (from, to, step) => (from === to ? step.ground.rung.repeats[step.place] : 0) },
  { name: 'interval', cost: interval },
  { name: 'home-chord', cost: homeChord },
  { name: 'leaning', cost: leaning },
  { name: 'la-from-so', cost: laFromSo },
  { name: 'approach-to-the-close', cost: approach },
];

export const TURN_RULES: readonly TurnRule[] = [
  { name: 'leap-after-leap', cost: leapAfterLeap },
  { name: 'beat-to-beat', cost: beatToBeat },
  { name: 'onward', cost: onward },
];

/** Where in the bar a tone likes to stand; the last tone of a phrase answers to the cadence alone. */
function onTheBeat(tone: number, m: Moment): number {
  return m.last ? 0 : (m.ground.rung.rules[tone]?.place[beatPlace(m.place.strength)] ?? FORBIDDEN);
}

/**
 * The first beat of a phrase takes a tone of the home chord, so above all (songs start on so 61 %, do 28 %, mi 9 %).
 * An upbeat comes from below it: home, or the third or lower fifth (common practice).
 */
function opening(tone: number, m: Moment): number {
  if (m.last) return 0;
  const start = m.ground.rung.rules[tone]?.start ?? FORBIDDEN;
  if (m.place.at === 0) return start;
  if (!m.first) return 0;
  if (start === FORBIDDEN) return FORBIDDEN;
  const aboveThird = height(m.ground, tone) - m.ground.home > 4;
  return (aboveThird ? 100 : 0) + (m.ground.restful[tone] === true ? 0 : 120);
}

/** The last phrase of a strophe ends on a closing tone, never on another; the others end open by preference. */
function ending(tone: number, m: Moment): number {
  if (!m.last) return 0;
  const name = m.ground.rung.tones[tone];
  const isClosing = name !== undefined && m.ground.rung.closes.includes(name);
  if (m.closes) return isClosing ? 0 : FORBIDDEN;
  const cost = m.ground.rung.rules[tone]?.open ?? FORBIDDEN;
  return m.asks && isClosing ? cost + 120 : cost;
}

/** A tone that the rung keeps for the close of a strophe sounds nowhere else. */
function keptForTheClose(tone: number, m: Moment): number {
  if (!m.ground.rung.closesOnly || (m.last && m.closes)) return 0;
  const name = m.ground.rung.tones[tone];
  return name !== undefined && m.ground.rung.closes.includes(name) ? FORBIDDEN : 0;
}

/** Sounds of two beats and more rest on tones of the home chord (common practice). */
function longTone(tone: number, m: Moment): number {
  if (m.place.duration < 2 * m.ticksPerBeat) return 0;
  return m.ground.restful[tone] === true ? 0 : 70;
}

/** How a tone is reached and left, as the rung says; repeats aside. */
function ways(from: number, to: number, { ground, ending: end }: Step): number {
  if (from === to) return 0;
  const { rung } = ground;
  const a = rung.rules[from];
  const b = rung.rules[to];
  if (a === undefined || b === undefined) return FORBIDDEN;
  if (b.from !== null && !b.from.includes(a.tone)) return FORBIDDEN;
  if (a.to !== null && !a.to.includes(b.tone)) return FORBIDDEN;
  if (end === 'close' && rung.closeFrom !== null && !rung.closeFrom.includes(a.tone)) return FORBIDDEN;
  return 0;
}

/** No leap wider than the rung allows, no seventh, no augmented fourth: children do not find them (common practice). */
function leapLimit(from: number, to: number, { ground }: Step): number {
  const size = Math.abs(height(ground, to) - height(ground, from));
  return size > ground.rung.widestLeap || size === 6 || size === 10 || size === 11 ? FORBIDDEN : 0;
}

/** Small intervals are common, wide ones rare (von Hippel, "Redefining pitch proximity", 2000). Neighbours in the tone set count as near. */
function interval(from: number, to: number, { ground }: Step): number {
  if (from === to) return 0;
  const size = Math.abs(height(ground, to) - height(ground, from));
  const near = Math.abs(to - from) === 1;
  if (size <= 2) return 0;
  if (size <= 4) return near ? (ground.rung.tones.length <= 3 ? 15 : 30) : 60;
  if (size === 5) return near ? 50 : 100;
  if (size <= 7) return 130;
  if (size <= 9) return 190;
  return 260;
}

/** A leap within the home chord is easy to find; a wide one to or from another tone is not (common practice). */
function homeChord(from: number, to: number, { ground }: Step): number {
  const size = Math.abs(height(ground, to) - height(ground, from));
  if (size < 3) return 0;
  const inChord = ground.restful[from] === true && ground.restful[to] === true;
  if (size < 5) return inChord ? -15 : 10;
  return inChord ? -50 : 40;
}

/** Tones outside the home chord lean on the chord tone a step below: fa on mi, la on so, re on do (common practice). */
function leaning(from: number, to: number, { ground }: Step): number {
  if (ground.restful[from] === true || from === to) return 0;
  const fall = height(ground, from) - height(ground, to);
  if (Math.abs(fall) > 2) return 30;
  return fall > 0 && ground.restful[to] === true ? -40 : 0;
}

/** In the songs of so, mi and la, la comes from so (82 %) more than from mi. */
function laFromSo(from: number, to: number, { ground }: Step): number {
  return ground.rung.tones[to] === 'l' && ground.rung.tones[from] === 'm' ? 90 : 0;
}

/** The close is reached by step or third from above, or from the fifth; a repeated tone closes weakly. */
function approach(from: number, to: number, { ground, ending: end }: Step): number {
  const fall = height(ground, from) - height(ground, to);
  // Questions too sink to their last tone more often than they rise to it.
  if (end === 'open') return ground.rung.tones.length <= 4 || fall === 0 ? 0 : fall < 0 ? 45 : -15;
  if (end === 'none') return 0;
  if (fall === 0) return 30;
  if (fall > 0 && fall <= 2) return -60;
  if (fall > 0 && fall <= 4) return -20;
  return fall === 7 || fall === -1 ? 0 : 50;
}

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
  if (first * second > 0) return first < 0 ? -80 : -55;
  return ground.rung.tones.length <= 4 ? 0 : 35;
}

/** From beat to beat the tune moves, and not too far. */
function beatToBeat(anchor: number, from: number, to: number, ground: Ground, onBeat: boolean): number {
  if (onBeat) return 0;
  if (anchor === to) return from === to ? 0 : 20;
  const size = Math.abs(height(ground, to) - height(ground, anchor));
  return size > 7 ? 60 : size > 4 ? 20 : 0;
}

function height(ground: Ground, tone: number): number {
  return ground.heights[tone] ?? 0;
}
