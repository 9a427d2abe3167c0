/**
 * Tunes made for a canon. That strong beats do not rub is read by the canon part, which judges finished songs and
 * shares no code with the search; the cheapest frame is held beside every frame there is.
 */
import { describe, expect, test } from 'vitest';
import { bestPath } from '../../src/lattice.ts';
import { canonEntries } from '../../src/parts/canon.ts';
import { rubs as rubsInParts } from '../../src/parts/intervals.ts';
import type { Song } from '../../src/song.ts';
import { canonPlan, cheapestFrame, fittingSets, rubs, type ToneSet } from '../../src/setting/canon-frame.ts';
import { setMelody, setTakes, tuneOfTake, type MelodyOptions } from '../../src/setting/melody.ts';
import { phraseLattice } from '../../src/setting/melody-model.ts';
import { placesOf } from '../../src/setting/melody-places.ts';
import { findRung, RUNGS } from '../../src/setting/rungs.ts';
import { departures } from './rules-of-the-rung.ts';
import { someRhythm } from './some-rhythm.ts';

function options(name: string, more: Partial<MelodyOptions> = {}): MelodyOptions {
  const rung = findRung(name);
  if (rung === null) throw new Error(name);
  return { rung, do: null, tempoBpm: null, seed: 1, take: 1, slur: true, voice: null, family: null, ...more };
}

/** Strong beats that rub when so many voices enter so far apart; null when the song is too short for it. */
function strongRubs(song: Song, beats: number, voices: number): number | null {
  const entry = canonEntries(song, voices).find((each) => each.beats === beats);
  return entry === undefined ? null : entry.clashes.filter((clash) => clash.strong).length;
}

describe('tones that fit', () => {
  test('two tones rub as the canon part says, on every rung', () => {
    for (const { tones } of RUNGS)
      for (const a of tones) for (const b of tones) expect(rubs(a, b)).toBe(rubsInParts(a, b));
  });

  test('the sets are all largest ones, found beside every set of tones', () => {
    for (const { tones } of RUNGS) {
      const fits = (set: number): boolean =>
        tones.every((a, i) =>
          tones.every((b, k) => (set & (1 << i)) === 0 || (set & (1 << k)) === 0 || !rubsInParts(a, b)),
        );
      const all = Array.from({ length: 1 << tones.length }, (_, set) => set).filter(fits);
      const largest = all.filter((set) => !all.some((other) => other !== set && (other & set) === set));
      expect([...fittingSets(tones)].sort((a, b) => a - b)).toEqual(largest);
    }
  });
});

describe.each(RUNGS.map((rung) => rung.name))('on %s', (name) => {
  test('voices two, four and eight beats apart never rub on strong beats, in any take', () => {
    let judged = 0;
    for (let seed = 1; seed <= 8; seed += 1) {
      const rhythm = someRhythm(seed);
      for (const forCanon of [2, 4, 8]) {
        const wish = options(name, { forCanon, seed });
        for (const outcome of setTakes(rhythm, wish, { first: 1, last: 2, families: [] })) {
          if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
          expect(departures(outcome.value, rhythm, { slur: true })).toEqual([]);
          for (const voices of [2, 3, 4]) {
            const found = strongRubs(outcome.value, forCanon, voices);
            if (found === null) continue;
            judged += 1;
            expect(found).toBe(0);
          }
        }
      }
    }
    expect(judged).toBeGreaterThan(20);
  });
});

test('without the wish songs do rub: the wish is what prevents it', () => {
  let found = 0;
  for (let seed = 1; seed <= 10; seed += 1) {
    const outcome = setMelody(someRhythm(seed), options('do-hexachord', { seed }));
    if (outcome.ok) found += strongRubs(outcome.value, 4, 2) ?? 0;
  }
  expect(found).toBeGreaterThan(5);
});

test('an odd distance brings weak beats against strong ones: they fit as well', () => {
  for (let seed = 1; seed <= 6; seed += 1) {
    const outcome = setMelody(someRhythm(seed), options('do-pentatonic', { forCanon: 3, seed }));
    if (!outcome.ok) throw new Error('no song');
    expect(strongRubs(outcome.value, 3, 3) ?? 0).toBe(0);
  }
});

test('the frame costs least of all frames there are', () => {
  let compared = 0;
  for (let seed = 1; seed <= 12; seed += 1) {
    const rhythm = someRhythm(seed);
    const wish = options('do-pentatonic', { seed });
    const found = tuneOfTake(rhythm, wish);
    if (found === null) throw new Error('no tune');
    const { tune, tables } = found;
    const canon = canonPlan(rhythm, wish.rung, 4);
    // Each line new, so that every frame can be written out: a set for each class, the sounds in it narrowed to it.
    const plans = tune.plans.map((plan) => ({ ...plan, kind: 'new' as const, source: null, tail: 0 }));
    const phrases = placesOf(rhythm);
    const costOf = (i: number, allowed: readonly ToneSet[]): number => {
      const task = tune.tasks[i];
      if (task === undefined || task.places.length !== allowed.length) return 0;
      const free = { ...task, fixed: task.places.map(() => -1), motif: -1, before: -1, allowed };
      return bestPath(phraseLattice(free, tables))?.cost ?? Infinity;
    };
    const sum = (frame: readonly (readonly ToneSet[])[]): number =>
      frame.reduce((all, allowed, i) => all + costOf(i, allowed), 0);
    const classes = [...new Set(phrases.flatMap((p) => p.places.flatMap((place) => canon.classesOf(place))))];
    if (canon.sets.length ** classes.length > 300) continue;
    let least = Infinity;
    for (let n = 0; n < canon.sets.length ** classes.length; n += 1) {
      const setOf = (name: number): ToneSet =>
        canon.sets[Math.floor(n / canon.sets.length ** classes.indexOf(name)) % canon.sets.length] ?? 0;
      const frame = phrases.map((p) =>
        p.places.map((place) => canon.classesOf(place).reduce((set, name) => set & setOf(name), -1)),
      );
      least = Math.min(least, sum(frame));
    }
    const best = cheapestFrame({ canon, phrases, plans, costOf });
    if (best === null) throw new Error('no frame');
    expect(sum(best)).toBe(least);
    compared += 1;
  }
  expect(compared).toBeGreaterThan(5);
});

test('tones that were given and rub make it impossible, and the problem says why', () => {
  const rhythm = someRhythm(3);
  const phrases = placesOf(rhythm);
  const canon = canonPlan(rhythm, options('do-pentatonic').rung, 4);
  const strong = phrases.map((p) => p.places.findIndex((place) => place.strength >= 2));
  const [a, b] = [0, 1].map((i) =>
    phrases[i]?.places.filter((_, k) => k === strong[i]).map((place) => canon.classesOf(place)),
  );
  expect(a).toEqual(b);
  const fixed = [
    { phrase: 0, sound: strong[0] ?? 0, tone: 'd' },
    { phrase: 1, sound: strong[1] ?? 0, tone: 'r' },
  ] as const;
  expect(setMelody(rhythm, options('do-pentatonic', { fixed })).ok).toBe(true);
  const outcome = setMelody(rhythm, options('do-pentatonic', { fixed, forCanon: 4 }));
  expect(outcome.ok).toBe(false);
  expect(outcome.problems[0]?.code).toBe('no-melody');
  expect(outcome.problems[0]?.message).toContain('voices 4 beats apart');
});
