/**
 * The rules of the melody as integer costs: 100 is one natural-log unit, negative is a reward, FORBIDDEN is never.
 * One entry per rule; `explain` prints the same names. Weights are the project's own: they follow the shares that
 * the trade's handbooks give and were checked against aggregate figures of children's songs.
 */
import { FORBIDDEN } from '../lattice.ts';
import { toneSemitones, toneStep } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import type { Hold } from './family.ts';
import { beatPlace, type Place } from './melody-places.ts';
import { CHORDS, type ChordName } from './outline.ts';

/** A rung with what the rules ask about its tones, worked out once. Tones are named by their index in the rung. */
export interface Ground {
  readonly rung: Rung;
  /** Semitones from do, for each tone. */
  readonly heights: readonly number[];
  /** Semitones from do to home. */
  readonly home: number;
  /** Whether the tone belongs to the chord on home, for each tone. */
  readonly restful: readonly boolean[];
  /** Whether strophes may close on the tone, for each tone. */
  readonly closing: readonly boolean[];
  /** For each tone, the chords on home, its fifth and its fourth that have it. */
  readonly chords: readonly (readonly ChordName[])[];
  /** `f` for each fa, `t` for each ti: the tones that a half step pulls; else empty. */
  readonly pulled: readonly ('f' | 't' | '')[];
  /** Whether the rung has fa or ti: its songs then lean on chords, and half steps pull. */
  readonly diatonic: boolean;
}

export function groundOf(rung: Rung): Ground {
  const degrees = rung.tones.map((tone) => (((toneStep(tone) - toneStep(rung.home)) % 7) + 7) % 7);
  const pulled = rung.tones.map((tone) => (tone.startsWith('f') ? 'f' : tone.startsWith('t') ? 't' : ''));
  const names: readonly ChordName[] = ['home', 'fifth', 'fourth'];
  return {
    rung,
    heights: rung.tones.map(toneSemitones),
    home: toneSemitones(rung.home),
    restful: degrees.map((degree) => CHORDS.home.includes(degree)),
    closing: rung.tones.map((tone) => rung.closes.includes(tone)),
    chords: degrees.map((degree) => names.filter((name) => CHORDS[name].includes(degree))),
    pulled,
    diatonic: pulled.some((name) => name !== ''),
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
  /** Index of the tone that the easier song of the family has here, or -1; what leaving it costs. */
  readonly family: number;
  readonly hold: Hold;
  /** The chord that the bar leans on, or null where there is none to follow. */
  readonly chord: ChordName | null;
  /** Whether the phrase is rising (1) or falling (-1) here. */
  readonly aim: -1 | 0 | 1;
  /** Lowest and highest tone that this song would rather keep to, in semitones from do; or null. */
  readonly compass: readonly [low: number, high: number] | null;
  /** This seed's leaning to each tone here. */
  readonly fancy: readonly number[];
}

export interface LocalRule {
  readonly name: string;
  /** Whether the rule has anything to say at this moment; without it, always. */
  readonly applies?: (moment: Moment) => boolean;
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
  readonly aim: Moment['aim'];
}

export interface StepRule {
  readonly name: string;
  readonly cost: (from: number, to: number, step: Step) => number;
}

export const LOCAL_RULES: readonly LocalRule[] = [
  { name: 'beat-place', applies: (m) => !m.last, cost: onTheBeat },
  { name: 'opening', applies: (m) => !m.last && (m.first || m.place.at === 0), cost: opening },
  { name: 'ending', applies: (m) => m.last, cost: ending },
  { name: 'kept-for-the-close', applies: (m) => m.ground.rung.closesOnly, cost: keptForTheClose },
  { name: 'long-tone', applies: (m) => m.place.duration >= 2 * m.ticksPerBeat, cost: longTone },
  { name: 'chord', applies: (m) => m.chord !== null && !m.last && m.place.strength > 0, cost: chord },
  { name: 'compass', applies: (m) => m.compass !== null && !m.last, cost: compass },
  {
    name: 'phrase-memory',
    applies: (m) => m.remembered >= 0 && m.memoryCost > 0,
    cost: (tone, m) => (m.remembered === tone ? 0 : m.memoryCost),
  },
  { name: 'fancy', cost: (tone, m) => m.fancy[tone] ?? 0 },
];

export const STEP_RULES: readonly StepRule[] = [
  { name: 'ways', cost: ways },
  { name: 'leap-limit', cost: leapLimit },
  { name: 'repeat', cost: (from, to, step) => (from === to ? step.ground.rung.repeats[step.place] : 0) },
  { name: 'interval', cost: interval },
  { name: 'home-chord', cost: homeChord },
  { name: 'leaning', cost: leaning },
  { name: 'half-step', cost: halfStep },
  { name: 'aim', cost: aim },
  { name: 'la-from-so', cost: laFromSo },
  { name: 'approach-to-the-close', cost: approach },
];

/** Where in the bar a tone likes to stand; the last tone of a phrase answers to the cadence alone. */
function onTheBeat(tone: number, m: Moment): number {
  return m.ground.rung.rules[tone]?.place[beatPlace(m.place.strength)] ?? FORBIDDEN;
}

/**
 * The first beat of a phrase takes a tone of the home chord, so above all (songs start on so 61 %, do 28 %, mi 9 %).
 * An upbeat comes from below it: home, or the third or lower fifth (common practice).
 */
function opening(tone: number, m: Moment): number {
  const start = m.ground.rung.rules[tone]?.start ?? FORBIDDEN;
  if (m.place.at === 0) return start;
  if (start === FORBIDDEN) return FORBIDDEN;
  const aboveThird = height(m.ground, tone) - m.ground.home > 4;
  return (aboveThird ? 100 : 0) + (m.ground.restful[tone] === true ? 0 : 120);
}

/** The last phrase of a strophe ends on a closing tone, never on another; the others end open by preference. */
function ending(tone: number, m: Moment): number {
  const isClosing = m.ground.closing[tone] === true;
  if (m.closes) return isClosing ? 0 : FORBIDDEN;
  const cost = m.ground.rung.rules[tone]?.open ?? FORBIDDEN;
  return m.asks && isClosing ? cost + 120 : cost;
}

/** A tone that the rung keeps for the close of a strophe sounds nowhere else. */
function keptForTheClose(tone: number, m: Moment): number {
  if (m.last && m.closes) return 0;
  return m.ground.closing[tone] === true ? FORBIDDEN : 0;
}

/** Sounds of two beats and more rest on tones of the home chord (common practice). */
function longTone(tone: number, m: Moment): number {
  return m.ground.restful[tone] === true ? 0 : 70;
}

/** Tones on the beat belong to the chord of their bar, the stronger the beat the more (common practice). */
function chord(tone: number, m: Moment): number {
  if (m.chord === null || m.ground.chords[tone]?.includes(m.chord) === true) return 0;
  return m.place.strength >= 2 ? 110 : 55;
}

/** Most tunes keep within an octave or so, around home or up from it: plagal and authentic (common practice). */
function compass(tone: number, m: Moment): number {
  if (m.compass === null) return 0;
  const [low, high] = m.compass;
  const at = height(m.ground, tone);
  return at < low || at > high ? 110 : 0;
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

/**
 * What it costs to alter a note of the easier song: less when the note before is altered too, so that a motif
 * changes as a whole. `before` is null for the first sound of a phrase; `from` is the tone there.
 */
export function alteration(from: number, tone: number, before: Moment | null, m: Moment): number {
  if (m.family < 0 || m.family === tone) return 0;
  const goesOn = before !== null && before.family >= 0 && before.family !== from;
  return goesOn ? m.hold.goOn : m.hold.begin;
}

/** Small intervals are common, wide ones rare (von Hippel, "Redefining pitch proximity", 2000). Neighbours in the tone set count as near. */
function interval(from: number, to: number, { ground }: Step): number {
  if (from === to) return 0;
  const size = Math.abs(height(ground, to) - height(ground, from));
  const near = Math.abs(to - from) === 1;
  if (size <= 2) return 0;
  if (size <= 4) return near ? (ground.rung.tones.length <= 3 ? 15 : 30) : ground.diatonic ? 40 : 60;
  if (size === 5) return near ? 50 : ground.diatonic ? 75 : 100;
  if (size <= 7) return ground.diatonic ? 155 : 130;
  if (size <= 9) return ground.diatonic ? 220 : 190;
  return ground.diatonic ? 330 : 260;
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

/**
 * A half step pulls: ti goes up to do or, coming down, to la; fa falls to mi or passes to so. Both are reached by step
 * or third. In minor the same tones pull the same way (common practice).
 */
function halfStep(from: number, to: number, { ground }: Step): number {
  if (!ground.diatonic || from === to) return 0;
  const rise = height(ground, to) - height(ground, from);
  const reached = ground.pulled[to] !== '' && Math.abs(rise) > 4 ? 120 : 0;
  if (ground.pulled[from] === 't') return reached + (rise === 1 ? -60 : Math.abs(rise) <= 2 ? 30 : 200);
  if (ground.pulled[from] === 'f')
    return reached + (rise === -1 ? -30 : rise === 2 ? 10 : rise === -3 ? 60 : 150);
  return reached;
}

/** A phrase is going somewhere: up to its top, down to its close (Huron, "The melodic arch", 1996). */
function aim(from: number, to: number, { ground, aim: way }: Step): number {
  if (way === 0 || from === to) return 0;
  return height(ground, to) > height(ground, from) === way > 0 ? -20 : 20;
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

/** Semitones from do. */
export function height(ground: Ground, tone: number): number {
  return ground.heights[tone] ?? 0;
}
