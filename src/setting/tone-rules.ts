/**
 * What is usual for a tone by its degree over home, for rungs of a teacher's own that do not say. Tones of the home
 * chord take the strong beats and the ends of phrases; the others pass between them (common practice).
 */
import { toneStep, type Tone } from '../pitch.ts';
import type { PlaceCosts, ToneRule } from '../rung.ts';

/** What a repeated tone costs when a rung does not say. */
export const USUAL_REPEATS: PlaceCosts = { strong: 140, weak: 0, off: -80 };

/** `[strong, weak, off, start, open]` by degree over home, from home itself; null: never. */
const BY_DEGREE: readonly (readonly [number, number, number, number, number | null])[] = [
  [0, 20, 20, 20, 40],
  [60, 15, 5, 180, 90],
  [15, 5, 20, 60, 0],
  [90, 60, 20, 300, 240],
  [0, 50, 15, 0, 70],
  [150, 50, 35, 280, 300],
  [150, 90, 60, 320, null],
];

export function defaultRule(tone: Tone, home: Tone): ToneRule {
  const degree = (((toneStep(tone) - toneStep(home)) % 7) + 7) % 7;
  const [strong, weak, off, start, open] = BY_DEGREE[degree] ?? [0, 0, 0, 0, 0];
  return { tone, place: { strong, weak, off }, from: null, to: null, start, open };
}
