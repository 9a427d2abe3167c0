/**
 * The model of one phrase: the melody rules of a rung laid out as a lattice of tones. The same lattice gives the
 * best tune and the drawn ones. State: the tone before, the latest tone on a beat before that one, and how far the
 * new tone's motif has come; every rule looks at no more than these, so search and draw are exact.
 */
import { FORBIDDEN, makeRoom, weave, type Room, type Woven } from '../lattice.ts';
import type { Rung } from '../rung.ts';
import {
  alteration,
  groundOf,
  LOCAL_RULES,
  STEP_RULES,
  type Ground,
  type LocalRule,
  type Moment,
  type Step,
} from './melody-costs.ts';
import { TURN_RULES } from './melody-turns.ts';
import { beatPlace, type Place } from './melody-places.ts';

/** Cost tables of a rung, filled as they are asked for; good for any number of phrases and takes. */
export interface RungTables {
  readonly rung: Rung;
  readonly ground: Ground;
  readonly localRules: readonly LocalRule[];
  /** `from * tones + to` for each kind of step. */
  readonly step: (place: Step['place'], ending: Step['ending'], aim: Step['aim']) => Int32Array;
  /** `(anchor * tones + from) * tones + to`. */
  readonly turn: (onBeat: boolean) => Int32Array;
  /** For each tone, what it costs as the first of a phrase after one that ended on `before` (-1: none). */
  readonly join: (before: number) => Int32Array;
  /** Where phrases are woven: each lattice is good until the next is asked for. */
  readonly room: Room;
}

/** One phrase to be given tones. */
export interface PhraseTask {
  readonly places: readonly Place[];
  /** One moment for each place. */
  readonly moments: readonly Moment[];
  /** Tone index that each place must have, or -1 for free. */
  readonly fixed: readonly number[];
  /** Tones that each place may have, as bits, or null for all of them. */
  readonly allowed: readonly number[] | null;
  /** Tone index with which the phrase before ended, or -1 at the start of the song. */
  readonly before: number;
  /** Index of the new tone when this phrase must sound its motif, else -1. */
  readonly motif: number;
  /** The motif counts only when the new tone begins on a beat. */
  readonly motifOnBeat: boolean;
}

/** The tables of a rung; `without` names rules to leave out, to find which stand in the way of a wish. */
export function rungTables(rung: Rung, without: readonly string[] = []): RungTables {
  const localRules = LOCAL_RULES.filter(({ name }) => !without.includes(name));
  const stepRules = STEP_RULES.filter(({ name }) => !without.includes(name));
  const ground = groundOf(rung);
  const n = rung.tones.length;
  const steps = new Map<string, Int32Array>();
  const turns = new Map<boolean, Int32Array>();
  const joins = new Map<number, Int32Array>();
  return {
    rung,
    ground,
    localRules,
    step(place, ending, aim) {
      const key = `${place}${ending}${String(aim)}`;
      const known = steps.get(key);
      if (known !== undefined) return known;
      const table = new Int32Array(n * n);
      const step: Step = { ground, place, ending, aim };
      for (let i = 0; i < table.length; i += 1) {
        let cost = 0;
        for (const rule of stepRules) cost += rule.cost(Math.floor(i / n), i % n, step);
        table[i] = Math.min(cost, FORBIDDEN);
      }
      steps.set(key, table);
      return table;
    },
    join(before) {
      const known = joins.get(before) ?? joinCosts(before, rung);
      joins.set(before, known);
      return known;
    },
    room: makeRoom(),
    turn(onBeat) {
      const known = turns.get(onBeat);
      if (known !== undefined) return known;
      const table = new Int32Array(n * n * n);
      for (let i = 0; i < table.length; i += 1) {
        const anchor = Math.floor(i / (n * n));
        const from = Math.floor(i / n) % n;
        let cost = 0;
        for (const rule of TURN_RULES) cost += rule.cost(anchor, from, i % n, ground, onBeat);
        table[i] = cost;
      }
      turns.set(onBeat, table);
      return table;
    },
  };
}

/** The lattice of a phrase, woven in the tables' room and good until the next one is. Choices are tone indexes; one layer for each place. */
export function phraseLattice(task: PhraseTask, tables: RungTables): Woven {
  const { places, moments, motif } = task;
  const n = tables.rung.tones.length;
  const wide = n + 1;
  const pairs = wide * wide;
  const local = moments.map((moment, layer) =>
    localCosts(moment, { fixed: task.fixed[layer] ?? -1, allowed: task.allowed?.[layer] ?? -1 }, tables),
  );
  const steps = moments.map((moment) =>
    tables.step(beatPlace(moment.place.strength), endingOf(moment), moment.aim),
  );
  const afterBeat = places.map((_, layer) => afterBeatAt(places, layer));
  const between = places.map((_, layer) => isBetween(places, layer));
  const turns = afterBeat.map((onBeat, layer) => (between[layer] === true ? null : tables.turn(onBeat)));
  const clear = places.map((place) => place.slur !== 'stop' && (!task.motifOnBeat || place.strength > 0));
  const joins = tables.join(task.before);
  const held = moments.map((moment) => moment.family >= 0);

  // A state is the tone before, the tone on a beat before that (`n` for none yet), and the motif's progress.
  return weave(
    {
      layers: places.length,
      states: motif < 0 ? pairs : pairs * 3,
      choices: n,
      start: n * wide + n,
      edges(layer, state, costs, nexts) {
        const progress = Math.floor(state / pairs);
        const from = Math.floor((state % pairs) / wide);
        const anchor = state % wide;
        const alone = local[layer] ?? joins;
        const step = from === n ? joins : (steps[layer] ?? joins);
        const stepRow = from === n ? 0 : from * n;
        const turn = anchor === n ? null : (turns[layer] ?? null);
        const turnRow = (anchor * n + from) * n;
        const anchorAfter = between[layer + 1] === true ? n : afterBeat[layer] === true ? from : anchor;
        const isClear = clear[layer] === true;
        const isLast = layer === places.length - 1;
        const isHeld = held[layer] === true;
        for (let tone = 0; tone < n; tone += 1) {
          costs[tone] = FORBIDDEN;
          let cost = (alone[tone] ?? 0) + (step[stepRow + tone] ?? 0);
          if (cost >= FORBIDDEN / 2) continue;
          if (turn !== null) cost += turn[turnRow + tone] ?? 0;
          if (isHeld) cost += alterationAt(moments, layer, from, tone);
          const after = motif < 0 ? 0 : progressAfter(progress, tone === motif, isClear);
          if (isLast && motif >= 0 && after < (tone === motif ? 1 : 2)) continue;
          costs[tone] = cost;
          nexts[tone] = after * pairs + tone * wide + anchorAfter;
        }
      },
    },
    tables.room,
  );
}

/** What altering the family's tone costs in this layer. */
export function alterationAt(moments: readonly Moment[], layer: number, from: number, tone: number): number {
  const moment = moments[layer];
  return moment === undefined ? 0 : alteration(from, tone, moments[layer - 1] ?? null, moment);
}

/** 0: the new tone has not sounded clearly yet; 1: it sounds; 2: it has been left again. */
function progressAfter(before: number, isNewTone: boolean, isClear: boolean): number {
  if (before === 2) return 2;
  if (isNewTone) return before === 1 || isClear ? 1 : 0;
  return before === 1 ? 2 : 0;
}

/** Whether the sound before stands on a beat. */
export function afterBeatAt(places: readonly Place[], k: number): boolean {
  return (places[k - 1]?.strength ?? 0) > 0;
}

/**
 * Whether a sound stands between beats, right after one on a beat. Nothing there depends on the beat before, which
 * keeps the states few.
 */
export function isBetween(places: readonly Place[], k: number): boolean {
  return afterBeatAt(places, k) && places[k]?.strength === 0;
}

export function endingOf(moment: Moment): Step['ending'] {
  if (!moment.last) return 'none';
  return moment.closes ? 'close' : 'open';
}

/** What the join between phrases costs: near is easier to find again (common practice); the breath forgives. */
function joinCosts(before: number, rung: Rung): Int32Array {
  return Int32Array.from(rung.tones, (_, tone) => {
    const apart = Math.abs(before - tone);
    return before < 0 || apart <= 2 ? 0 : 15 * (apart - 2) + (rung.tones.length > 6 ? 20 : 0);
  });
}

function localCosts(
  moment: Moment,
  { fixed, allowed }: { readonly fixed: number; readonly allowed: number },
  { localRules, rung }: RungTables,
): Int32Array {
  const n = rung.tones.length;
  const costs = new Int32Array(n).fill(FORBIDDEN);
  const rules = localRules.filter((rule) => rule.applies?.(moment) ?? true);
  for (let tone = 0; tone < n; tone += 1) {
    if (fixed >= 0 && fixed !== tone) continue;
    if ((allowed & (1 << tone)) === 0) continue;
    let cost = 0;
    for (const rule of rules) cost += rule.cost(tone, moment);
    costs[tone] = Math.min(cost, FORBIDDEN);
  }
  return costs;
}
