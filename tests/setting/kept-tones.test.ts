import { describe, expect, test } from 'vitest';
import { toneSemitones, type Tone } from '../../src/pitch.ts';
import { seededRandom } from '../../src/random.ts';
import { rungAround } from '../../src/setting/kept-tones.ts';
import { setMelody } from '../../src/setting/melody.ts';
import { setOpenTones, type OpenNote, type OpenSong } from '../../src/setting/open-song.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import { someRhythm } from './some-rhythm.ts';

const options = { do: null, tempoBpm: null, seed: 3, take: 1, slur: false, voice: null, family: null };

/** A song on the rung in which two lines are any tones at all, save for leaps that nobody sings, and two are open. */
function odd(seed: number, rung: (typeof RUNGS)[number]): OpenSong {
  const made = setMelody(someRhythm(seed), { ...options, rung });
  if (!made.ok) throw new Error('no song');
  const random = seededRandom(seed);
  const pool: readonly Tone[] = [...rung.tones, 'd', 'm', 's'];
  const phrases = made.value.phrases.map((phrase, i) => {
    let before: Tone | null = null;
    const notes = phrase.notes.map((note): OpenNote => {
      if (note.tone === null) return note;
      if (i % 2 === 1) return { ...note, tone: '?' };
      const tied = note.tie === 'stop' || note.tie === 'both';
      const from = before;
      const reach = pool.filter((tone) => {
        const size = from === null ? 0 : Math.abs(toneSemitones(tone) - toneSemitones(from));
        return size <= 12 && ![6, 10, 11].includes(size);
      });
      const tone: Tone = tied && from !== null ? from : (reach[random() % reach.length] ?? 's');
      before = tone;
      return { ...note, tone };
    });
    return { ...phrase, notes };
  });
  return { ...made.value, phrases };
}

describe('tones that stand', () => {
  test.each(RUNGS.map((rung) => [rung.name, rung] as const))(
    'stand on %s, whatever rule they break, and the rest finds its way',
    (_, rung) => {
      for (let seed = 1; seed <= 15; seed += 1) {
        const open = odd(seed, rung);
        const outcome = setOpenTones(open, { ...options, rung: rungAround(rung, open) });
        if (!outcome.ok) throw new Error(outcome.problems.map((problem) => problem.message).join('\n'));
        outcome.value.phrases.forEach((phrase, i) => {
          const asked = open.phrases[i]?.notes ?? [];
          phrase.notes.forEach((note, k) => {
            if (asked[k]?.tone === '?') expect(note.tone).not.toBeNull();
            else expect(note.tone).toBe(asked[k]?.tone);
          });
        });
      }
    },
  );

  test('that keep the rules leave the rung as it is', () => {
    for (const rung of RUNGS) {
      const made = setMelody(someRhythm(2), { ...options, rung });
      if (!made.ok) throw new Error('no song');
      expect(rungAround(rung, made.value)).toEqual(rung);
    }
  });
});
