/**
 * One turn of a sung vowel as a table: overtones of a soft voice, shaped by the resonances of the mouth.
 */
import type { Vowel } from '../lesson.ts';
import { TABLE_SIZE } from './sine.ts';

/**
 * The first three formants in hertz, averages of women's voices: Peterson and Barney, "Control methods used in a study
 * of the vowels", Journal of the Acoustical Society of America 24 (1952); values from memory.
 */
const FORMANTS: Readonly<Record<Vowel, readonly [number, number, number]>> = {
  i: [310, 2790, 3310],
  e: [610, 2330, 2990],
  a: [850, 1220, 2810],
  o: [590, 920, 2710],
  u: [370, 950, 2670],
};

/** How loud each formant is beside the first, and how wide each is, in hertz to half of its height. */
const FORMANT_LEVELS = [1, 0.5, 0.16];
const FORMANT_WIDTHS_HZ = [130, 160, 240];
/** What is left between the formants. */
const FLOOR = 0.12;
/** No overtones above: they would be shrill on small loudspeakers. */
const HIGHEST_HZ = 5000;
const MOST_OVERTONES = 24;

/** Mean level of every table, so that all vowels are equally loud; the peaks then stay below 1 (a test says so). */
const LEVEL = 0.33;

/**
 * A turn of the vowel on a tone of so many hertz: TABLE_SIZE samples, mean level (root of mean square) 0.33, every
 * sample between -1 and 1.
 *
 * `dark` is the same mouth half closed, the tone as it begins.
 */
export function vowelTable(sine: Float64Array, vowel: Vowel, hertz: number, dark: boolean): Float64Array {
  const count = Math.max(1, Math.min(MOST_OVERTONES, Math.floor(HIGHEST_HZ / hertz)));
  const levels = Array.from({ length: count }, (_, i) => overtone(vowel, hertz, i + 1, dark));
  const table = new Float64Array(TABLE_SIZE);
  levels.forEach((level, i) => {
    const k = i + 1;
    // phases that rise with the square of the number keep the peaks low (Schroeder 1970)
    const phase = Math.floor((TABLE_SIZE * k * k) / (2 * count));
    for (let n = 0; n < TABLE_SIZE; n++) {
      table[n] = (table[n] ?? 0) + level * (sine[(k * n + phase) & (TABLE_SIZE - 1)] ?? 0);
    }
  });
  // the mean square of a sum of whole overtones is half the sum of squares
  const meanSquare = levels.reduce((sum, level) => sum + level * level, 0) / 2;
  const factor = LEVEL / squareRoot(meanSquare);
  for (let n = 0; n < TABLE_SIZE; n++) table[n] = (table[n] ?? 0) * factor;
  return table;
}

/** Level of overtone `k`, the fundamental being 1: a voice that falls with the square, and the mouth's resonance. */
function overtone(vowel: Vowel, hertz: number, k: number, dark: boolean): number {
  const source = 2 / (k * (k + 1)) / (dark ? k : 1);
  const resonance = FORMANTS[vowel].reduce((sum, formant, i) => {
    const away = (k * hertz - formant) / (FORMANT_WIDTHS_HZ[i] ?? 1);
    return sum + (FORMANT_LEVELS[i] ?? 0) / (1 + away * away);
  }, FLOOR);
  return source * resonance;
}

/** Newton's rule for a positive number; only + and /, so the same bits everywhere. */
function squareRoot(x: number): number {
  let root = x > 1 ? x : 1;
  for (let i = 0; i < 40; i++) root = (root + x / root) / 2;
  return root;
}
