/**
 * The model of one phrase: the melody rules of a rung laid out as a lattice of tones. The same lattice gives the
 * best tune and the drawn ones. State: the tone before, the latest tone on a beat before that one, and how far the
 * new tone's motif has come; every rule looks at no more than these, so search and draw are exact.
 */
import { FORBIDDEN, weave, type Lattice, type Woven } from '../lattice.ts';
import type { Rung } from '../rung.ts';
import { LOCAL_RULES, STEP_RULES, TURN_RULES, type Moment, type Step } from './melody-costs.ts';
import { beatPlace, type Place } from './melody-places.ts';

/** Cost tables of a rung, filled as they are asked for; good for any number of phrases and takes. */
export interface RungTables {
  readonly rung: Rung;
  /** `from * tones + to` for each kind of step. */
  readonly step: (place: Step['place'], ending: Step['ending']) => Float64Array;
  /** `(anchor * tones + from) * tones + to`. */
  readonly turn: (onBeat: boolean) => Float64Array;
}

/** One phrase to be given tones. */
export interface PhraseTask {
  readonly places: readonly Place[];
  /** One moment for each place. */
  readonly moments: readonly Moment[];
  /** Tone index that each place must have, or -1 for free. */
  readonly fixed: readonly number[];
  /** Tone index with which the phrase before ended, or -1 at the start of the song. */
  readonly before: number;
  /** Index of the new tone when this phrase must sound its motif, else -1. */
  readonly motif: number;
  /** The motif counts only when the new tone begins on a beat. */
  readonly motifOnBeat: boolean;
}

export function rungTables(rung: Rung): RungTables {
  const n = rung.tones.length;
  const steps = new Map<string, Float64Array>();
  const turns = new Map<boolean, Float64Array>();
  return {
    rung,
    step(place, ending) {
      const key = place + ending;
      let table = steps.get(key);
      if (table === undefined) {
        table = new Float64Array(n * n);
        for (let from = 0; from < n; from += 1) {
          for (let to = 0; to < n; to += 1) {
            table[from * n + to] = total(
              STEP_RULES.map((rule) => rule.cost(from, to, { rung, place, ending })),
            );
          }
        }
        steps.set(key, table);
      }
      return table;
    },
    turn(onBeat) {
      let table = turns.get(onBeat);
      if (table === undefined) {
        table = new Float64Array(n * n * n);
        for (let i = 0; i < table.length; i += 1) {
          const [anchor, from, to] = [Math.floor(i / (n * n)), Math.floor(i / n) % n, i % n];
          table[i] = total(TURN_RULES.map((rule) => rule.cost(anchor, from, to, rung, onBeat)));
        }
        turns.set(onBeat, table);
      }
      return table;
    },
  };
}

/** The lattice of a phrase, woven. Choices are tone indexes; one layer for each place. */
export function phraseLattice(task: PhraseTask, tables: RungTables): Woven {
  const { places, moments } = task;
  const n = tables.rung.tones.length;
  const none = n;
  const wide = n + 1;
  const local = moments.map((moment, layer) => localCosts(moment, task.fixed[layer] ?? -1, n));
  const steps = places.map((place, layer) => {
    const moment = moments[layer];
    const ending = moment?.last !== true ? 'none' : moment.closes ? 'close' : 'open';
    return tables.step(beatPlace(place.strength), ending);
  });
  const afterBeat = places.map((_, layer) => (places[layer - 1]?.strength ?? 0) > 0);
  const turns = afterBeat.map((onBeat) => tables.turn(onBeat));
  const clear = places.map((place) => place.slur !== 'stop' && (!task.motifOnBeat || place.strength > 0));
  const last = places.length - 1;

  const lattice: Lattice = {
    layers: places.length,
    states: wide * wide * 3,
    choices: n,
    start: (none * wide + none) * 3,
    cost(layer, state, tone) {
      const alone = local[layer]?.[tone] ?? FORBIDDEN;
      if (alone === FORBIDDEN) return FORBIDDEN;
      if (
        layer === last &&
        task.motif >= 0 &&
        motifAfter(state, layer, tone) < (tone === task.motif ? 1 : 2)
      ) {
        return FORBIDDEN;
      }
      const from = Math.floor(state / 3 / wide);
      if (from === none) return alone + joinCost(task.before, tone, tables.rung);
      const anchor = Math.floor(state / 3) % wide;
      const step = steps[layer]?.[from * n + tone] ?? FORBIDDEN;
      if (anchor === none) return alone + step;
      return alone + step + (turns[layer]?.[(anchor * n + from) * n + tone] ?? 0);
    },
    next(layer, state, tone) {
      const from = Math.floor(state / 3 / wide);
      const anchor = afterBeat[layer] === true ? from : Math.floor(state / 3) % wide;
      return (tone * wide + anchor) * 3 + (task.motif < 0 ? 0 : motifAfter(state, layer, tone));
    },
  };

  /** 0: not yet; 1: the new tone sounds clearly; 2: and has been left again. */
  function motifAfter(state: number, layer: number, tone: number): number {
    const before = state % 3;
    if (before === 2) return 2;
    if (tone === task.motif) return before === 1 || clear[layer] === true ? 1 : 0;
    return before === 1 ? 2 : 0;
  }

  return weave(lattice);
}

/** What the join between phrases costs: near is easier to find again (common practice); a slow breath forgives. */
function joinCost(before: number, tone: number, rung: Rung): number {
  if (before < 0) return 0;
  const apart = Math.abs(before - tone);
  return apart <= 2 ? 0 : 15 * (apart - 2) + (rung.tones.length > 6 ? 20 : 0);
}

function localCosts(moment: Moment, fixed: number, n: number): Float64Array {
  const costs = new Float64Array(n);
  for (let tone = 0; tone < n; tone += 1) {
    const free = fixed < 0 || fixed === tone;
    costs[tone] = free ? total(LOCAL_RULES.map((rule) => rule.cost(tone, moment))) : FORBIDDEN;
  }
  return costs;
}

function total(costs: readonly number[]): number {
  return costs.reduce((sum, cost) => sum + cost, 0);
}
