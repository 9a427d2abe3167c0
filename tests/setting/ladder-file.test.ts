import { describe, expect, test } from 'vitest';
import { readLadder } from '../../src/setting/ladder-file.ts';
import { setTakes } from '../../src/setting/melody.ts';
import { RHYTHM_LADDER } from '../../src/setting/rhythm-ladder.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import { someRhythm } from './some-rhythm.ts';

function ladder(value: unknown) {
  const reading = readLadder(value);
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.ladder;
}

describe('a ladder of the teacher’s own', () => {
  test('what it leaves out is the usual ladder', () => {
    expect(ladder({})).toEqual({ tones: RUNGS, rhythms: RHYTHM_LADDER });
  });

  test('a rung with the tones of a usual one keeps its rules', () => {
    const [rung] = ladder({ tones: [{ rung: 'calling', tones: 'm s', home: 'd' }] }).tones;
    expect(rung).toEqual({ ...RUNGS[0], name: 'calling' });
  });

  test('a rung with tones of its own is sung by its rules', () => {
    const { tones } = ladder({
      tones: [
        {
          rung: 'so-la',
          tones: 's l',
          closes: 's',
          new: 'l',
          do: 'C D',
          rules: { l: { to: 's', start: 'never' } },
        },
        { rung: 'minor-three', tones: ['l,', 'd', 'm'], home: 'l,', repeats: [200, 0, -100] },
      ],
    });
    expect(tones.map((r) => [r.name, r.home, r.closes, r.usualDo])).toEqual([
      ['so-la', 'd', ['s'], ['C', 'D']],
      ['minor-three', 'l,', ['l,'], ['D']],
    ]);
    for (const rung of tones) {
      const options = {
        rung,
        do: null,
        tempoBpm: null,
        seed: 1,
        take: 1,
        slur: true,
        voice: null,
        family: null,
      };
      for (const outcome of setTakes(someRhythm(5), options, { first: 1, last: 3, families: [] })) {
        if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
        const sung = outcome.value.phrases.map((p) =>
          p.notes.flatMap((n) => (n.tone === null ? [] : [n.tone])),
        );
        expect(sung.flat().every((tone) => rung.tones.includes(tone))).toBe(true);
        expect(rung.closes).toContain(sung.at(-1)?.at(-1));
      }
    }
  });

  test('rhythms in an order of its own', () => {
    const { rhythms } = ladder({ rhythms: [{ rung: 'first', values: ['quarter', 'quarter-rest'] }] });
    expect(rhythms).toEqual([{ name: 'first', values: ['quarter', 'quarter-rest'] }]);
  });
});

test.each([
  [[], [], 'A ladder is an object'],
  [{ tone: [] }, ['tone'], 'Did you mean tones?'],
  [{ tones: 'm s' }, ['tones'], 'a list of rungs'],
  [{ tones: ['so-mi'] }, ['tones', 0], 'A rung is an entry'],
  [{ tones: [{ rung: 'So Mi', tones: 'm s' }] }, ['tones', 0, 'rung'], 'small letters and hyphens'],
  [{ tones: [{ rung: 'x', tones: 'm q' }] }, ['tones', 0, 'tones'], 'two or more of d r m f s l t'],
  [{ tones: [{ rung: 'x', tones: 's m' }] }, ['tones', 0, 'tones'], 'from low to high'],
  [{ tones: [{ rung: 'x', tones: 'm s', closes: 'd' }] }, ['tones', 0, 'closes'], 'some of m s'],
  [{ tones: [{ rung: 'x', tones: 'm s', new: 'l' }] }, ['tones', 0, 'new'], "one of the rung's tones"],
  [{ tones: [{ rung: 'x', tones: 'm s', do: 'H' }] }, ['tones', 0, 'do'], 'names without octave'],
  [{ tones: [{ rung: 'x', tones: 'm s', colour: 'red' }] }, ['tones', 0, 'colour'], 'is not known here'],
  [{ tones: [{ rung: 'x', tones: 'm s', slur: 's' }] }, ['tones', 0, 'slur'], 'two tones'],
  [{ tones: [{ rung: 'x', tones: 'm s', repeats: [1, 2] }] }, ['tones', 0, 'repeats'], 'three costs'],
  [
    { tones: [{ rung: 'x', tones: 'm s', rules: { l: {} } }] },
    ['tones', 0, 'rules', 'l'],
    'not among the tones',
  ],
  [
    { tones: [{ rung: 'x', tones: 'm s', rules: { s: { off: 'much' } } }] },
    ['tones', 0, 'rules', 's'],
    'whole number',
  ],
  [
    {
      tones: [
        { rung: 'x', tones: 'm s' },
        { rung: 'x', tones: 'm s l' },
      ],
    },
    ['tones', 1, 'rung'],
    'two rungs named x',
  ],
  [{ rhythms: [{ rung: 'x', values: ['quater'] }] }, ['rhythms', 0, 'values', 0], 'Did you mean quarter?'],
  [{ rhythms: [{ rung: 'x' }] }, ['rhythms', 0, 'values'], 'one or more of'],
])('%j has a fault at %j', (value, path, message) => {
  const reading = readLadder(value);
  expect(reading.ok).toBe(false);
  if (reading.ok) return;
  expect(reading.faults[0]?.path).toEqual(path);
  expect(reading.faults[0]?.message).toContain(message);
});
