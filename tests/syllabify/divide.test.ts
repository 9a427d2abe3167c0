import { describe, expect, test } from 'vitest';
import { divided, stressed, wordOf } from './read.ts';

describe('the written division', () => {
  // Each rule with worked examples: common practice of American dictionaries and song books (from memory).
  test.each([
    [
      'doubled consonants part',
      'lit·tle but·ter hap·py din·ner fid·dle run·ning pud·ding mer·ry squir·rel hur·ry',
    ],
    [
      '-le takes its consonant',
      'ta·ble cra·dle ap·ple can·dle bub·ble nee·dle bum·ble pur·ple twin·kle sta·ple',
    ],
    [
      'letters that write one sound stay together',
      'chick·en buck·et moth·er fa·ther el·e·phant ro·chet bish·op',
    ],
    [
      'a short stressed vowel keeps its consonant',
      'rob·in riv·er mon·ey ev·er cab·in hon·ey lem·on nev·er moth·er',
    ],
    [
      'other vowels leave it',
      'ba·by pa·per ti·ger o·pen mu·sic a·gain la·dy sto·ry wa·ter be·gin ho·tel fro·zen',
    ],
    [
      'a cluster parts before what may begin a word',
      'chil·dren hun·gry mas·ter win·dow um·brel·la pump·kin mon·ster gar·den',
    ],
    [
      'suffixes stay whole',
      'sing·ing fall·ing mak·ing jump·ing love·ly care·ful good·ness fast·est want·ed fish·es',
    ],
    ['prefixes stay whole', 'un·a·ble dis·ap·pear mis·take be·stow re·mem·ber up·on to·day a·sleep'],
    ['compounds part first', 'blue·bird rain·drops some·thing barn·yard sun·flow·er snow·man bed·time in·to'],
    ['r goes on after o and a, stays after e', 'hick·o·ry fac·to·ry cen·tu·ry ev·er·y mys·ter·y'],
    ['n’t is a part of its own', 'did·n’t was·n’t could·n’t'],
  ])('%s', (_, words) => {
    const made = words.split(' ').map((word) => {
      const count = word.split('·').length;
      const reading = wordOf(word.replaceAll('·', '')).readings.find(
        (each) => each.syllables.length === count,
      );
      return (
        reading?.syllables.map((syllable) => syllable.text).join('·') ?? divided(word.replaceAll('·', ''))
      );
    });
    expect(made.join(' ')).toBe(words);
  });

  test('keeps punctuation with the part that it touches', () => {
    expect(divided('“Hickory,')).toBe('“Hick·o·ry,');
    expect(divided("'round")).toBe("'round");
    expect(divided('RIVER!')).toBe('RIV·ER!');
  });

  test('keeps a real hyphen at the end of its part, and gives the whole word one main stress', () => {
    expect(divided('rock-a-bye')).toBe('rock-·a-·bye');
    expect(stressed('Bo-Peep')).toBe('BO-·peep');
    expect(stressed('higgledy-piggledy')).toBe('HIG·gle·dy-·pig·gle·dy');
  });
});

describe('words that are sung in one syllable though no vowel is written', () => {
  test.each(['Shh', 'Mmm', 'Brr', 'Pssst', 'tsk', 'grr', 'Zzz', 'pfft', 'hmm', 'shhhhh'])('%s', (word) => {
    expect(wordOf(word).readings).toHaveLength(1);
    expect(divided(word)).toBe(word);
  });
});

describe('a drawn-out word', () => {
  test.each([
    ['sooo', 'sooo'],
    ['weeeeee', 'weeeeee'],
    ['nooo', 'nooo'],
    ['hellooo', 'hel·looo'],
    ['veeeery', 'veeeer·y'],
    ['sunnnny', 'sun·nnny'],
  ])('%s is sung as its plain word', (word, parts) => {
    expect(divided(word)).toBe(parts);
  });
});

describe('letters said by name', () => {
  test.each([
    ['ABC', 'A·B·C'],
    ['TV', 'T·V'],
    ['W', 'dou·ble-·u'],
    ['X', 'X'],
  ])('%s', (word, parts) => {
    expect(divided(word)).toBe(parts);
  });
});
