import { describe, expect, test } from 'vitest';
import { align } from '../../src/syllabify/align.ts';
import { beforeFeatures, letterFeatures, newFeatures } from '../../src/syllabify/guess-features.ts';
import type { Unknown } from '../../src/syllabify/guess-features.ts';
import { guess, guessVowels, openModel } from '../../src/syllabify/guess.ts';
import { knownParts } from '../../src/syllabify/known-parts.ts';
import { pronunciationsOf } from '../../src/syllabify/lexicon.ts';
import { lexicon, stressed, wordOf } from './read.ts';

const model = openModel(lexicon.bytes.subarray(lexicon.model.start, lexicon.model.end));
const unknown = (letters: string): Unknown => ({ letters, parts: knownParts(letters, () => null) });

describe('words that no dictionary has', () => {
  // Nonsense of traditional rhymes (public domain), as it is chanted, and names made up for this test. None of them
  // was seen in training: the dictionary has none of them.
  const words =
    'DICK·o·ry HIG·gle·dy PIG·gle·dy HICK·e·ty PICK·e·ty EE·ny MEE·ny MI·ny IB·ble OB·ble TWEE·dle·dee ' +
    'FID·dle·dee PUD·dle·wick SNIB·ble·ton FRUMP·kin WOB·ble·kin GRUN·dle·by TRIP·ple·ty DUM·ple·ty LICK·e·ty ' +
    'SMUG·gins SPLOT·ter BOG·gle·ton CRUM·pet·ty ZIP·pe·ty DING·le·ton HUM·ble·dum FLIB·ber·ty GIB·ber·ty ' +
    'PON·der·wick MAR·ble·wick WIG·gle·ton NOD·dle·kin TOD·dle·bee QUAG·gle SNIF·fle·by BLUS·ter·kin';
  const list = words.split(' ').filter((word) => {
    const key = word.toLowerCase().replaceAll('·', '');
    return pronunciationsOf(lexicon, key).length === 0;
  });

  test('are nonsense indeed', () => {
    expect(list.length).toBeGreaterThanOrEqual(30);
  });

  test('have the syllables and the stress that children give them, nearly all', () => {
    const wrong = list.filter((word) => {
      const made = stressed(word.toLowerCase().replaceAll('·', ''));
      const shape = (text: string): string =>
        text
          .split('·')
          .map((part) => (part === part.toUpperCase() ? 'X' : 'x'))
          .join('');
      return shape(made) !== shape(word);
    });
    const share = 1 - wrong.length / list.length;
    expect(share, `astray: ${wrong.join(', ')}`).toBeGreaterThanOrEqual(0.9);
  });

  test.each(['xq', 'rhythmful', 'zzzapp', 'qwrtz', 'ooooo', 'yyy', 'supercalidocious', 'a'.repeat(60)])(
    '%s gets at least one syllable and exactly one primary stress',
    (word) => {
      const { nuclei } = guess(model, word, () => null);
      expect(nuclei.length).toBeGreaterThan(0);
      expect(nuclei.filter((nucleus) => nucleus.stress === 2)).toHaveLength(1);
      expect(
        wordOf(word)
          .readings[0].syllables.map((syllable) => syllable.text)
          .join(''),
      ).toBe(word);
    },
  );

  test('refuse a model of another kind', () => {
    expect(() => openModel(new Uint8Array(100))).toThrow(RangeError);
  });
});

describe('the search over marks', () => {
  /** The cost of one way of marking letters, added up letter by letter. */
  function costOf(word: Unknown, marks: readonly number[]): number {
    const features = newFeatures(model.letterBits);
    let cost = 0;
    let since = 5;
    for (let at = 0; at < word.letters.length; at++) {
      letterFeatures(features, word, at);
      const last = marks[at - 1] === 1 ? 1 : 0;
      const lastButOne = marks[at - 2] === 1 ? 1 : 0;
      beforeFeatures(features, word, at, { last, lastButOne, since });
      let bid = 0;
      for (let i = 0; i < features.count; i++) bid += model.letters[features.numbers[i] ?? 0] ?? 0;
      const odds = bid * model.letterScale * (marks[at] === 1 ? -1 : 1);
      const a = Math.abs(odds);
      cost += Math.max(0, odds) + 0.6931 / (1 + 0.72 * a + 0.25 * a * a + 0.09 * a * a * a);
      since = marks[at] === 1 ? 0 : Math.min(5, since + 1);
    }
    return cost;
  }

  test.each(['snibble', 'oboeia', 'queueo', 'pliant', 'yeti', 'eau', 'banbury', 'rue'])(
    'finds the cheapest of all ways to mark %s',
    (letters) => {
      const word = unknown(letters);
      const found = guessVowels(model, word);
      let least = Infinity;
      for (let set = 1; set < 2 ** letters.length; set++) {
        least = Math.min(
          least,
          costOf(
            word,
            Array.from(letters, (_, at) => (set >> at) & 1),
          ),
        );
      }
      const mine = costOf(
        word,
        Array.from(letters, (_, at) => (found.includes(at) ? 1 : 0)),
      );
      expect(mine).toBeCloseTo(least, 9);
    },
  );
});

describe('the alignment of letters with sounds', () => {
  test.each([
    ['chicken', 'CH IH1 K AH0 N', 'ch:CH i:IH1 ck:K e:AH0 n:N'],
    ['table', 'T EY1 B AH0 L', 't:T a:EY1 b:B le:AH0+L'],
    ['box', 'B AA1 K S', 'b:B o:AA1 x:K+S'],
    ['knight', 'N AY1 T', 'kn:N igh:AY1 t:T'],
    ['make', 'M EY1 K', 'm:M a:EY1 k:K e:'],
    ['queen', 'K W IY1 N', 'qu:K+W ee:IY1 n:N'],
    ['mother', 'M AH1 DH ER0', 'm:M o:AH1 th:DH er:ER0'],
  ])('of %s is that of a phonics chart', (letters, sounds, expected) => {
    const phones = sounds.split(' ');
    const { graphemes } = align(letters, phones, new Map());
    const told = graphemes.map(
      ({ start, end, first, last }) => `${letters.slice(start, end)}:${phones.slice(first, last).join('+')}`,
    );
    expect(told.join(' ')).toBe(expected);
  });

  test('covers every letter and every phone, in order', () => {
    for (const word of [
      'hickory',
      'chocolate',
      'beautiful',
      'wednesday',
      'queue',
      'rhythm',
      'one',
      'choir',
    ]) {
      for (const phones of pronunciationsOf(lexicon, word)) {
        const { graphemes } = align(word, phones, new Map());
        let letter = 0;
        let phone = 0;
        for (const grapheme of graphemes) {
          expect([grapheme.start, grapheme.first]).toEqual([letter, phone]);
          letter = grapheme.end;
          phone = grapheme.last;
        }
        expect([letter, phone]).toEqual([word.length, phones.length]);
      }
    }
  });
});
