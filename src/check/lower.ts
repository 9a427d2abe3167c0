/**
 * The smallest change that brings a song onto a rung: as few sounds as possible get another tone, each as near as
 * possible. Exact, phrase by phrase: no rule of a rung reaches over the end of a phrase.
 */
import { bestPath, FORBIDDEN, weave } from '../lattice.ts';
import { toneSemitones, type Tone } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import type { Song } from '../song.ts';
import { standingFault, stepFault } from './hard-rules.ts';
import { soundsOf, type CheckedSound } from './sounds.ts';

export interface ToneChange {
  /** Number of the line, from 1. */
  readonly line: number;
  readonly word: string | null;
  /** Index of the sound in its line, from 0. */
  readonly sound: number;
  readonly from: Tone;
  readonly to: Tone;
}

/** The changes that fit the song to the rung, none when it fits; null when its rhythm cannot be fitted. */
export function changesTo(song: Song, rung: Rung): readonly ToneChange[] | null {
  const changes: ToneChange[] = [];
  for (const [i, sounds] of soundsOf(song).entries()) {
    const fitted = fitPhrase(sounds, rung);
    if (fitted === null) return null;
    sounds.forEach(({ tone, wordText }, sound) => {
      const to = fitted[sound] ?? tone;
      const line = song.phrases[i]?.line ?? i + 1;
      if (to !== tone) changes.push({ line, word: wordText, sound, from: tone, to });
    });
  }
  return changes;
}

function fitPhrase(sounds: readonly CheckedSound[], rung: Rung): readonly Tone[] | null {
  const { tones } = rung;
  const path = bestPath(
    weave({
      layers: sounds.length,
      states: tones.length + 1,
      choices: tones.length,
      start: tones.length,
      edges(layer, state, costs, nexts) {
        const sound = sounds[layer];
        const from = tones[state];
        tones.forEach((tone, i) => {
          nexts[i] = i;
          costs[i] = FORBIDDEN;
          if (sound === undefined || standingFault(rung, tone, sound) !== null) return;
          if (from !== undefined && stepFault(rung, from, tone, sound) !== null) return;
          // Fewest changes first, then the nearest tones.
          const apart = Math.abs(toneSemitones(tone) - toneSemitones(sound.tone));
          costs[i] = apart === 0 ? 0 : 100_000 + apart;
        });
      },
    }),
  );
  return path === null ? null : path.choices.flatMap((choice) => tones[choice] ?? []);
}
