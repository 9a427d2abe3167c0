import { describe, expect, test } from 'vitest';
import { numberWords, ordinalWords } from '../../src/syllabify/numerals.ts';
import { lineOf, parts } from './read.ts';

describe('titles', () => {
  test.each([
    ['Mr. Fox and Mrs Goat', 'Mis·ter Fox and Mis·sus Goat'],
    ['Dr. Foster of St Ives', 'Doc·tor Fos·ter of Saint Ives'],
  ])('%s', (line, sung) => {
    const { words } = lineOf(line);
    expect(words.map((word) => parts(word.readings[0])).join(' ')).toBe(sung);
    expect(words[0]?.edge).toBe(0);
  });
});

describe('numbers in digits', () => {
  // English number words (any grammar); years in two halves (common practice).
  test.each([
    ['0', 'zero'],
    ['7', 'seven'],
    ['10', 'ten'],
    ['13', 'thirteen'],
    ['20', 'twenty'],
    ['21', 'twenty-one'],
    ['99', 'ninety-nine'],
    ['100', 'one hundred'],
    ['101', 'one hundred one'],
    ['342', 'three hundred forty-two'],
    ['1000', 'one thousand'],
    ['2026', 'two thousand twenty-six'],
    ['12345', 'twelve thousand three hundred forty-five'],
    ['1000000', 'one million'],
    ['1492', 'fourteen ninety-two'],
    ['1900', 'nineteen hundred'],
    ['007', 'zero zero seven'],
  ])('%s is sung %s', (digits, words) => {
    expect(numberWords(digits).join(' ')).toBe(words);
  });

  test.each([
    ['1', 'first'],
    ['2', 'second'],
    ['3', 'third'],
    ['5', 'fifth'],
    ['8', 'eighth'],
    ['9', 'ninth'],
    ['12', 'twelfth'],
    ['20', 'twentieth'],
    ['21', 'twenty-first'],
    ['100', 'one hundredth'],
  ])('%s as an ordinal is %s', (digits, words) => {
    expect(ordinalWords(digits).join(' ')).toBe(words);
  });

  test.each([
    ['2, 4, 6, 8', 'two, four, six, eight'],
    ['5, 6, 7!', 'five, six, sev·en!'],
    ['21 goats', 'twen·ty-·one goats'],
    ['100 goats', 'one hun·dred goats'],
    ['1,000 goats', 'one thou·sand goats'],
    ['my 1st & 2nd', 'my first and sec·ond'],
    ['1-2-3', 'one two three'],
    ["count by 5's", 'count by fives'],
    ['B4 tea', 'B four tea'],
  ])('%s is printed as it is sung: %s', (line, sung) => {
    const words = lineOf(line).words.map((word) => parts(word.readings[0]));
    expect(words.join(' ')).toBe(sung);
  });

  test('keep their place in the text as typed', () => {
    const text = 'goat 100, goat';
    const words = lineOf(text).words;
    expect(words.map(({ span }) => text.slice(span.start, span.end))).toEqual([
      'goat',
      '100,',
      '100,',
      'goat',
    ]);
    expect(words.map((word) => word.edge)).toEqual([0, 0, 1, 0]);
  });

  test('take the beats that stand before them', () => {
    const line = lineOf('|7 |goats |2 and |100');
    expect(line.given?.map((mark) => mark.kind).join(' ')).toBe('on off on on off on off off');
  });
});
