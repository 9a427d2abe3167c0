import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addCanon, bestEntry, CANON_COSTS, canonEntries, type CanonEntry } from '../../src/parts/canon.ts';
import { intervalName, rubs } from '../../src/parts/intervals.ts';
import type { Song } from '../../src/song.ts';
import { sketchSong } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { beats, clash, endOf, faultsOf, partAt, songAt } from './brute.ts';

/** Four bars of 2/4 that fit themselves two bars later: made for this test. */
const ROUND = sketchSong({ metreName: '2/4', rung: 'do-pentatonic', tones: 'd r m s l' }, [
  { notes: 'd480=Ring m480=the s480=bell m480=now' },
  { notes: 'm480=hear d480=it m480=all d480=day', closed: true },
]);

/** Every entry judged by brute force: each beat, each pair of voices, by semitones; the costs by hand. */
function bruteEntry(
  song: Song,
  distance: number,
  voices: number,
): Pick<CanonEntry, 'cost'> & { clashes: string[] } {
  const beat = song.metre.beatType === 8 ? 720 : 480;
  const bar = (song.metre.beats * 1920) / song.metre.beatType;
  const clashes: string[] = [];
  let sum = 0;
  let together = 0;
  let unisons = 0;
  for (const { at, bar: number, beat: place, strong } of beats(
    song,
    endOf(song) + distance * beat * (voices - 1),
  )) {
    const singing = Array.from({ length: voices }, (_, v) => songAt(song, at - v * distance * beat));
    if (singing.filter((each) => each !== null).length < 2) continue;
    together += 1;
    let same = false;
    for (let i = 0; i < voices; i++) {
      for (let j = i + 1; j < voices; j++) {
        const [a, b] = [singing[i] ?? null, singing[j] ?? null];
        if (a === null || b === null) continue;
        if (a.key === b.key) same = true;
        if (!clash(a.key, b.key)) continue;
        clashes.push(
          `${String(number)}:${String(place)} ${a.tone}/${b.tone} ${String(i + 1)}${String(j + 1)}`,
        );
        sum += strong ? 20 : 4;
      }
    }
    if (same) unisons += 1;
  }
  const ends = song.phrases.map((phrase) => {
    const last = phrase.notes.findLast((n) => n.tone !== null && n.tie !== 'stop' && n.tie !== 'both');
    return last?.onset ?? -1;
  });
  for (let v = 1; v < voices; v++) {
    for (const end of ends) if (ends.includes(end + v * distance * beat)) sum += 3;
  }
  const perBar = bar / beat;
  const off = distance % (perBar === 4 ? 2 : perBar) === 0 ? 0 : 120;
  const hollow = unisons * 2 > together ? 200 : 0;
  const cost =
    Math.floor((100 * (sum + unisons)) / Math.max(1, together)) + off + (distance <= 2 ? 40 : 0) + hollow;
  return { cost, clashes };
}

describe('intervals', () => {
  test.each([
    ['d', 'd', 'unison', false],
    ['r', 'd', 'second', true],
    ['m', 'd', 'third', false],
    ['f', 'd', 'fourth', false],
    ['s', 'd', 'fifth', false],
    ['l', 'd', 'sixth', false],
    ['t', 'd', 'seventh', true],
    ["d'", 'd', 'octave', false],
    ["r'", 'd', 'second', true],
    ['l', 's', 'second', true],
    ['t', 'f', 'tritone', true],
    ['f', 't,', 'tritone', true],
    ['d', 's,', 'fourth', false],
  ] as const)('%s over %s is a %s, and rubs: %s', (a, b, name, rubbing) => {
    expect(intervalName(a, b)).toBe(name);
    expect(intervalName(b, a)).toBe(name);
    expect(rubs(a, b)).toBe(rubbing);
  });
});

describe('a canon', () => {
  test('is judged at every distance as by brute force', () => {
    fc.assert(
      fc.property(randomSong, fc.integer({ min: 2, max: 4 }), (song, voices) => {
        for (const entry of canonEntries(song, voices).slice(0, 12)) {
          const brute = bruteEntry(song, entry.beats, voices);
          expect(
            entry.clashes.map(
              (c) =>
                `${String(c.bar)}:${String(c.beat)} ${c.tones.join('/')} ${c.voices.map(String).join('')}`,
            ),
          ).toEqual(brute.clashes);
          expect(entry.cost).toBe(brute.cost);
        }
      }),
      { numRuns: 60 },
    );
  });

  test('tries every distance from one beat to half the song', () => {
    expect(canonEntries(ROUND, 2).map((entry) => entry.beats)).toEqual([1, 2, 3, 4]);
  });

  test('offers the entry that costs least, of equals the later one', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const entries = canonEntries(song, 2);
        const best = bestEntry(entries);
        if (best === null) return;
        expect(best.cost).toBe(Math.min(...entries.map((entry) => entry.cost)));
        expect(entries.filter((entry) => entry.cost === best.cost && entry.beats > best.beats)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  test('that fits is offered without a word of warning, its follower two bars later', () => {
    const best = bestEntry(canonEntries(ROUND, 2));
    expect(best).toMatchObject({ beats: 4, clashes: [] });
    const canon = addCanon(ROUND, 2);
    if (!canon.ok) throw new Error('no canon');
    expect(canon.value.problems).toEqual([]);
    // two bars of rest first, then the tune; the song waits two bars at its end
    expect(canon.value.parts[0]?.notes.map((note) => note.tones.join() || '-')).toEqual([
      ...['-', '-', '-', '-'],
      ...['d', 'm', 's', 'm', 'm', 'd', 'm', 'd'],
    ]);
    expect(endOf(canon.value.song)).toBe(endOf(ROUND) + 4 * 480);
  });

  test('that rubs is named by bar and interval', () => {
    // re against do on the first beat of bar 3, the follower two bars behind
    const song = sketchSong({ metreName: '2/4', tones: 'd r m s' }, [
      { notes: 'd480=One m480=two s480=three m480=four r480=five m480=six s480=sev- m480=en' },
    ]);
    const canon = addCanon(song, 2, 4);
    expect(canon.ok && canon.value.problems[0]).toMatchObject({ code: 'parts-clash', severity: 'warning' });
    expect(canon.ok && canon.value.problems[0]?.message).toBe(
      'With voices 4 beats apart, these rub on strong beats: bar 3: r against d, a second (voices 1 and 2).',
    );
  });

  test('for any song gives parts that fill the bars and sing the tune later', () => {
    fc.assert(
      fc.property(randomSong, fc.integer({ min: 2, max: 4 }), (song, voices) => {
        const canon = addCanon(song, voices);
        if (!canon.ok) {
          expect(canon.problems[0]?.code).toBe('no-part');
          return;
        }
        const { parts, song: longer } = canon.value;
        expect(parts).toHaveLength(voices - 1);
        const entry = bestEntry(canonEntries(song, voices));
        const beat = song.metre.ticksPerBeat;
        parts.forEach((part, v) => {
          expect(faultsOf(longer, part)).toEqual([]);
          for (const { at } of beats(longer, endOf(longer))) {
            const tune = songAt(song, at - (v + 1) * (entry?.beats ?? 0) * beat);
            expect(partAt(part, at)[0]?.key ?? null).toBe(tune?.key ?? null);
          }
        });
      }),
      { numRuns: 60 },
    );
  });

  test.each([
    [
      'of a song of one beat',
      sketchSong({ metreName: '2/4' }, [{ notes: 's480=Hush z480' }]),
      null,
      /too short/,
    ],
    ['at a distance beyond the song', ROUND, 9, /1 to 4 beats apart; this is 9/],
  ])('%s is refused', (_, song, distance, message) => {
    const canon = addCanon(song, 2, distance);
    expect(canon.ok).toBe(false);
    expect(canon.problems[0]).toMatchObject({ code: 'no-part', severity: 'error' });
    expect(canon.problems[0]?.message).toMatch(message);
  });

  test('charges an off-bar entry and a close one', () => {
    const [one, two, three, four] = canonEntries(ROUND, 2);
    const base = (entry: CanonEntry | undefined): number => bruteEntry(ROUND, entry?.beats ?? 0, 2).cost;
    for (const entry of [one, two, three, four]) expect(entry?.cost).toBe(base(entry));
    expect(one?.cost).toBeGreaterThanOrEqual(CANON_COSTS.offBar + CANON_COSTS.close);
  });
});
