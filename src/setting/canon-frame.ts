/**
 * A tune that is to be sung as a canon: before its notes, a frame of tones for the strong beats. Strong beats that lie
 * a whole number of entries apart sound together, whoever sings them; each such class of beats gets a set of tones of
 * which no two rub, so that any number of voices fit.
 *
 * Thirds, fourths, fifths, sixths, octaves and unisons fit; seconds, sevenths and the tritone rub (common practice; the
 * rule of two-part reading books).
 */
import { toneSemitones, toneStep, type Tone } from '../pitch.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';
import { counterpart, type PhrasePlan } from './form.ts';
import type { PhrasePlaces, Place } from './melody-places.ts';

/** Sets of tones as bits: bit `i` is the rung's tone `i`. */
export type ToneSet = number;

/** What sounds together when the tune enters again and again after the same time. */
export interface CanonPlan {
  /** Felt beats from one voice to the next. */
  readonly beats: number;
  /** Classes of strong moments at which a sound is heard, rising; none for one that fits with anything. */
  readonly classesOf: (place: Place) => readonly number[];
  /** Every set of the rung's tones that do not rub and to which no other tone can be added. */
  readonly sets: readonly ToneSet[];
}

/** A sound by its place: which phrase, and which of its sounds. */
interface Spot {
  readonly phrase: number;
  readonly place: number;
}

export function rubs(a: Tone, b: Tone): boolean {
  const steps = Math.abs(toneStep(a) - toneStep(b)) % 7;
  return steps === 1 || steps === 6 || Math.abs(toneSemitones(a) - toneSemitones(b)) % 12 === 6;
}

/**
 * The canon in which voices enter `beats` beats apart, 1 or more.
 *
 * A beat of any strength counts when it meets some voice's strong beat, however many voices there are.
 */
export function canonPlan(rhythm: Rhythm, rung: Rung, beats: number): CanonPlan {
  const { metre, upbeatTicks } = rhythm;
  const entry = beats * metre.ticksPerBeat;
  const bar = ticksPerBar(metre);
  const strong = beatsPerBar(metre) === 4 ? bar / 2 : bar;
  const grid = greatestCommon(strong, entry);
  return {
    beats,
    classesOf({ onset, duration }) {
      const found: number[] = [];
      const first = Math.ceil((onset - upbeatTicks) / grid) * grid;
      for (let at = first; at < onset - upbeatTicks + duration; at += grid)
        found.push((((at % entry) + entry) % entry) / grid);
      return [...new Set(found)].sort((a, b) => a - b);
    },
    sets: fittingSets(rung.tones),
  };
}

function greatestCommon(a: Ticks, b: Ticks): Ticks {
  return b === 0 ? a : greatestCommon(b, a % b);
}

/** All largest sets in which no two tones rub, in the order of their lowest tones. */
export function fittingSets(tones: readonly Tone[]): readonly ToneSet[] {
  const found: ToneSet[] = [];
  const fits = (set: ToneSet, tone: number): boolean =>
    tones.every((other, i) => (set & (1 << i)) === 0 || !rubs(other, tones[tone] ?? other));
  const grow = (set: ToneSet, from: number): void => {
    for (let tone = from; tone < tones.length; tone += 1)
      if (fits(set, tone)) grow(set | (1 << tone), tone + 1);
    const full = tones.every((_, tone) => (set & (1 << tone)) !== 0 || !fits(set, tone));
    if (full && !found.includes(set)) found.push(set);
  };
  grow(0, 0);
  return found;
}

/** For each sound of each phrase the tones that the frame leaves it. */
export type Frame = readonly (readonly ToneSet[])[];

/** What a frame is chosen for. */
export interface FrameTask {
  readonly canon: CanonPlan;
  readonly phrases: readonly PhrasePlaces[];
  readonly plans: readonly PhrasePlan[];
  /** What phrase `i` costs by itself when each of its sounds has one of these tones; Infinity for never. */
  readonly costOf: (phrase: number, allowed: readonly ToneSet[]) => number;
}

/**
 * The frame in which the phrases, each taken by itself, cost least; null when no frame leaves every phrase a way.
 *
 * Exact by branch and bound: with some classes still open no phrase can cost less than with them settled. A phrase
 * that keeps another's tune shares its tones, so both have the frame of both. Among equals the earlier sets win.
 */
export function cheapestFrame(task: FrameTask): Frame | null {
  const { canon, phrases } = task;
  const origins = originsOf(task);
  const classes = meetingClasses(task, origins);
  const every = phrases.map(({ places }) => places.map(() => -1));
  const touched = classes.map((name) => spotsOf(name, task, origins));
  const costs = new Map<string, number>();
  const phraseCost = (phrase: number, frame: Frame): number => {
    const allowed = frame[phrase] ?? [];
    const key = `${String(phrase)}:${allowed.join()}`;
    const known = costs.get(key);
    if (known !== undefined) return known;
    const cost = task.costOf(phrase, allowed);
    costs.set(key, cost);
    return cost;
  };
  const frameCost = (frame: Frame): number => frame.reduce((sum, _, i) => sum + phraseCost(i, frame), 0);
  let best: Frame | null = null;
  let least = Infinity;
  const settle = (settled: number, frame: Frame, cost: number): void => {
    if (cost >= least) return;
    if (settled === classes.length) {
      [best, least] = [frame, cost];
      return;
    }
    const next = canon.sets.map((set) => {
      const narrowed = narrow(frame, touched[settled] ?? [], set);
      return { narrowed, cost: frameCost(narrowed) };
    });
    // Cheapest first, so that most others need not be looked into.
    for (const way of next.sort((a, b) => a.cost - b.cost)) settle(settled + 1, way.narrowed, way.cost);
  };
  settle(0, every, frameCost(every));
  return best;
}

function narrow(frame: Frame, spots: readonly Spot[], set: ToneSet): Frame {
  const narrowed = frame.map((phrase) => [...phrase]);
  for (const { phrase, place } of spots) {
    const row = narrowed[phrase];
    if (row !== undefined) row[place] = (row[place] ?? -1) & set;
  }
  return narrowed;
}

/** For each sound the one whose tone it takes over, itself where it is free. */
function originsOf({ phrases, plans }: FrameTask): readonly (readonly Spot[])[] {
  const origins: Spot[][] = [];
  plans.forEach((plan, phrase) => {
    const { places = [] } = phrases[phrase] ?? {};
    const holds = plan.kind === 'copy' || plan.kind === 'tail';
    const source = plan.source ?? -1;
    const from = phrases[source]?.places ?? [];
    origins.push(
      places.map((each, place): Spot => {
        if (!holds || place >= places.length - plan.tail) return { phrase, place };
        return origins[source]?.[counterpart(from, each)] ?? { phrase, place };
      }),
    );
  });
  return origins;
}

/** Classes in which two sounds meet that need not have the same tone. */
function meetingClasses(
  { canon, phrases }: FrameTask,
  origins: readonly (readonly Spot[])[],
): readonly number[] {
  const heard = new Map<number, Set<string>>();
  phrases.forEach(({ places }, phrase) => {
    places.forEach((each, place) => {
      const origin = origins[phrase]?.[place] ?? { phrase, place };
      for (const name of canon.classesOf(each)) {
        const spots = heard.get(name) ?? new Set<string>();
        spots.add(`${String(origin.phrase)}/${String(origin.place)}`);
        heard.set(name, spots);
      }
    });
  });
  return [...heard].flatMap(([name, spots]) => (spots.size > 1 ? [name] : [])).sort((a, b) => a - b);
}

/** Every sound that a class binds: those heard in it, and those that share a tone with one. */
function spotsOf(
  name: number,
  { canon, phrases }: FrameTask,
  origins: readonly (readonly Spot[])[],
): readonly Spot[] {
  const bound = new Set<string>();
  const keyOf = ({ phrase, place }: Spot): string => `${String(phrase)}/${String(place)}`;
  const each = phrases.flatMap(({ places }, phrase) =>
    places.map((sound, place) => ({
      spot: { phrase, place },
      sound,
      key: keyOf(origins[phrase]?.[place] ?? { phrase, place }),
    })),
  );
  for (const { sound, key } of each) if (canon.classesOf(sound).includes(name)) bound.add(key);
  return each.flatMap(({ spot, key }) => (bound.has(key) ? [spot] : []));
}
