import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { barCosts, CHORD_COSTS, chordsByBar } from '../../src/parts/drone-chords.ts';
import { addDrone, DRONE_FORMS, droneClashes } from '../../src/parts/drone.ts';
import type { Song } from '../../src/song.ts';
import { FERRY, KETTLE, sketchSong } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { beats, endOf, faultsOf, keyOf, partAt, songAt } from './brute.ts';

const PENTATONIC = { metreName: '2/4', rung: 'do-pentatonic', tones: 'd r m s l' } as const;

/** What a part plays, as `onset: pitches`, rests left out. */
function played(song: Song, form: (typeof DRONE_FORMS)[number]): string[] {
  const [part] = addDrone(song, form).parts;
  return (part?.notes ?? [])
    .filter((note) => note.tones.length > 0)
    .map((note) => `${String(note.onset)}: ${note.pitches.join(' ')}`);
}

describe('a drone', () => {
  const song = sketchSong({ metreName: '2/4', tones: 'd m s' }, [
    { notes: 's480=One m480=two s480=three d480=four', closed: true },
  ]);

  test.each([
    ['chord', ['0: D4 A4', '960: D4 A4']],
    ['broken', ['0: D4', '480: A4', '960: D4', '1440: A4']],
    ['level', ['0: D4 A4', '480: D5 A5', '960: D4 A4', '1440: D5 A5']],
    ['crossover', ['0: D4', '480: A4', '960: D5', '1440: A4']],
  ] as const)('as %s sounds home and its fifth in that figure', (form, expected) => {
    expect(played(song, form)).toEqual(expected);
  });

  test('in three beats leans on the first', () => {
    const waltz = sketchSong({ metreName: '3/4', tones: 'd m s' }, [
      { notes: 's480=One m480=two d480=three' },
    ]);
    expect(played(waltz, 'broken')).toEqual(['0: D4', '480: A4', '960: A4']);
    expect(played(waltz, 'crossover')).toEqual(['0: D4', '480: A4', '960: D5']);
  });

  test('is based on la in minor: low la and mi', () => {
    // on F: low la is D4, mi is A4; the bars of 6/8 begin after the upbeat
    const [part] = addDrone(FERRY, 'chord').parts;
    const chords = new Set(part?.notes.filter((n) => n.tones.length > 0).map((n) => n.pitches.join(' ')));
    expect(chords).toEqual(new Set(['D4 A4']));
  });

  test('lies level with the lowest tone of the tune or below it', () => {
    const low = sketchSong({ ...PENTATONIC, tones: 's, l, d', do: 'F4' }, [
      { notes: 'd480=a s,480=b l,480=c d480=d' },
    ]);
    expect(played(low, 'chord')).toEqual(['0: F3 C4', '960: F3 C4']);
  });

  test('stands under a tune on so and mi, which does not sing home itself', () => {
    expect(addDrone(KETTLE, 'broken').problems).toEqual([]);
    expect(played(KETTLE, 'chord')[0]).toBe('0: D4 A4');
  });
});

describe('a tune that a drone does not suit', () => {
  // Education 3877 (university course sheet): not where re is on a strong beat, goes on over several beats, or ends a
  // phrase; re in passing between mi and do is safe. With fa and ti on beats two chords are wanted (common practice).
  test.each([
    ['re on a strong beat', 'm480=a d480=b r480=c d480=d', [{ bar: 2, why: 'strong-beat' }]],
    ['fa on a strong beat', 'm480=a d480=b f480=c d480=d', [{ bar: 2, why: 'strong-beat' }]],
    ['ti on a strong beat', 'm480=a d480=b t480=c d480=d', [{ bar: 2, why: 'strong-beat' }]],
    ['re at the end of a phrase', 'm480=a d480=b m480=c r480=d', [{ bar: 2, why: 'phrase-end' }]],
    [
      're over several beats',
      'm480=a r480=b r480=c d480=d',
      [
        { bar: 1, why: 'goes-on' },
        { bar: 2, why: 'strong-beat' },
      ],
    ],
  ])('has %s', (_, notes, expected) => {
    const song = sketchSong(PENTATONIC, [{ notes }]);
    expect(droneClashes(song)).toMatchObject(expected);
    const { parts, problems } = addDrone(song, 'chord');
    expect(problems.map((p) => [p.code, p.severity])).toEqual([['drone-changed', 'warning']]);
    expect(problems[0]?.message).toMatch(
      /A drone on do rubs against the tune: .* bar \d.* two chords, on do and on so/,
    );
    expect(parts[0]?.name).toBe('Two chords');
  });

  test.each([
    ['re in passing off the beat', 'm240=a r240=b d480=c s480=d d480=e'],
    ['re in passing on a weak beat', 'm480=a r480=b d480=c d480=d'],
    ['la on a weak beat', 's480=a l480=b s480=c d480=d'],
    ['la on a strong beat', 'l480=a s480=b s480=c d480=d'],
  ])('has not %s', (_, notes) => {
    expect(droneClashes(sketchSong(PENTATONIC, [{ notes }]))).toEqual([]);
  });

  test('gets the chord of the fifth where its tones are', () => {
    const song = sketchSong(PENTATONIC, [{ notes: 'm480=a d480=b r480=c r480=d m480=e d480=f' }]);
    expect(chordsByBar(song)).toEqual(['home', 'fifth', 'home']);
    expect(played(song, 'chord')).toEqual(['0: D4 A4', '960: A3 E4', '1920: D4 A4']);
  });

  test('in minor gets mi below la', () => {
    const song = sketchSong({ metreName: '2/4', home: 'l,', tones: 'l, t, d r m', do: 'F4' }, [
      { notes: 'm480=a d480=b t,480=c r480=d d480=e l,480=f', closed: true },
    ]);
    expect(addDrone(song, 'chord').problems[0]?.message).toContain('on la and on mi');
    expect(played(song, 'chord')).toEqual(['0: D4 A4', '960: A3 E4', '1920: D4 A4']);
  });
});

describe('for any song', () => {
  test('a drone fills the bars, stays on home and fifth, and is kept only where no strong beat rubs', () => {
    fc.assert(
      fc.property(randomSong, fc.constantFrom(...DRONE_FORMS), (song, form) => {
        const { parts, problems } = addDrone(song, form);
        const [part] = parts;
        if (part === undefined) throw new Error('no part');
        expect(faultsOf(song, part)).toEqual([]);
        if (problems.length > 0) return;
        const home = song.home.startsWith('l') ? 9 : 0;
        const doKey = keyOf(song.do);
        for (const { at, bar, strong } of beats(song, endOf(song))) {
          const heard = partAt(part, at).map(({ key }) => (((key - doKey - home) % 12) + 12) % 12);
          expect(heard.every((degree) => degree === 0 || degree === 7)).toBe(true);
          if (strong && bar >= 1) expect(heard).toContain(0);
          const tune = songAt(song, at);
          if (!strong || tune === null || heard.length === 0) continue;
          // the second, the fourth and the leading tone above home are what rubs
          const degree = (((tune.key - doKey - home) % 12) + 12) % 12;
          const unborne = home === 0 ? [2, 5, 11] : [2, 5, 8];
          expect(unborne).not.toContain(degree);
        }
      }),
      { numRuns: 150 },
    );
  });

  test('the chords by bar are the cheapest of all rows of chords', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const costs = barCosts(song);
        if (costs.length > 9) return;
        const cost = (row: readonly number[]): number =>
          row.reduce((sum, chord, i) => {
            const before = row[i - 1];
            const change =
              before === undefined
                ? chord === 0
                  ? 0
                  : CHORD_COSTS.start
                : before === chord
                  ? 0
                  : CHORD_COSTS.change;
            return sum + change + (costs[i]?.[chord as 0 | 1] ?? 0);
          }, 0);
        const rows = Array.from({ length: 2 ** costs.length }, (_, n) =>
          Array.from({ length: costs.length }, (_each, i) => (n >> i) & 1),
        );
        const chosen = chordsByBar(song).map((chord) => (chord === 'home' ? 0 : 1));
        expect(cost(chosen)).toBe(Math.min(...rows.map(cost)));
      }),
      { numRuns: 100 },
    );
  });
});
