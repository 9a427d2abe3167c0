import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  addOstinato,
  bestOstinato,
  figuresOf,
  moveCost,
  OSTINATO_COSTS,
  rhythmCost,
  toneCost,
} from '../../src/parts/ostinato.ts';
import { soundsOf } from '../../src/parts/sounds.ts';
import type { Tone } from '../../src/pitch.ts';
import type { Song } from '../../src/song.ts';
import { FERRY, KETTLE, sketchSong } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { beats, endOf, faultsOf, partAt, songAt } from './brute.ts';

/** A tune with a beat of rest at the end of every line. */
const RESTS = sketchSong({ metreName: '2/4', rung: 'so-mi-la-do', tones: 'd m s l', newTone: 'd' }, [
  { notes: 's240=Tap- s240=ping m480=at s480=dawn z480' },
  { notes: 's240=tap- s240=ping m480=at d480=dusk z480', closed: true },
]);

/** Every figure on every row of tones. */
function bruteCost(song: Song): number | null {
  const sounds = soundsOf(song);
  const tones = [...new Set(sounds.map((sound) => sound.tone))];
  const home = song.home.startsWith('l') ? ['l', 'd', 'm'] : ['d', 'm', 's'];
  let best: number | null = null;
  for (const figure of figuresOf(song)) {
    const starts: number[] = [];
    const last = figure.notes.at(-1);
    for (let at = song.upbeatTicks; at + (last?.end ?? 0) <= endOf(song); at += figure.period)
      starts.push(at);
    let rows: { row: Tone[]; cost: number }[] = [{ row: [], cost: rhythmCost(song, sounds, figure, starts) }];
    figure.notes.forEach((note, i) => {
      rows = rows.flatMap(({ row, cost }) =>
        tones.map((tone) => {
          const before = row.at(-1);
          const away =
            i === figure.notes.length - 1 && !home.includes(tone.charAt(0)) ? OSTINATO_COSTS.endsAway : 0;
          const move = before === undefined ? 0 : moveCost(before, tone);
          return {
            row: [...row, tone],
            cost: cost + toneCost(song, sounds, tone, starts, note.onset) + move + away,
          };
        }),
      );
    });
    const least = Math.min(...rows.map((each) => each.cost));
    if (best === null || least < best) best = least;
  }
  return best;
}

describe('an ostinato', () => {
  test('is the cheapest of all figures on all rows of tones', () => {
    for (const song of [RESTS, FERRY]) expect(bestOstinato(song)?.cost).toBe(bruteCost(song));
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('s480=x', 'm480=y', 'z480', 'l240=a s240=b', 'd480=c'), {
          minLength: 4,
          maxLength: 8,
        }),
        (beatsOfSong) => {
          const even = beatsOfSong.slice(0, beatsOfSong.length - (beatsOfSong.length % 2));
          if (even.every((beat) => beat === 'z480')) return;
          const song = sketchSong({ metreName: '2/4', tones: 'd m s l' }, [{ notes: even.join(' ') }]);
          expect(bestOstinato(song)?.cost ?? null).toBe(bruteCost(song));
        },
      ),
      { numRuns: 40 },
    );
  });

  test('is made of the song’s own words and rhythm', () => {
    const figure = bestOstinato(KETTLE)?.figure;
    const own = KETTLE.phrases.flatMap((phrase) => phrase.notes.map((note) => note.syllable?.text ?? ''));
    const words = figure?.notes.map((note) => note.syllable?.text ?? '') ?? [];
    expect(own.join(' ')).toContain(words.join(' '));
  });

  test('sounds where the tune rests', () => {
    const made = addOstinato(RESTS);
    const part = made.ok ? made.value.parts[0] : undefined;
    if (part === undefined) throw new Error('no part');
    const rests = beats(RESTS, endOf(RESTS)).filter(({ at }) => songAt(RESTS, at) === null);
    expect(rests.length).toBe(2);
    // a word of the song never falls on its rests, so the figure reaches into them only where the song allows it
    const best = bestOstinato(RESTS);
    const all = figuresOf(RESTS);
    const fills = (figure: (typeof all)[number]): boolean =>
      figure.notes.some((note) => note.onset >= 3 * 480);
    expect(best !== null && (fills(best.figure) || !all.some(fills))).toBe(true);
  });

  test('for any song fills the bars, stays on the song’s tones, and comes round with its words', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const made = addOstinato(song);
        if (!made.ok) {
          expect(made.problems[0]).toMatchObject({ code: 'no-part', severity: 'error' });
          return;
        }
        const [part] = made.value.parts;
        if (part === undefined) throw new Error('no part');
        expect(faultsOf(song, part)).toEqual([]);
        const own = new Set(song.phrases.flatMap((p) => p.notes.flatMap((n) => n.tone ?? [])));
        expect(part.notes.flatMap((note) => note.tones).every((tone) => own.has(tone))).toBe(true);
        const period = bestOstinato(song)?.figure.period ?? 0;
        const first = song.upbeatTicks;
        for (const { at } of beats(song, endOf(song) - 2 * period)) {
          if (at < first) expect(partAt(part, at)).toEqual([]);
          else expect(partAt(part, at + period)).toEqual(partAt(part, at));
        }
      }),
      { numRuns: 60 },
    );
  });

  test('of a song of one word is refused', () => {
    const song = sketchSong({ metreName: '2/4' }, [{ notes: 's480=Hush z480' }]);
    expect(addOstinato(song).problems[0]?.code).toBe('no-part');
  });
});
