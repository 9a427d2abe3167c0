import { expect, test } from 'vitest';
import { alterations } from '../../src/setting/family.ts';
import { setMelody, type MelodyOptions } from '../../src/setting/melody.ts';
import { findRung } from '../../src/setting/rungs.ts';
import type { Song } from '../../src/song.ts';
import { someRhythm } from './some-rhythm.ts';

function sung(seed: number, name: string, more: Partial<MelodyOptions> = {}): Song {
  const rung = findRung(name);
  if (rung === null) throw new Error(name);
  const wish = {
    rung,
    do: null,
    tempoBpm: null,
    seed,
    take: 1,
    slur: true,
    voice: null,
    family: null,
    ...more,
  };
  const outcome = setMelody(someRhythm(seed), wish);
  if (!outcome.ok) throw new Error('no song');
  return outcome.value;
}

test('what a family alters is told by line and syllable, and is all that differs', () => {
  for (let seed = 1; seed <= 20; seed += 1) {
    const before = sung(seed, 'so-mi-la');
    const after = sung(seed, 'so-mi-la-do', { family: before });
    const told = alterations(before, after);
    const tones = (song: Song): (string | null)[] =>
      song.phrases.flatMap((p) =>
        p.notes.filter((n) => n.tie !== 'stop' && n.tie !== 'both').map((n) => n.tone),
      );
    const differing = tones(after).filter((tone, i) => tone !== tones(before)[i]);
    expect(told.map((a) => a.to)).toEqual(differing);
    // Do is the new tone, and it comes once in each strophe: nothing else need change.
    expect(new Set(differing)).toEqual(new Set(['d']));
  }
});

test('without a family more of the song differs', () => {
  let [kept, free] = [0, 0];
  for (let seed = 1; seed <= 20; seed += 1) {
    const before = sung(seed, 'so-mi-re-do');
    kept += alterations(before, sung(seed, 'do-pentatonic', { family: before })).length;
    free += alterations(before, sung(seed, 'do-pentatonic', { take: 2 })).length;
  }
  expect(kept).toBeLessThan(free / 4);
});

test('the slur of the easier song stays in its place', () => {
  for (let seed = 1; seed <= 20; seed += 1) {
    const before = sung(seed, 'so-mi-la');
    const after = sung(seed, 'so-mi-la-do', { family: before });
    const slurs = (song: Song): number[] =>
      song.phrases.flatMap((p) => p.notes.filter((n) => n.slur === 'start').map((n) => n.onset));
    expect(slurs(after)).toEqual(slurs(before));
  }
});
