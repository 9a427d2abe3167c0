/**
 * A word's letters to the ways it is spoken: the dictionary first, then rules, then a guess from the letters.
 */
import type { WordSource } from '../verse.ts';
import { align, nucleiOf } from './align.ts';
import type { Spelled } from './divide.ts';
import { guess } from './guess.ts';
import { pronunciationsOf } from './lexicon.ts';
import type { Lexicon } from './lexicon.ts';
import { bare, isVowel, rhymeOf } from './phones.ts';
import type { Phone } from './phones.ts';

/** One way to speak a word, its letters shared out to its sounds. */
export interface Spoken {
  readonly spelled: Spelled;
  /** Empty when only the letters are known. */
  readonly phones: readonly Phone[];
  readonly rhyme: string;
  readonly cost: number;
  readonly seams: readonly number[];
  readonly source: WordSource;
}

const SHORT = new Set(['AE', 'EH', 'IH', 'AH', 'UH', 'AA']);

/**
 * How a word is spoken; at least one way, the usual one first.
 *
 * @param key lower-case letters a to z and apostrophes, at least one letter.
 */
export function speak(lexicon: Lexicon, key: string): readonly Spoken[] {
  const bared = key.replace(/^'+|'+$/g, '');
  for (const headword of [key, key.replace(/^'+/, ''), key.replace(/'+$/, ''), bared]) {
    const found = pronunciationsOf(lexicon, headword);
    if (found.length > 0) return variants(key, found);
  }
  const letters = key.replaceAll("'", '');
  const { nuclei, graphemes } = guess(letters);
  return [
    {
      spelled: { letters, nuclei: nuclei.map((nucleus) => ({ ...nucleus, short: true })), graphemes },
      phones: [],
      rhyme: '',
      cost: 0,
      seams: [],
      source: 'rule',
    },
  ];
}

function variants(key: string, found: readonly (readonly Phone[])[]): readonly Spoken[] {
  const letters = key.replaceAll("'", '');
  const made: Spoken[] = [];
  for (const phones of found) {
    if (made.some((other) => other.phones.filter(isVowel).length === phones.filter(isVowel).length)) continue;
    made.push(fromPhones(letters, phones, made.length * 50));
  }
  return made;
}

/** A pronunciation laid on the letters. */
export function fromPhones(letters: string, phones: readonly Phone[], cost: number): Spoken {
  const alignment = align(letters, phones);
  const vowels = phones.filter(isVowel).map(bare);
  const nuclei = nucleiOf(alignment, phones).map((nucleus, index) => ({
    ...nucleus,
    short: isShort(vowels[index] ?? '', letters.slice(nucleus.start, nucleus.end)),
  }));
  return {
    spelled: { letters, nuclei, graphemes: alignment.graphemes },
    phones,
    rhyme: rhymeOf(phones),
    cost,
    seams: [],
    source: 'dictionary',
  };
}

/** Whether a vowel is short, as in hat, pet, sit, hot, cup: such a vowel wants a consonant after it. */
function isShort(vowel: string, letters: string): boolean {
  return SHORT.has(vowel) && letters.length === 1 && !(vowel === 'AA' && letters === 'a');
}
