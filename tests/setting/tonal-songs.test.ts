/**
 * How songs with fa and ti go, read from the songs alone. Rules are common practice of tonal melody unless a source is
 * named; shares leave room for the exceptions that draws bring.
 */
import { describe, expect, test } from 'vitest';
import { setTakes } from '../../src/setting/melody.ts';
import { findRung } from '../../src/setting/rungs.ts';
import { someRhythm } from './some-rhythm.ts';

/** Tones of each line, ties joined. */
type Lines = readonly (readonly string[])[];

function songs(name: string, count: number): Lines[] {
  const rung = findRung(name);
  if (rung === null) throw new Error(name);
  return Array.from({ length: count }, (_, i) => i + 1).flatMap((seed) => {
    const wish = { rung, do: null, tempoBpm: null, seed, take: 1, slur: true, voice: null, family: null };
    return setTakes(someRhythm(seed), wish, { first: 1, last: 3, families: [] }).map((outcome): Lines => {
      if (!outcome.ok) throw new Error('no song');
      return outcome.value.phrases.map((phrase) =>
        phrase.notes.flatMap((n) =>
          n.tone === null || n.tie === 'stop' || n.tie === 'both' ? [] : [n.tone],
        ),
      );
    });
  });
}

/** How often a tone (any octave) is left for each other one; repeats left out. */
function left(all: readonly Lines[], tone: string, back = false): Map<string, number> {
  const counts = new Map<string, number>();
  for (const line of all.flat()) {
    const order = back ? line.toReversed() : line;
    order.forEach((from, k) => {
      const to = order.slice(k + 1).find((t) => t !== from);
      if (from.charAt(0) !== tone || to === undefined || order[k + 1] !== to) return;
      counts.set(to.charAt(0), (counts.get(to.charAt(0)) ?? 0) + 1);
    });
  }
  return counts;
}

const share = (counts: ReadonlyMap<string, number>, tones: string): number => {
  const total = [...counts.values()].reduce((a, b) => a + b, 0);
  return [...tones].reduce((sum, tone) => sum + (counts.get(tone) ?? 0), 0) / total;
};

describe.each(['do-pentachord', 'do-hexachord', 'major', 'la-pentachord', 'natural-minor'])(
  'on %s',
  (name) => {
    const all = songs(name, 40);

    test.runIf(name !== 'la-pentachord')('fa falls to mi more than anywhere else, and seldom leaps', () => {
      const counts = left(all, 'f');
      expect(share(counts, 'm')).toBeGreaterThan(0.5);
      expect(share(counts, 'msr')).toBeGreaterThan(0.9);
    });

    test.runIf(name !== 'do-pentachord' && name !== 'do-hexachord')('ti goes to do or la, by step', () => {
      expect(share(left(all, 't'), 'dl')).toBeGreaterThan(0.85);
    });

    test.runIf(name === 'major')('ti is reached by step or third', () => {
      expect(share(left(all, 't', true), 'dlsr')).toBeGreaterThan(0.9);
    });

    test('no line of five sounds and more stands on one tone', () => {
      const lines = all.flat().filter((line) => line.length >= 5);
      const still = lines.filter((line) => new Set(line).size === 1);
      expect(lines.length).toBeGreaterThan(100);
      expect(still.length / lines.length).toBeLessThan(0.02);
    });

    test('the song does not open and go on with the same line unless its words or its form say so', () => {
      const pairs = all.flatMap((lines) => lines.slice(1).map((line, i) => [lines[i] ?? [], line] as const));
      const alike = pairs.filter(([a, b]) => a.join() === b.join());
      expect(alike.length / pairs.length).toBeLessThan(0.4);
    });
  },
);
