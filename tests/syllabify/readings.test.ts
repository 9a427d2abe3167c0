import { describe, expect, test } from 'vitest';
import { parts, stressed, wordOf } from './read.ts';

const readings = (word: string): readonly string[] => wordOf(word).readings.map(parts);

describe('a word that usage shortens', () => {
  // Common practice of song books: which of the two a line takes is the search's choice.
  test.each([
    ['every', ['ev·ery', 'ev·er·y']],
    ['fire', ['fire', 'fir·e']],
    ['flower', ['flow·er', 'flower']],
    ['power', ['pow·er', 'power']],
    ['heaven', ['heav·en', 'heaven']],
    ['being', ['be·ing', 'being']],
    ['family', ['fam·i·ly', 'fam·ily']],
    ['camera', ['cam·er·a', 'cam·era']],
    ['hickory', ['Hick·o·ry', 'Hick·ory'].map((word) => word.toLowerCase())],
    ['happier', ['hap·pi·er', 'hap·pier']],
    ['carrion', ['car·ri·on', 'car·rion']],
    ['violet', ['vi·o·let', 'vio·let']],
  ])('%s', (word, ways) => {
    expect(readings(word)).toEqual(expect.arrayContaining(ways));
    expect(readings(word)[0]).toBe(ways[0]);
  });

  test('costs nothing in its usual form and more in the others, rising', () => {
    for (const word of [
      'every',
      'fire',
      'flower',
      'heaven',
      'different',
      'various',
      'evening',
      'favourite',
    ]) {
      const costs = wordOf(word).readings.map((reading) => reading.cost);
      expect(costs[0]).toBe(0);
      expect(costs).toEqual([...costs].sort((a, b) => a - b));
    }
  });

  test('keeps the stress of the two syllables that became one', () => {
    const short = wordOf('flower').readings.find((reading) => reading.syllables.length === 1);
    expect(short?.syllables[0]?.stress).toBe(2);
  });

  test.each(['little', 'mother', 'baby', 'pocket', 'dock', 'seven days'])('%s has no other count', (word) => {
    expect(new Set(wordOf(word).readings.map((reading) => reading.syllables.length)).size).toBe(
      word === 'seven days' ? 2 : 1,
    );
  });
});

describe('a word shortened by an apostrophe', () => {
  // Common practice of older verse: the syllables are the vowels that are still written.
  test.each([
    ["o'er", 1],
    ["ne'er", 1],
    ["e'en", 1],
    ["ev'ry", 2],
    ["heav'n", 1],
    ["flow'r", 1],
    ["pow'r", 1],
    ["lov'd", 1],
    ["belov'd", 2],
    ["wand'ring", 2],
    ["'twas", 1],
    ["'gainst", 1],
    ["dancin'", 2],
    ['ev’ry', 2],
  ])('%s has %i', (word, count) => {
    expect(wordOf(word).readings[0].syllables).toHaveLength(count);
  });
});

describe("an owner's s", () => {
  test.each([
    ["goat's", "goat's"],
    ["fox's", "fox·'s"],
    ["horse's", "hor·se's"],
    ["Puddlewick's", "Pud·dle·wick's"],
    ["ladies'", "la·dies'"],
  ])('%s', (word, division) => {
    expect(parts(wordOf(word).readings[0])).toBe(division);
  });
});

describe('a word that only its stem is known of', () => {
  test.each([
    ['puddlings', 'PUD·dlings'],
    ['wobbliest', 'WOB·bli·est'],
    ['twinklingly', 'TWIN·kling·ly'],
    ['goatlike', 'GOAT·like'],
    ['kittenish', 'KIT·ten·ish'],
  ])('%s', (word, division) => {
    expect(stressed(word)).toBe(division);
    expect(wordOf(word).source).toBe('rule');
  });
});

describe('the rhyme of a reading', () => {
  test.each([
    ['kittens', 'mittens'],
    ['dock', 'clock'],
    ['ferry', 'merry'],
    ['heaven', 'seven'],
  ])('%s and %s agree', (one, other) => {
    expect(wordOf(one).readings[0].rhyme).toBe(wordOf(other).readings[0].rhyme);
    expect(wordOf(one).readings[0].rhyme).not.toBe('');
  });

  test('is told from the letters when the sounds are not known', () => {
    expect(wordOf('snibblock').readings[0].rhyme).not.toBe('');
  });
});
