import { dictionary } from 'cmu-pronouncing-dictionary';
import { describe, expect, test } from 'vitest';
import { openLexicon, pronunciationsOf } from '../../src/syllabify/lexicon.ts';
import { isVowel, rhymeOf, stressOf } from '../../src/syllabify/phones.ts';
import { lexicon } from './read.ts';

describe('the compiled pronunciation dictionary', () => {
  test('gives back every headword of letters and apostrophes with all its pronunciations', () => {
    // Source: the CMU Pronouncing Dictionary itself, as the npm package has it.
    const listed = new Map<string, Set<string>>();
    for (const [entry, value] of Object.entries(dictionary)) {
      const headword = entry.replace(/\(\d+\)$/, '');
      if (!/^[a-z']*[a-z][a-z']*$/.test(headword)) continue;
      const sounds = value.replace(/#.*/, '').trim().replace(/\s+/g, ' ');
      listed.set(headword, (listed.get(headword) ?? new Set()).add(sounds));
    }
    expect(listed.size).toBeGreaterThan(120_000);
    const wrong: string[] = [];
    for (const [headword, sounds] of listed) {
      const found = pronunciationsOf(lexicon, headword).map((phones) => phones.join(' '));
      if (found.length !== sounds.size || !found.every((each) => sounds.has(each))) wrong.push(headword);
    }
    expect(wrong).toEqual([]);
  });

  test.each(['', 'zzzzzz', 'a-b', 'hickoryx', 'banburyshire', "''", 'aaaaa', 'é'])(
    'has no word %j',
    (word) => {
      expect(pronunciationsOf(lexicon, word)).toEqual([]);
    },
  );

  test('takes the comment off an entry', () => {
    expect(pronunciationsOf(lexicon, 'aalborg')).toEqual([
      ['AO1', 'L', 'B', 'AO0', 'R', 'G'],
      ['AA1', 'L', 'B', 'AO0', 'R', 'G'],
    ]);
  });

  test('refuses bytes of another kind', () => {
    expect(() => openLexicon(new Uint8Array([1, 2, 3, 4, 5]))).toThrow(RangeError);
    expect(() => openLexicon(new Uint8Array())).toThrow(RangeError);
  });
});

describe('phones', () => {
  test('are vowels when they carry a stress digit: 1 primary, 2 secondary, 0 none', () => {
    expect(['IY1', 'IY2', 'IY0', 'B', 'NG'].map(isVowel)).toEqual([true, true, true, false, false]);
    expect(['IY1', 'IY2', 'IY0'].map(stressOf)).toEqual([2, 1, 0]);
  });

  test.each([
    // Two words rhyme when they agree from the last stressed vowel on (common practice).
    ['dock', 'clock', true],
    ['kittens', 'mittens', true],
    ['hickory', 'dock', false],
    ['knee', 'bee', true],
    ['again', 'ten', true],
    ['straight', 'gate', true],
    ['town', 'tone', false],
  ])('%s and %s rhyme: %s', (one, other, rhyme) => {
    const rhymes = (word: string): readonly string[] => pronunciationsOf(lexicon, word).map(rhymeOf);
    expect(rhymes(one).some((each) => rhymes(other).includes(each))).toBe(rhyme);
  });
});
