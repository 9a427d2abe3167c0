/** Which syllables of a line are strong: what published rules and common practice say, in invented lines. */
import { describe, expect, test } from 'vitest';
import {
  CLASS_STRENGTH,
  LITTLE_WORDS,
  LITTLE_LONGER_WORDS,
  LIGHT_LONGER_WORDS,
} from '../../src/syllabify/strength.data.ts';
import { lineOf } from './read.ts';

/** Prominence of each syllable of a line in its usual readings, by its text. */
function prominences(text: string): ReadonlyMap<string, number> {
  return new Map(
    lineOf(text).words.flatMap((word) =>
      word.readings[0].syllables.map(
        (syllable) => [syllable.text.replace(/[^\p{L}'’]/gu, ''), syllable.prominence] as const,
      ),
    ),
  );
}

function stronger(text: string, strong: string, weak: string): void {
  const own = prominences(text);
  expect(own.get(strong), strong).toBeDefined();
  expect(own.get(weak), weak).toBeDefined();
  expect(own.get(strong) ?? 0, `${strong} over ${weak} in "${text}"`).toBeGreaterThan(own.get(weak) ?? 0);
}

describe('words', () => {
  // Shares of stressed tokens in published gold scansions of English verse (about 33,000 syllables): the, a, your
  // below 6 %; of, to, for 13 to 26 %; in, on, when 26 to 40 %; now, up, down 60 to 80 %; nouns above 80 %.
  test('of one syllable are ordered as readers stress them', () => {
    const order = ['article', 'light preposition', 'preposition', 'particle', 'strong word'] as const;
    const strengths = order.map((kind) => CLASS_STRENGTH[kind]);
    expect(strengths).toEqual([...strengths].sort((a, b) => a - b));
    expect(CLASS_STRENGTH.possessive).toBeLessThan(CLASS_STRENGTH['subject pronoun']);
  });

  test('stand in one class each', () => {
    const all = Object.values(LITTLE_WORDS).flatMap((words) => words.split(' '));
    const longer = `${LITTLE_LONGER_WORDS} ${LIGHT_LONGER_WORDS}`.split(' ');
    const twice = (words: readonly string[]): readonly string[] =>
      words.filter((word, i) => words.indexOf(word) !== i);
    // A word may be a preposition and a joining word ("till", "round"); the first list decides.
    expect(twice(all).length).toBeLessThan(12);
    expect(twice(longer)).toEqual([]);
  });

  test('of more syllables are strongest where the dictionary stresses them', () => {
    stronger('The giraffe has a lemon', 'raffe', 'gi');
    stronger('The giraffe has a lemon', 'lem', 'on');
  });
});

describe('phrases', () => {
  // N. Chomsky and M. Halle, "The Sound Pattern of English" (1968), nuclear stress: the last content word is strongest.
  test('are strongest in their last content word', () => {
    stronger('The goat sat still', 'still', 'sat');
    stronger('See the red fox', 'fox', 'red');
  });

  // The rhythm rule (Liberman and Prince 1977): of two stresses side by side the first yields.
  test('let the first of two stresses yield', () => {
    const yielding = prominences('The old goat ran away').get('old') ?? 0;
    const alone = prominences('The old and spotted goat').get('old') ?? 0;
    expect(yielding).toBeLessThan(alone);
  });

  // Common practice.
  test('make a particle or a pronoun strong where they end', () => {
    const ending = prominences('Look what she put on').get('on') ?? 0;
    const inside = prominences('Look what is on the chair').get('on') ?? 0;
    expect(ending).toBeGreaterThan(inside);
    expect(prominences('This is for me').get('me') ?? 0).toBeGreaterThan(
      prominences('Give me the spoon').get('me') ?? 0,
    );
  });

  test('hear a pause at a comma', () => {
    const paused = prominences('Come in, my goat, and sit').get('in') ?? 0;
    const flowing = prominences('Come in my goat and sit').get('in') ?? 0;
    expect(paused).toBeGreaterThan(flowing);
  });

  test('let titles and light adjectives give way to the name', () => {
    stronger('Here is Miss Pepper', 'Pep', 'Miss');
    stronger('Here is little Robin', 'Rob', 'lit');
  });

  test('say why, in words a teacher uses', () => {
    const reasons = lineOf('The little goat').words.flatMap((word) =>
      word.readings[0].syllables.map((s) => s.reason),
    );
    expect(reasons[0]).toBe('article (little word, first in the line)');
    expect(reasons.at(-1)).toBe('strong word (strong word, last in the line)');
  });
});
