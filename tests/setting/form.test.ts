import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/random.ts';
import type { Rhythm, RhythmNote } from '../../src/rhythm.ts';
import { fits, planForm, strophesOf, type PhrasePlan } from '../../src/setting/form.ts';
import { placesOf } from '../../src/setting/melody-places.ts';

interface LineSketch {
  readonly words: string;
  readonly stanza?: number;
  readonly rhyme?: string;
  /** Ticks of each word; a quarter when not said. */
  readonly ticks?: readonly number[];
}

/** A rhyme in 2/4 with a syllable to each word. */
function rhyme(lines: readonly LineSketch[]): Rhythm {
  let at = 0;
  return {
    title: 'Sketch',
    metre: { beats: 2, beatType: 4, beatClass: 'simple', ticksPerBeat: 480 },
    upbeatTicks: 0,
    phrases: lines.map(({ words, stanza = 1, rhyme: sound = '', ticks }, i) => ({
      line: i + 1,
      stanza,
      text: words,
      rhyme: sound,
      wordKeys: words.split(' '),
      notes: words.split(' ').map((text, word): RhythmNote => {
        const duration = ticks?.[word] ?? 480;
        const syllable = { text, word, division: 'single', stress: 2, prominence: 0 } as const;
        const note = { onset: at, duration, rest: false, syllable, tie: null, breath: false };
        at += duration;
        return note;
      }),
    })),
  };
}

function plans(lines: readonly LineSketch[], seed = 1, chant = true): readonly PhrasePlan[] {
  return planForm(placesOf(rhyme(lines)), seededRandom(seed), { chant, kept: null });
}

const letters = (made: readonly PhrasePlan[]): string => made.map((plan) => plan.letter).join('');
const seeds = Array.from({ length: 60 }, (_, i) => i + 1);
const four: readonly LineSketch[] = [
  'one two three four',
  'ping pang pong pung',
  'rim ram rum rom',
  'fee fie foe fum',
].map((words) => ({ words }));

describe('words decide where they come back', () => {
  test('a line whose words return takes up its tune, and the last return turns to the close', () => {
    for (const seed of seeds) {
      const made = plans(
        [{ words: 'hop hop hop hop' }, { words: 'over the top now' }, { words: 'hop hop hop hop' }],
        seed,
      );
      expect(made[2]).toMatchObject({ letter: 'a', source: 0, kind: 'tail', closes: true });
      expect(made[2]?.tail).toBeGreaterThanOrEqual(1);
      expect(made[2]?.tail).toBeLessThanOrEqual(3);
      expect(made[0]?.asks).toBe(true);
    }
  });

  test('a line that begins as an earlier one mostly takes up its tune', () => {
    const alike = seeds.filter(
      (seed) =>
        plans([{ words: 'rain rain go away' }, { words: 'rain rain stay away' }], seed)[1]?.source === 0,
    );
    expect(alike.length).toBeGreaterThan(seeds.length * 0.8);
  });

  test('where the rhythm of a return differs the tune is fitted to it', () => {
    const made = plans([
      { words: 'up and up we go', ticks: [240, 240, 240, 240, 960] },
      { words: 'up and up we went', ticks: [480, 480, 480, 240, 240] },
    ]);
    expect([made[1]?.source, made[1]?.kind]).toEqual([0, 'echo']);
  });
});

describe('where the words leave it open the seed decides', () => {
  test('a four-line rhyme takes many forms, each beginning with a', () => {
    const forms = new Set(seeds.map((seed) => letters(plans(four, seed))));
    expect(forms.size).toBeGreaterThan(5);
    expect([...forms].every((form) => form.startsWith('a'))).toBe(true);
  });

  test('rhyme partners share a tune more often than lines that do not rhyme', () => {
    const rhymed = four.map((line, i) => ({ ...line, rhyme: i % 2 === 0 ? 'AY' : 'OO' }));
    const abab = (lines: readonly LineSketch[]): number =>
      Array.from({ length: 300 }, (_, i) => plans(lines, i + 1)[2]?.source).filter((s) => s === 0).length;
    expect(abab(rhymed)).toBeGreaterThan(abab(four) * 1.05);
  });

  test('fuller sets have more new tunes', () => {
    const count = (chant: boolean): number =>
      seeds.reduce((sum, seed) => sum + new Set(letters(plans(four, seed, chant))).size, 0);
    expect(count(false)).toBeGreaterThan(count(true));
  });
});

describe('stated forms', () => {
  test('one line is a', () => {
    const made = plans([{ words: 'here we go now' }]);
    expect(made).toHaveLength(1);
    expect(made[0]).toMatchObject({ letter: 'a', kind: 'new', closes: true });
  });

  test.each([2, 3, 5, 6, 7, 8, 9])('%i lines have one plan each, and the last closes', (count) => {
    const lines = Array.from({ length: count }, (_, i) => ({
      words: `w${String(i)} x${String(i)} y${String(i)} z${String(i)}`,
    }));
    for (const seed of seeds) {
      const made = plans(lines, seed);
      expect(made.map((plan) => plan.closes)).toEqual(lines.map((_, i) => i === count - 1));
      made.forEach((plan, i) => {
        if (plan.source !== null) expect(plan.source).toBeLessThan(i);
      });
    }
  });

  test('later strophes sing the first one’s tunes, last to last, whatever their length', () => {
    for (const length of [2, 4, 5]) {
      const second = Array.from({ length }, (_, i) => ({ words: `k${String(i)} l m n`, stanza: 2 }));
      const made = plans([...four, ...second]);
      const later = made.slice(4);
      expect(later.at(-1)?.source).toBe(3);
      expect(later.at(-1)?.closes).toBe(true);
      expect(later.slice(0, 2 - (length === 2 ? 1 : 0)).map((plan) => plan.source)).toEqual(
        length === 2 ? [0] : [0, 1],
      );
    }
  });
});

test('strophes are the stretches of one stanza', () => {
  const lines = [1, 1, 2, 2, 2, 3].map((stanza) => ({ words: 'a b', stanza }));
  expect(strophesOf(rhyme(lines).phrases)).toEqual([[0, 1], [2, 3, 4], [5]]);
});

test('phrases fit when the same sounds stand on the same beats', () => {
  const [a, b, c] = placesOf(
    rhyme([{ words: 'a b c d' }, { words: 'e f g h' }, { words: 'i j k l', ticks: [240, 240, 480, 960] }]),
  );
  expect(fits(a, b)).toBe(true);
  expect(fits(a, c)).toBe(false);
});
