import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addPartner, judgePartner } from '../../src/parts/partner.ts';
import { FERRY, KETTLE, sketchSong } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { beats, clash, endOf, faultsOf, partAt, songAt } from './brute.ts';

const FIRST = sketchSong({ metreName: '2/4', tones: 'd m s', title: 'Bells' }, [
  { notes: 'd480=One m480=two s480=three m480=four' },
]);
const THIRDS = sketchSong({ metreName: '2/4', tones: 'd m s', title: 'Boats', do: 'F4' }, [
  { notes: 'm480=Row s480=your m480=own d480=boat' },
]);
const SECONDS = sketchSong({ metreName: '2/4', tones: 'd r m', title: 'Bees' }, [
  { notes: 'r480=Bees m480=are r480=in d480=here' },
]);

describe('partner songs', () => {
  test('that fit are sung on one do', () => {
    expect(judgePartner(FIRST, THIRDS)).toMatchObject({ hindrance: null, clashes: [] });
    const made = addPartner(FIRST, THIRDS);
    expect(made.problems).toEqual([]);
    // the partner was in F; do is now D
    expect(made.ok && made.value.parts[0]?.notes.map((note) => note.pitches[0])).toEqual([
      'F#4',
      'A4',
      'F#4',
      'D4',
    ]);
    expect(made.ok && made.value.parts[0]?.name).toBe('Boats');
  });

  test('that rub are named by bar and interval', () => {
    const made = addPartner(FIRST, SECONDS);
    expect(made.ok && made.value.problems[0]).toMatchObject({ code: 'parts-clash', severity: 'warning' });
    expect(made.ok && made.value.problems[0]?.message).toBe(
      '"Bees" rubs on strong beats: bar 1: d against r, a second.',
    );
  });

  test.each([
    ['metre', FERRY, 'it is in 6/8, not in 2/4'],
    ['home', { ...THIRDS, home: 'l,' as const }, 'its home is la, not do'],
    ['length', KETTLE, 'it has 8 bars, not 2'],
  ])('of another %s do not go together', (_, other, hindrance) => {
    expect(judgePartner(FIRST, other).hindrance).toBe(hindrance);
    const made = addPartner(FIRST, other);
    expect(made.problems[0]).toMatchObject({ code: 'no-part', severity: 'error' });
    expect(made.problems[0]?.message).toContain(hindrance);
  });

  test('of which one has an upbeat begin their bars together', () => {
    const upbeat = sketchSong({ metreName: '2/4', tones: 'd m s', upbeatTicks: 480, title: 'Up' }, [
      { notes: 's480=The m480=first s480=is d480=here z480 m480=now z480' },
    ]);
    const plain = sketchSong({ metreName: '2/4', tones: 'd m s', title: 'Flat' }, [
      { notes: 'd480=One m480=two s480=three m480=four d480=five d480=six' },
    ]);
    for (const [a, b] of [
      [upbeat, plain],
      [plain, upbeat],
    ] as const) {
      const made = addPartner(a, b);
      if (!made.ok) throw new Error(made.problems[0]?.message);
      const { song, parts } = made.value;
      expect(song.upbeatTicks).toBe(480);
      expect(endOf(song) % 960).toBe(0);
      expect(parts.flatMap((part) => faultsOf(song, part))).toEqual([]);
      const sung = [songAt(song, 480)?.tone, partAt(parts[0] ?? fail(), 480)[0]?.tone];
      expect(sung.sort()).toEqual(['d', 'm']);
    }
  });

  test('any two that go together are judged as by brute force', () => {
    let judged = 0;
    fc.assert(
      fc.property(randomSong, randomSong, (song, drawn) => {
        // the same bars with other tones: always a candidate
        const other = { ...drawn, ...song, do: drawn.do, title: drawn.title };
        const verdict = judgePartner(song, other);
        expect(verdict.hindrance).toBe(null);
        expect(verdict.clashes).toEqual([]);
        const shifted = {
          ...other,
          phrases: other.phrases.map((phrase, i) => {
            const from = drawn.phrases[i % drawn.phrases.length]?.notes.flatMap((n) => n.tone ?? []) ?? [];
            const notes = phrase.notes.map((note, k) => {
              const tone = from[k % Math.max(1, from.length)];
              if (note.tone === null || tone === undefined || note.tie !== null) return note;
              const twin = drawn.phrases.flatMap((p) => p.notes).find((n) => n.tone === tone);
              return { ...note, tone, pitch: twin?.pitch ?? note.pitch };
            });
            return { ...phrase, notes };
          }),
        };
        const made = addPartner(song, shifted);
        if (!made.ok) throw new Error(made.problems[0]?.message);
        const [part] = made.value.parts;
        if (part === undefined) throw new Error('no part');
        expect(faultsOf(made.value.song, part)).toEqual([]);
        const found = beats(song, endOf(song)).filter(({ at }) => {
          const tune = songAt(song, at);
          const [beside] = partAt(part, at);
          return tune !== null && beside !== undefined && clash(tune.key, beside.key);
        });
        expect(judgePartner(song, shifted).clashes.map((c) => [c.bar, c.beat])).toEqual(
          found.map((c) => [c.bar, c.beat]),
        );
        judged += found.length;
      }),
      { numRuns: 60 },
    );
    expect(judged).toBeGreaterThan(0);
  });
});

function fail(): never {
  throw new Error('no part');
}
