import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  movingRules,
  SECOND_RULES,
  standingRules,
  sumOf,
  type SecondRule,
} from '../../src/parts/second-costs.ts';
import {
  addSecond,
  bestOn,
  bestSecond,
  rulesBroken,
  tonesBeside,
  tuneTones,
  type Side,
} from '../../src/parts/second.ts';
import { isTone, type Tone } from '../../src/pitch.ts';
import type { Song } from '../../src/song.ts';
import { KETTLE, sketchSong } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { beats, clash, endOf, faultsOf, keyOf, partAt, songAt } from './brute.ts';

const PLACE = { strength: 3, last: false, closed: false, home: 'd' } as const;
const CLOSE = { ...PLACE, last: true, closed: true };

describe('the rules of a second voice', () => {
  test.each([
    ['m', 'd', PLACE, []],
    ['l', 'd', PLACE, []],
    ['r', 'd', PLACE, ['rub-strong']],
    ['r', 'd', { ...PLACE, strength: 1 }, ['rub-weak']],
    ['r', 'd', { ...PLACE, strength: 0 }, ['rub-off']],
    ['t', 'f', PLACE, ['rub-strong']],
    ['d', 's,', PLACE, ['fourth-on-beat']],
    ['d', 's,', { ...PLACE, strength: 0 }, ['fourth-off-beat']],
    ['s', 'd', PLACE, ['open-fifth']],
    ["d'", 'd', PLACE, ['octave']],
    ['d', 'd', PLACE, ['unison']],
    ["m'", 'd', PLACE, ['wider-than-an-octave']],
    ['l', 'f', CLOSE, ['close-off-home']],
    ['m', 'd', CLOSE, []],
  ] as const)('for %s over %s where it stands', (upper, lower, place, expected) => {
    expect(standingRules({ tune: upper, second: lower }, place)).toEqual(expected);
  });

  test.each([
    // [from upper/lower] -> [to upper/lower]
    ['contrary motion', 'm', 'd', 's', 't,', PLACE, []],
    ['parallel thirds', 'm', 'd', 'f', 'r', PLACE, ['parallel-sweet']],
    ['parallel thirds at a close', 'f', 'r', 'm', 'd', CLOSE, ['parallel-at-close']],
    ['parallel thirds at an open end', 'f', 'r', 'm', 'd', { ...CLOSE, closed: false }, ['parallel-sweet']],
    ['parallel fifths', 's', 'd', 'l', 'r', PLACE, ['parallel-perfect']],
    ['parallel unisons', 'd', 'd', 'r', 'r', PLACE, ['parallel-perfect']],
    ['similar motion', 'm', 'd', 's', 'r', PLACE, ['similar-motion']],
    ['the second voice staying', 'm', 'd', 's', 'd', PLACE, ['oblique-motion']],
    ['the second voice moving alone', 's', 'm', 's', 'r', PLACE, ['restless']],
    ['both staying', 's', 'm', 's', 'm', PLACE, []],
    ['a leap of a fourth', 'm', 's,', 'r', 'd', PLACE, ['leap']],
    ['a leap of a sixth', 's', 'd', 'm', 'l', PLACE, ['wide-leap']],
  ] as const)('for %s', (_, u1, l1, u2, l2, place, expected) => {
    expect(movingRules({ tune: u1, second: l1 }, { tune: u2, second: l2 }, place)).toEqual(expected);
  });
});

/** The cheapest row of tones by trying them all. */
function bruteCost(song: Song, side: Side): number {
  const tune = tuneTones(song);
  let rows: { tones: Tone[]; cost: number }[] = [{ tones: [], cost: 0 }];
  tune.forEach((here, i) => {
    rows = rows.flatMap((row) =>
      tonesBeside(song, here.sound, side).map((lower) => ({
        tones: [...row.tones, lower],
        cost: row.cost + sumOf(rulesBroken(tune, i, row.tones.at(-1) ?? null, lower)),
      })),
    );
  });
  return Math.min(...rows.map((row) => row.cost));
}

/** Songs short enough to try everything. */
const shortSong = fc
  .record({
    tones: fc.array(fc.constantFrom('d', 'r', 'm', 's', 'l'), { minLength: 2, maxLength: 6 }),
    closed: fc.boolean(),
  })
  .map(({ tones, closed }) =>
    sketchSong({ metreName: '2/4', rung: 'do-pentatonic', tones: 'd r m s l' }, [
      {
        notes:
          tones.map((tone, i) => `${tone}480=a${String(i)}`).join(' ') + (tones.length % 2 ? ' z480' : ''),
        closed,
      },
    ]),
  );

describe('a second voice', () => {
  test('costs as little as any (all rows tried)', () => {
    fc.assert(
      fc.property(shortSong, (song) => {
        const [under, over] = [bruteCost(song, 'under'), bruteCost(song, 'over')];
        expect(bestOn(song, 'under')?.cost).toBe(under);
        expect(bestOn(song, 'over')?.cost).toBe(over);
        expect(bestSecond(song)).toMatchObject({
          cost: Math.min(under, over),
          side: over < under ? 'over' : 'under',
        });
      }),
      { numRuns: 150 },
    );
  });

  test('has a ledger that adds up, rule by rule', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const second = bestSecond(song);
        if (second === null) return;
        expect(second.ledger.reduce((sum, charge) => sum + charge.cost, 0)).toBe(second.cost);
        expect(
          second.ledger.every(({ rule, cost }) => SECOND_RULES[rule satisfies SecondRule] === cost),
        ).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  test('stays on the rung, on one side of the tune, from A3 to D5, and fills the bars', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const made = addSecond(song);
        if (!made.ok) {
          expect(made.problems[0]?.code).toBe('no-part');
          return;
        }
        const [part] = made.value.parts;
        if (part === undefined) throw new Error('no part');
        expect(faultsOf(song, part)).toEqual([]);
        const rung = song.tones.split(' ').filter(isTone);
        let rubbing = 0;
        const sides = new Set<number>();
        for (const { at, strong } of beats(song, endOf(song))) {
          const tune = songAt(song, at);
          const [second] = partAt(part, at);
          expect(second === undefined).toBe(tune === null);
          if (tune === null || second === undefined) continue;
          expect(rung).toContain(second.tone);
          sides.add(Math.sign(second.key - tune.key));
          if (second.key < tune.key) expect(second.key).toBeGreaterThanOrEqual(keyOf('A3'));
          if (second.key > tune.key) expect(second.key).toBeLessThanOrEqual(keyOf('D5'));
          if (strong && clash(tune.key, second.key)) rubbing += 1;
        }
        expect(sides.has(1) && sides.has(-1)).toBe(false);
        // a strong beat that rubs is never kept quiet
        if (rubbing > 0) expect(made.value.problems.map((p) => p.code)).toEqual(['parts-clash']);
      }),
      { numRuns: 100 },
    );
  });

  test('on a tune of so, la and mi holds mi and so, and does not rub on strong beats', () => {
    const second = bestSecond(KETTLE);
    const sounds = tuneTones(KETTLE).map((tone, i) => `${tone.sound.tone}/${second?.tones[i] ?? ''}`);
    expect(sounds.filter((pair) => ['l/s', 's/l'].includes(pair))).toEqual([]);
    expect(second?.ledger.filter((charge) => charge.rule === 'rub-strong')).toEqual([]);
  });

  test('does not run in thirds into a close on home', () => {
    const song = sketchSong({ metreName: '2/4', rung: 'major', tones: 's, l, t, d r m f s l', do: 'F4' }, [
      { notes: 'm480=a f480=b s480=c l480=d s480=e f480=f m960=g', closed: true },
    ]);
    const [before, last] = bestSecond(song)?.tones.slice(-2) ?? [];
    expect([before, last]).not.toEqual(['r', 'd']);
  });

  test('sings over a tune that lies too low for one under it', () => {
    const song = sketchSong({ metreName: '2/4', tones: 'd m s', do: 'A3' }, [{ notes: 'd480=a m480=b' }]);
    expect(bestSecond(song)).toMatchObject({ side: 'over', tones: ['m', 's'] });
  });

  test('is refused when the tune sings what its rung has not', () => {
    const song = sketchSong({ metreName: '2/4', tones: 's l', do: 'D4' }, [
      { notes: 's480=a m480=b l480=c m480=d' },
    ]);
    const made = addSecond({ ...song, tones: 's' });
    expect(made.problems[0]).toMatchObject({ code: 'no-part', severity: 'error' });
  });

  test('is held where the tune slurs and it need not move', () => {
    const made = addSecond(KETTLE);
    const part = made.ok ? made.value.parts[0] : undefined;
    const slurred = part?.notes.find((note) => note.onset === 8 * 480 + 960);
    if (slurred?.slur === 'start') expect(slurred.duration).toBe(240);
    else expect(slurred).toMatchObject({ duration: 480, slur: null });
  });
});
