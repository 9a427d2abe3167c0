import { describe, expect, test } from 'vitest';
import { readVerse } from '../../src/syllabify/index.ts';
import { linesOf } from '../../src/verse.ts';
import { lexicon, verseOf } from './read.ts';

const readings = (text: string, words: Record<string, string>): readonly string[] =>
  linesOf(verseOf(text, words)).flatMap((line) =>
    line.words.flatMap((word) =>
      word.readings.map((reading) =>
        reading.syllables.map((s) => (s.stress === 2 ? `*${s.text}` : s.text)).join('·'),
      ),
    ),
  );

describe("the teacher's own words", () => {
  test('give syllables and stress, in capitals, wherever the word stands', () => {
    expect(readings('Banbury, "BANBURY!" banbury’s', { banbury: 'BAN-bu-ry' })).toEqual([
      '*Ban·bu·ry,',
      '*"BAN·BU·RY!"',
      '*ban·bu·ry’s',
    ]);
  });

  test('overrule the dictionary, and leave one way to sing the word', () => {
    expect(readings('every hickory', { every: 'EV-er-y', Hickory: 'hick-O-ry' })).toEqual([
      '*ev·er·y',
      'hick·*o·ry',
    ]);
  });

  test('stress the first syllable when none is in capitals', () => {
    expect(readings('Puddlewick', { puddlewick: 'pud-dle-wick' })).toEqual(['*Pud·dle·wick']);
  });

  test('reach words with hyphens and accents', () => {
    expect(readings('Rock-a-bye', { 'rock-a-bye': 'ROCK-a-BYE' })).toEqual(['*Rock-·a-·*bye']);
    expect(readings('Señora', { señora: 'se-ÑOR-a' })).toEqual(['Se·*ñor·a']);
  });

  test('count as given', () => {
    const [line] = linesOf(verseOf('Banbury goat', { banbury: 'BAN-bu-ry' }));
    expect(line?.words.map((word) => word.source)).toEqual(['given', 'dictionary']);
  });

  test.each([
    ['banbury', 'BAN-ber-ry'],
    ['banbury', ''],
    ['banbury', '-'],
    ['', 'BAN'],
    ['goat', 'BAN-bu-ry'],
  ])('must have the letters of the word: %j as %j', (word, division) => {
    const read = readVerse('goat', { lexicon, words: { [word]: division } });
    expect(read.ok).toBe(false);
    expect(read.problems).toMatchObject([{ code: 'words-mismatch', severity: 'error' }]);
    expect(read.problems[0]?.message).toContain('BAN-bu-ry');
  });
});
