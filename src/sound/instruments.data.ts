/**
 * What is struck, and how loud each track is. Partials of a tuned bar: 1 and 4, then near 10 (Fletcher and Rossing,
 * The Physics of Musical Instruments, from memory); of a round skin: 1, 1.594, 2.136 (Rayleigh, The Theory of Sound,
 * from memory). Levels and times are our own, by ear and meter.
 */
import type { TrackRole } from '../lesson.ts';
import type { Struck } from './voices.ts';

/** A wooden bar with a soft beater. */
export const BAR: Struck = {
  partials: [
    { ratio: 1, level: 0.8, decaySeconds: 0.9 },
    { ratio: 4, level: 0.15, decaySeconds: 0.16 },
    { ratio: 9.8, level: 0.05, decaySeconds: 0.05 },
  ],
  attackSeconds: 0.005,
  longestSeconds: 6,
};

/** A small hand drum, for the rhythm of the words. */
export const DRUM: Struck = {
  partials: [
    { ratio: 1, level: 0.5, decaySeconds: 0.09 },
    { ratio: 1.594, level: 0.3, decaySeconds: 0.06 },
    { ratio: 2.136, level: 0.2, decaySeconds: 0.04 },
  ],
  attackSeconds: 0.006,
  longestSeconds: 0.3,
};
export const DRUM_HZ = 170;

/** Two pieces of wood, for the beat: no tone that could be taken for one of the tune. */
export const CLICK: Struck = {
  partials: [
    { ratio: 1, level: 0.5, decaySeconds: 0.02 },
    { ratio: 1.47, level: 0.3, decaySeconds: 0.01 },
    { ratio: 2.09, level: 0.2, decaySeconds: 0.007 },
  ],
  attackSeconds: 0.004,
  longestSeconds: 0.08,
};
export const CLICK_HZ = { strong: 1320, other: 1050 };

/** Highest sample of one tone of each track, full scale being 1. */
export const LEVELS: Readonly<Record<TrackRole, number>> = {
  leader: 0.6,
  chant: 0.45,
  tuning: 0.4,
  beat: 0.24,
  part: 0.25,
};
/** What is not strong is this much softer. */
export const LIGHTER = 0.86;

/** No sample goes above this, 1.4 dB below full scale: a mix that could is made softer as a whole. */
export const CEILING = 0.85;
