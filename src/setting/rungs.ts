/**
 * The tone ladder: finding a rung, and the lowest rung that holds a set of tones. The rungs are data.
 */
import type { Tone } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import { RUNGS } from './rungs.data.ts';

export { RUNGS };

/** The rung of that name on the given ladder, or null. */
export function findRung(name: string, ladder: readonly Rung[] = RUNGS): Rung | null {
  return ladder.find((rung) => rung.name === name) ?? null;
}

/** The first rung in teaching order whose tones include all of these, or null. */
export function lowestRungFor(tones: readonly Tone[], ladder: readonly Rung[] = RUNGS): Rung | null {
  return ladder.find((rung) => tones.every((tone) => rung.tones.includes(tone))) ?? null;
}
