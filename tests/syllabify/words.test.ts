import { describe, expect, test } from 'vitest';
import { readVerse } from '../../src/syllabify/index.ts';
import { partWords } from '../../src/syllabify/words.ts';
import { lexicon, lineOf } from './read.ts';

const texts = (line: string): readonly string[] => lineOf(line).words.map((word) => word.text);

describe('the words of a line', () => {
  test.each([
    ["'Tis o'er the hill, don't stop", ["'Tis", "o'er", 'the', 'hill,', "don't", 'stop']],
    ['“Come in!” said the fo’c’sle cat', ['“Come', 'in!”', 'said', 'the', 'fo’c’sle', 'cat']],
    ['rock-a-bye, Bo-Peep', ['rock-a-bye,', 'Bo-Peep']],
    ["the dogs' bones, dancin' all night", ['the', "dogs'", 'bones,', "dancin'", 'all', 'night']],
    ['up—down – round -- stop', ['up—', 'down', 'round', 'stop']],
    ['one,two;three...four', ['one,', 'two;', 'three...', 'four']],
    ['(hush) [now]', ['(hush)', '[now]']],
    ['and/or', ['and/', 'or']],
    ['Zoë, Ångström', ['Zoë,', 'Ångström']],
  ])('in %s', (line, words) => {
    expect(texts(line)).toEqual(words);
  });

  test('are followed by a phrase edge where punctuation shows it', () => {
    const edges = lineOf('One, two! Three four; five, (six) seven — eight').words.map((word) => word.edge);
    expect(edges).toEqual([1, 2, 0, 2, 1, 1, 2, 0]);
  });
});

describe('beats that the teacher wrote', () => {
  const marks = (line: string): string =>
    (lineOf(line).given ?? [])
      .map((mark) =>
        mark.kind === 'on'
          ? '|'
          : mark.kind === 'off'
            ? '.'
            : { free: '-', held: '=', silent: 'z' }[mark.sound],
      )
      .join('');
  const sung = (line: string): string =>
    lineOf(line)
      .words.map((word) => word.readings[0].syllables.map((syllable) => syllable.text).join('·'))
      .join(' ');

  test.each([
    ['|Hick-o-ry |dick-o-ry |dock |-', '|..|..|-', 'Hick·o·ry dick·o·ry dock'],
    ['The |mouse ran |up the |clock |-', '.|.|.|-', 'The mouse ran up the clock'],
    ['|Stung a |man up|on his |knee', '|.|.|.|', 'Stung a man up·on his knee'],
    ['|Lon-|--|don |Bridge', '|-||', 'Lon·don Bridge'],
    ['|Lon|-|don |Bridge', '|-||', 'Lon·don Bridge'],
    ['|Bo--|Peep |=', '||=', 'Bo-·Peep'],
    ['|rock--a--|bye |z', '|.|z', 'rock-·a-·bye'],
    ['|“Yes,” |said the |goat. |-', '||.|-', '“Yes,” said the goat.'],
    ['| Hop | hop', '||', 'Hop hop'],
    ['|z |= |hush', 'z=|', 'hush'],
    ['|zebra |zoo', '|.|', 'ze·bra zoo'],
    // Words that she does not divide are divided as usual.
    ['|Hickory |dickory |dock', '|..|..|', 'Hick·o·ry dick·o·ry dock'],
    ['|re|member the |goat', '||..|', 're·mem·ber the goat'],
    ['|cinder-|ella', '|.|.', 'cin·der·el·la'],
    // Her own division counts before the dictionary's.
    ['|ev-ery |flow-er', '|.|.', 'ev·ery flow·er'],
    ['|ev-er-y |flower |here', '|..||', 'ev·er·y flower here'],
    ['|fid-dle--de--|dee', '|..|', 'fid·dle-·de-·dee'],
  ])('%s', (line, beats, words) => {
    expect(marks(line)).toBe(beats);
    expect(sung(line)).toBe(words);
  });

  test('leave the line as typed, without the marks', () => {
    expect(lineOf('|Lon-|--|don |Bridge  is |bro-ken |Bo--|Peep, |-').text).toBe(
      'London Bridge is broken Bo-Peep,',
    );
  });

  test('do not count in a line without |: there every hyphen belongs to its word', () => {
    expect(lineOf('rock-a-bye').words[0]?.text).toBe('rock-a-bye');
    expect(lineOf('rock-a-bye').given).toBeNull();
  });

  test.each([
    ['|| dock', 0, 2],
    ['|dock |', 6, 7],
    ['|Lon- |don', 4, 5],
  ])('are refused when they mark nothing: %s', (line, start, end) => {
    const read = readVerse(line, { lexicon });
    expect(read.ok).toBe(false);
    expect(read.problems[0]).toMatchObject({
      code: 'bad-beat-mark',
      severity: 'error',
      line: 1,
      span: { start, end },
    });
    expect(read.problems[0]?.hint).toBeTruthy();
  });

  test('keep spans on the text as typed', () => {
    const line = '|Lon-|--|don, "|Bo--|Peep" up|on';
    const words = partWords(line, 100, 1).words;
    expect(words.map(({ span }) => line.slice(span.start - 100, span.end - 100))).toEqual([
      '|Lon-|--|don,',
      '"|Bo--|Peep"',
      'up|on',
    ]);
  });
});
