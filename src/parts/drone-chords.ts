/**
 * Which of two chords each bar takes, home or its fifth: an exact search over all choices.
 */
import type { SolfaLetter } from '../pitch.ts';
import { bestPath, weave } from '../lattice.ts';
import type { Song } from '../song.ts';
import { ticksPerBar } from '../time.ts';
import { beatsOf, soundAt, soundsOf } from './sounds.ts';

export type Chord = 'home' | 'fifth';
const CHORDS: readonly Chord[] = ['home', 'fifth'];

/** Letters of each chord; the chord of the fifth with its seventh (common practice). */
const LETTERS: Readonly<Record<'d' | 'l', Readonly<Record<Chord, readonly SolfaLetter[]>>>> = {
  d: { home: ['d', 'm', 's'], fifth: ['s', 't', 'r', 'f'] },
  l: { home: ['l', 'd', 'm'], fifth: ['m', 's', 't', 'r'] },
};

/** What each rule charges. */
export const CHORD_COSTS = {
  /** A tone on a strong beat that is not of the chord. */
  strongTone: 10,
  /** A tone on another beat that is not of the chord. */
  weakTone: 3,
  /** A change from the bar before. */
  change: 2,
  /** The song begins elsewhere than at home. */
  start: 6,
  /** The last bar with a tone is not home: never. */
  end: 1_000_000,
};

/** The cheapest chord for each bar from bar 1 on. Exact; of equals, home earlier. */
export function chordsByBar(song: Song): readonly Chord[] {
  const costs = barCosts(song);
  const lattice = {
    layers: costs.length,
    states: 3,
    choices: 2,
    start: 2,
    edges: (layer: number, state: number, to: Int32Array, next: Int32Array): void => {
      CHORDS.forEach((_, choice) => {
        const change =
          state === 2 ? (choice === 0 ? 0 : CHORD_COSTS.start) : state === choice ? 0 : CHORD_COSTS.change;
        to[choice] = (costs[layer]?.[choice] ?? 0) + change;
        next[choice] = choice;
      });
    },
  };
  const path = bestPath(weave(lattice));
  return (path?.choices ?? []).map((choice) => CHORDS[choice] ?? 'home');
}

/** For each bar, what home and what the fifth cost by the tones on its beats. */
export function barCosts(song: Song): readonly (readonly [number, number])[] {
  const home = song.home.startsWith('l') ? 'l' : 'd';
  const sounds = soundsOf(song);
  const beats = beatsOf(song).filter((beat) => beat.bar >= 1);
  const lastTone = sounds.at(-1)?.onset ?? 0;
  const lastBar = Math.floor((lastTone - song.upbeatTicks) / ticksPerBar(song.metre)) + 1;
  const count = beats.at(-1)?.bar ?? 0;
  return Array.from({ length: count }, (_, i) => {
    const cost = (chord: Chord): number =>
      beats
        .filter((beat) => beat.bar === i + 1)
        .reduce((sum, beat) => {
          const letter = soundAt(sounds, beat.at)?.tone[0] as SolfaLetter | undefined;
          if (letter === undefined || LETTERS[home][chord].includes(letter)) return sum;
          return sum + (beat.strength >= 2 ? CHORD_COSTS.strongTone : CHORD_COSTS.weakTone);
        }, 0);
    return [cost('home'), cost('fifth') + (i + 1 >= lastBar ? CHORD_COSTS.end : 0)];
  });
}
