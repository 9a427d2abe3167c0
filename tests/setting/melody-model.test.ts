import { describe, expect, test } from 'vitest';
import { bestPath, FORBIDDEN, pathSampler, weightTable } from '../../src/lattice.ts';
import { seededRandom } from '../../src/random.ts';
import { explainMelody, ledgerOf } from '../../src/setting/explain.ts';
import { setMelody, tuneOfTake, type MelodyOptions } from '../../src/setting/melody.ts';
import { LOCAL_RULES, STEP_RULES } from '../../src/setting/melody-costs.ts';
import { TURN_RULES } from '../../src/setting/melody-turns.ts';
import { phraseLattice, type PhraseTask, type RungTables } from '../../src/setting/melody-model.ts';
import { RULE_WORDS } from '../../src/setting/melody-words.ts';
import { findRung } from '../../src/setting/rungs.ts';
import { someRhythm } from './some-rhythm.ts';

function options(name: string, more: Partial<MelodyOptions> = {}): MelodyOptions {
  const rung = findRung(name);
  if (rung === null) throw new Error(name);
  return { rung, do: null, tempoBpm: null, seed: 1, take: 1, slur: true, voice: null, family: null, ...more };
}

/** What a tune costs by the rules alone, counted without the lattice; null when some rule forbids it. */
function costOf(task: PhraseTask, tones: readonly number[], tables: RungTables): number | null {
  if (task.fixed.some((tone, k) => tone >= 0 && tone !== tones[k])) return null;
  if (task.motif >= 0 && !hasMotif(task, tones)) return null;
  const cost = ledgerOf(task, tones, tables).reduce((sum, charge) => sum + charge.cost, 0);
  return cost >= FORBIDDEN / 2 ? null : cost;
}

/** The new tone begins clearly once, and is left again unless it ends the phrase. */
function hasMotif(task: PhraseTask, tones: readonly number[]): boolean {
  return tones.some((tone, k) => {
    const place = task.places[k];
    if (tone !== task.motif || place === undefined || place.slur === 'stop') return false;
    return !task.motifOnBeat || place.strength > 0;
  });
}

function everyTune(count: number, tones: number): number[][] {
  let tunes: number[][] = [[]];
  for (let k = 0; k < count; k += 1) {
    tunes = tunes.flatMap((tune) => Array.from({ length: tones }, (_, tone) => [...tune, tone]));
  }
  return tunes;
}

/** Small phrases of real songs, every kind of plan among them. */
function smallTasks(rungs: readonly string[], most: number): { task: PhraseTask; tables: RungTables }[] {
  return rungs.flatMap((name) =>
    Array.from({ length: 12 }, (_, i) => i + 1).flatMap((seed) => {
      const found = tuneOfTake(someRhythm(seed), options(name, { seed, take: 1 + (seed % 2) }));
      if (found === null) return [];
      return found.tune.tasks
        .filter((task) => task.places.length <= most)
        .slice(0, 3)
        .map((task) => ({ task, tables: found.tables }));
    }),
  );
}

describe('beside every tune there is', () => {
  const tasks = [
    ...smallTasks(['so-mi', 'so-mi-la', 'so-mi-la-do', 'mi-re-do'], 6),
    ...smallTasks(['do-pentatonic', 'do-pentachord', 'la-pentachord'], 5),
  ];

  test('there are enough small phrases to say something', () => {
    expect(tasks.length).toBeGreaterThan(60);
  });

  test('the best tune costs the least, and the lattice charges what the rules charge', () => {
    for (const { task, tables } of tasks) {
      const costs = everyTune(task.places.length, tables.rung.tones.length).flatMap(
        (tones) => costOf(task, tones, tables) ?? [],
      );
      const best = bestPath(phraseLattice(task, tables));
      expect(best?.cost).toBe(Math.min(...costs));
      expect(costOf(task, best?.choices ?? [], tables)).toBe(best?.cost);
    }
  });

  test('tunes are drawn as often as exp(-cost/100) says (Pearson chi-square, 0.1 % level)', () => {
    const weightOf = weightTable();
    for (const [n, { task, tables }] of tasks.filter((_, i) => i % 5 === 0).entries()) {
      const tunes = everyTune(task.places.length, tables.rung.tones.length).flatMap((tones) => {
        const cost = costOf(task, tones, tables);
        return cost === null ? [] : [{ key: tones.join(), weight: Math.exp(-cost / 100) }];
      });
      const total = tunes.reduce((sum, tune) => sum + tune.weight, 0);
      const sampler = pathSampler(phraseLattice(task, tables), weightOf);
      if (sampler === null) throw new Error('no tune');
      const counts = new Map<string, number>();
      const random = seededRandom(n + 1);
      const draws = 3000;
      for (let i = 0; i < draws; i += 1) {
        const key = sampler(random).choices.join();
        counts.set(key, (counts.get(key) ?? 0) + 1);
      }
      let [chi, cells, rare, rareSeen] = [0, 0, 0, 0];
      for (const { key, weight } of tunes) {
        const expected = (draws * weight) / total;
        if (expected >= 5) {
          chi += ((counts.get(key) ?? 0) - expected) ** 2 / expected;
          cells += 1;
        } else {
          rare += expected;
          rareSeen += counts.get(key) ?? 0;
        }
      }
      if (rare >= 5) {
        chi += (rareSeen - rare) ** 2 / rare;
        cells += 1;
      }
      expect([...counts.values()].reduce((a, b) => a + b, 0)).toBe(draws);
      expect([...counts.keys()].every((key) => tunes.some((tune) => tune.key === key))).toBe(true);
      // The 99.9 % point by Wilson and Hilferty (1931).
      const k = 2 / (9 * Math.max(1, cells - 1));
      if (cells > 1) expect(chi).toBeLessThan((cells - 1) * (1 - k + 3.09 * Math.sqrt(k)) ** 3);
    }
  });
});

describe('the reasons', () => {
  test('each phrase tells its form, its cadence and what decided, every rule in words', () => {
    const rhythm = someRhythm(5);
    const wish = options('so-mi-la-do');
    const song = setMelody(rhythm, wish);
    if (!song.ok) throw new Error('no song');
    const reasons = explainMelody(rhythm, wish);
    expect(reasons.map((r) => [r.line, r.form, r.cadence])).toEqual(
      song.value.phrases.map((p) => [p.line, p.form, p.cadence]),
    );
    for (const { reasons: own } of reasons) {
      expect(own.length).toBeGreaterThan(0);
      for (const { words, rule, notes } of own) {
        expect(words).toBe(RULE_WORDS[rule]);
        expect(notes).toBeGreaterThan(0);
      }
    }
  });

  test('every rule has its words', () => {
    for (const { name } of [...LOCAL_RULES, ...STEP_RULES, ...TURN_RULES])
      expect(RULE_WORDS).toHaveProperty(name);
  });
});
