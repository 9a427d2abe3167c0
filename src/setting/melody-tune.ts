/**
 * One take's tones: the phrases in order of singing, each exact given the plan and the phrases before it. The plan's
 * hold on earlier phrases comes first and is loosened only where the rules of the rung leave no other way.
 */
import { bestPath, type Woven } from '../lattice.ts';
import type { Tone } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import type { Ticks } from '../time.ts';
import { cheapestFrame, type CanonPlan, type Frame } from './canon-frame.ts';
import type { Family } from './family.ts';
import { counterpart, type PhrasePlan } from './form.ts';
import type { Moment } from './melody-costs.ts';
import { directionAt, type Outline, type Role } from './outline.ts';
import { phraseLattice, type PhraseTask, type RungTables } from './melody-model.ts';
import type { PhrasePlaces, Place } from './melody-places.ts';

/** The tones of a whole song, with the plan and the places they stand on. */
export interface Tune {
  readonly phrases: readonly PhrasePlaces[];
  readonly plans: readonly PhrasePlan[];
  /** Tone indexes, one for each place of each phrase. */
  readonly tones: readonly (readonly number[])[];
  /** The new tone has its motif, or there is none to have. */
  readonly newToneSounds: boolean;
  /** The tones left to each sound by a canon, or null. */
  readonly frame: Frame | null;
  /** The lattice that each phrase was found in. */
  readonly tasks: readonly PhraseTask[];
}

/**
 * The tone that must stand on a sound, by index into the rung's tones, or -1. Sounds are counted without the second
 * tones of slurs; such a tone has the number of the sound that it belongs to.
 */
export type Given = (phrase: number, sound: number, place: Place, sounds: number) => number;

export interface TuneMeans {
  readonly tables: RungTables;
  readonly ticksPerBeat: Ticks;
  /** A cost by chance, for one tone at one moment. */
  readonly fancy: () => number;
  /** The outline of a section; null where the rung's songs have none. */
  readonly outline: ((stretches: number, role: Role) => Outline) | null;
  /** The canon that the tune is made for, or null. */
  readonly canon: CanonPlan | null;
  /** The canon's frame where it is known already; null to work it out. */
  readonly frame: Frame | null;
  /** What the song keeps to, or null. */
  readonly compass: Moment['compass'];
  /** How many strong beats there are up to an onset. */
  readonly stretchAt: (onset: Ticks) => number;
  /** The first phrase that must bring the new tone's motif; where it has no room the next one brings it. */
  readonly motifFrom: number;
  /** Tone index asked for, or -1. */
  readonly given: Given;
  /** The easier song of the family. */
  readonly family: Family;
  /** Choices for one phrase, or null when it has none; called once for each phrase and way of holding it. */
  readonly solve: (woven: Woven, phrase: number) => readonly number[] | null;
}

/** Sounds at the end of a returning tune that may change at most, however little room the rules leave. */
const LONGEST_TAIL = 3;

/** The tune of a take, or null when some phrase has no way through the rules. */
export function tuneOf(
  phrases: readonly PhrasePlaces[],
  plans: readonly PhrasePlan[],
  means: TuneMeans,
): Tune | null {
  const { rung } = means.tables;
  const motif = motifTone(rung);
  const fancies = new Map<string, Map<Ticks, readonly number[]>>();
  const outlines = new Map<string, Outline>();
  const tones: (readonly number[])[] = [];
  const tasks: PhraseTask[] = [];
  // A tone of the home chord, or of a chant, is heard clearly on a beat; fa and ti are heard as they pass.
  const { ground } = means.tables;
  const motifWays: readonly Way['motif'][] =
    ground.diatonic && ground.restful[motif] !== true ? ['any', 'none'] : ['beat', 'any', 'none'];
  let motifDue = motif >= 0;
  const frame = means.canon === null ? null : (means.frame ?? frameFor(means.canon));
  if (means.canon !== null && frame === null) return null;
  for (const [i, plan] of plans.entries()) {
    let found: readonly number[] | null = null;
    for (const way of waysToHold(plan, motifDue && i >= means.motifFrom ? motifWays : ['none'])) {
      const task = taskOf(i, plan, way, frame?.[i] ?? null);
      found = means.solve(phraseLattice(task, means.tables), i);
      if (found === null) continue;
      if (way.motif !== 'none') motifDue = false;
      tasks.push(task);
      break;
    }
    if (found === null) return null;
    tones.push(found);
  }
  if (motifDue && means.motifFrom > 0) return tuneOf(phrases, plans, { ...means, motifFrom: 0 });
  return { phrases, plans, tones, newToneSounds: !motifDue, frame, tasks };

  /**
   * The cheapest frame for the phrases each by itself, before any has its tones: so none remembers another. The new
   * tone has room where its motif is first looked for, or else where it may.
   */
  function frameFor(canon: CanonPlan): Frame | null {
    const frameWith = (withMotif: boolean): Frame | null =>
      cheapestFrame({
        canon,
        phrases,
        plans,
        costOf(i, allowed) {
          const plan = plans[i];
          if (plan === undefined) return 0;
          const brings = withMotif && i === means.motifFrom;
          const way: Way = { free: null, motif: brings ? 'any' : 'none' };
          return bestPath(phraseLattice(taskOf(i, plan, way, allowed), means.tables))?.cost ?? Infinity;
        },
      });
    return (motifDue ? frameWith(true) : null) ?? frameWith(false);
  }

  function taskOf(i: number, plan: PhrasePlan, way: Way, allowed: PhraseTask['allowed']): PhraseTask {
    const places = phrases[i]?.places ?? [];
    // A new tune still remembers the phrase before it.
    const from = plan.source ?? (i > 0 ? i - 1 : null);
    const source = from === null ? [] : (phrases[from]?.places ?? []);
    const sourceTones = from === null ? [] : (tones[from] ?? []);
    let sounds = -1;
    const soundOf = places.map((place) => (place.slur === 'stop' ? sounds : (sounds += 1)));
    const memory = places.map((place) => counterpart(source, place));
    const section = fanciesOf(plan.letter);
    const outline = outlineOf(i, plan);
    const beats = places.filter((place) => place.at >= 0);
    const firstStretch = means.stretchAt(beats[0]?.onset ?? 0);
    const lastStretch = means.stretchAt(places.at(-1)?.onset ?? 0) - firstStretch;
    const span = Math.max(1, places.at(-1)?.at ?? 1);
    const held = way.free === null ? 0 : places.length - way.free;
    return {
      places,
      moments: places.map((place, k): Moment => {
        const at = memory[k] ?? -1;
        return {
          ground: means.tables.ground,
          place,
          ticksPerBeat: means.ticksPerBeat,
          first: k === 0,
          last: k === places.length - 1,
          closes: plan.closes,
          asks: plan.asks,
          remembered: sourceTones[at] ?? -1,
          memoryCost: memoryCost(plan, source[at]?.at === place.at, means.tables.ground.diatonic),
          family: means.family.toneAt(place.onset),
          hold: means.family.hold,
          chord: chordAt(Math.max(0, means.stretchAt(place.onset) - firstStretch)),
          aim: outline === null ? 0 : directionAt(outline.shape, place.at / span),
          compass: means.compass,
          // Chance does not alter the easier song.
          fancy: means.family.toneAt(place.onset) < 0 ? fancyAt(section, place.at) : [],
        };
      }),
      fixed: places.map((place, k) => {
        const given = means.given(i, soundOf[k] ?? 0, place, (soundOf.at(-1) ?? -1) + 1);
        return given < 0 && k < held ? (sourceTones[memory[k] ?? -1] ?? -1) : given;
      }),
      allowed,
      before: tones[i - 1]?.at(-1) ?? -1,
      motif: way.motif === 'none' ? -1 : motif,
      motifOnBeat: way.motif === 'beat',
    };

    function chordAt(stretch: number): Moment['chord'] {
      if (outline === null) return null;
      return plan.closes && stretch >= lastStretch ? 'home' : (outline.chords[stretch] ?? null);
    }
  }

  /** The outline of a section: the same wherever it comes back. */
  function outlineOf(i: number, plan: PhrasePlan): Outline | null {
    const known = outlines.get(plan.letter);
    if (known !== undefined || means.outline === null) return known ?? null;
    const places = (phrases[i]?.places ?? []).filter((place) => place.at >= 0);
    const [first, last] = [places[0]?.onset ?? 0, places.at(-1)?.onset ?? 0];
    const role: Role = plan.closes ? 'closes' : i === 0 ? 'opens' : 'moves-on';
    const drawn = means.outline(means.stretchAt(last) - means.stretchAt(first) + 1, role);
    outlines.set(plan.letter, drawn);
    return drawn;
  }

  /** This take's leanings in a section, by moment: the same wherever the section comes back. */
  function fanciesOf(letter: string): Map<Ticks, readonly number[]> {
    const known = fancies.get(letter) ?? new Map<Ticks, readonly number[]>();
    fancies.set(letter, known);
    return known;
  }

  function fancyAt(section: Map<Ticks, readonly number[]>, at: Ticks): readonly number[] {
    let fancy = section.get(at);
    if (fancy === undefined) {
      fancy = rung.tones.map(means.fancy);
      section.set(at, fancy);
    }
    return fancy;
  }
}

/** The new tone where it needs a motif of its own; -1 where the close brings it, or there is none. */
export function motifTone(rung: Rung): number {
  if (rung.newTone === null || rung.closes.includes(rung.newTone)) return -1;
  return rung.tones.indexOf(rung.newTone);
}

/** How a phrase holds on to its source, and whether it brings the new tone's motif. */
interface Way {
  /** Sounds at the end that are free while the rest is held; null when nothing is held. */
  readonly free: number | null;
  /** On a beat, anywhere, or not at all. */
  readonly motif: 'beat' | 'any' | 'none';
}

/** Firmest first: a held phrase never gives up its tune for the motif. */
function waysToHold(plan: PhrasePlan, motifs: readonly Way['motif'][]): readonly Way[] {
  const loose = motifs.map((motif): Way => ({ free: null, motif }));
  if (plan.kind !== 'copy' && plan.kind !== 'tail') return loose;
  const firm: Way[] = [];
  for (let free = plan.tail; free <= Math.max(LONGEST_TAIL, plan.tail); free += 1)
    firm.push({ free, motif: 'none' });
  return [...firm, ...loose];
}

/**
 * What it costs to leave the remembered tone; more on its own beat than where it only sounds on. A new line of a chant
 * still sounds like the line before; in songs with fa or ti it moves on.
 */
function memoryCost(plan: PhrasePlan, sameMoment: boolean, diatonic: boolean): number {
  if (plan.kind === 'new') return diatonic ? 0 : sameMoment ? 50 : 25;
  return sameMoment ? 240 : 120;
}

/** The same for two tunes of one rhythm only when they sound the same. */
export function tuneKey(tune: Tune): string {
  let key = '';
  tune.phrases.forEach(({ places }, i) => {
    // Only a slur changes the rhythm.
    const slur = places.find((place) => place.slur === 'start')?.onset;
    key += `${slur === undefined ? '' : String(slur)}:${(tune.tones[i] ?? []).join()}|`;
  });
  return key;
}

/** Index of a tone in a rung, for `Given`; -1 when the rung has it not. */
export function toneIndex(rung: Rung, tone: Tone): number {
  return rung.tones.indexOf(tone);
}
