import { describe, expect, test } from 'vitest';
import { readVerse } from '../../src/syllabify/index.ts';
import { LONGEST_LINE } from '../../src/syllabify/lines.ts';
import { linesOf } from '../../src/verse.ts';
import { lexicon, verseOf } from './read.ts';

const RHYME =
  'Grey goat, grey goat,\nSailing on a ferry boat.\n\n# spoken by the ferryman\nHold your horns and hold your hat,\nThe sea is neither still nor flat!\n';

describe('a rhyme file', () => {
  test('is stanzas divided by blank lines, of lines numbered through the rhyme, remarks left out', () => {
    const verse = verseOf(RHYME);
    expect(verse.stanzas.map((stanza) => stanza.lines.map((line) => line.number))).toEqual([
      [1, 2],
      [3, 4],
    ]);
    expect(linesOf(verse).map((line) => line.stanza)).toEqual([1, 1, 2, 2]);
    expect(linesOf(verse)[2]?.text).toBe('Hold your horns and hold your hat,');
  });

  test('is titled by its first line without the closing punctuation, unless a title is given', () => {
    expect(verseOf(RHYME).title).toBe('Grey goat, grey goat');
    const given = readVerse(RHYME, { lexicon, title: 'The ferry' });
    expect(given.ok && given.value.title).toBe('The ferry');
  });

  test.each([
    ['a byte-order mark', '\ufeffGrey goat\ncome here'],
    ['carriage returns', 'Grey goat\r\ncome here\r\n'],
    ['old carriage returns alone', 'Grey goat\rcome here'],
    ['tabs and trailing blanks', '\tGrey  goat \n come\there\n\n\n'],
    ['line separators', 'Grey goat\u2028come here'],
  ])('may have %s', (_, text) => {
    const lines = linesOf(verseOf(text));
    expect(lines.map((line) => line.text)).toEqual(['Grey goat', 'come here']);
    for (const line of lines) {
      for (const word of line.words) expect(text.slice(word.span.start, word.span.end)).toBe(word.text);
    }
  });

  test('counts spans from the first character of the file when front matter came before', () => {
    const head = '---\ntitle: x\n---\n';
    const read = readVerse('Grey goat', { lexicon, offset: head.length });
    const spans = read.ok ? linesOf(read.value).flatMap((line) => line.words.map((word) => word.span)) : [];
    expect(spans.map(({ start, end }) => (head + 'Grey goat').slice(start, end))).toEqual(['Grey', 'goat']);
  });

  test('reads accents alike, composed or apart', () => {
    const [composed] = linesOf(verseOf('caf\u00e9 ni\u00f1o Ő'));
    const [apart] = linesOf(verseOf('cafe\u0301 nin\u0303o O\u030b'));
    const shape = (line: typeof composed): unknown =>
      line?.words.map((word) =>
        word.readings.map((reading) => reading.syllables.map((s) => [s.text.normalize('NFC'), s.stress])),
      );
    expect(shape(apart)).toEqual(shape(composed));
    expect(apart?.words[0]?.text).toBe('cafe\u0301');
  });
});

describe('a text that cannot be sung', () => {
  test.each([
    ['nothing', ''],
    ['blank lines', '\n \n\t\n'],
    ['remarks alone', '# one\n# two'],
    ['marks alone', '***\n---\n!!!'],
  ])('has nothing to sing when it is %s', (_, text) => {
    const read = readVerse(text, { lexicon });
    expect(read.ok).toBe(false);
    expect(read.problems.at(-1)).toMatchObject({ code: 'nothing-to-sing', severity: 'error' });
  });

  test('leaves out a line without letters, and says so', () => {
    const read = readVerse('Grey goat\n* * *\ncome here', { lexicon });
    expect(read.ok && linesOf(read.value).map((line) => line.number)).toEqual([1, 2]);
    expect(read.problems).toMatchObject([
      { code: 'nothing-to-sing', severity: 'warning', span: { start: 10, end: 15 } },
    ]);
  });

  test.each([
    ['a NUL', 'PK\u0003\u0004\u0000'],
    ['bytes that are not UTF-8', 'caf\ufffd au lait'],
  ])('is not text when it holds %s', (_, text) => {
    expect(readVerse(text, { lexicon }).problems).toMatchObject([{ code: 'not-text', severity: 'error' }]);
  });

  test('has a line that is too long', () => {
    const long = `short\n${'la '.repeat(LONGEST_LINE)}`;
    const read = readVerse(long, { lexicon });
    expect(read.problems).toMatchObject([{ code: 'line-too-long', severity: 'error', line: 2 }]);
    expect(read.problems[0]?.message).toContain(String(LONGEST_LINE));
    expect(readVerse('x'.repeat(10_000_000), { lexicon }).ok).toBe(false);
  });
});
