/**
 * What look-ups need and what they give: the dictionary's sounds of a word, remembered while one rhyme is read.
 */
import type { Stress, WordSource } from '../verse.ts';
import type { SpellingIndex } from './align.ts';
import { openModel } from './guess.ts';
import type { GuessModel } from './guess.ts';
import { pronunciationsOf } from './lexicon.ts';
import type { Lexicon } from './lexicon.ts';
import { isVowel } from './phones.ts';
import type { Phone } from './phones.ts';

/** One way to speak a word of letters a to z. */
export interface Spoken {
  /** Where the letters are cut: one fewer than the syllables, rising. */
  readonly cuts: readonly number[];
  /** One for each syllable. */
  readonly stresses: readonly Stress[];
  /** One for each syllable, rising: the letter where its vowel is written, as an index. */
  readonly vowels: readonly number[];
  /** Empty when only the letters are known. */
  readonly phones: readonly Phone[];
  readonly rhyme: string;
  readonly cost: number;
  readonly source: WordSource;
}

/** What look-ups need, and what they have found so far; made for one rhyme and never kept. */
export interface Speaker {
  readonly lexicon: Lexicon;
  /** The teacher's own words by key. */
  readonly given: ReadonlyMap<string, Spoken>;
  readonly spoken: Map<string, readonly Spoken[]>;
  readonly found: Map<string, readonly (readonly Phone[])[]>;
  readonly spellings: SpellingIndex;
  readonly model: GuessModel;
}

/** A speaker that has met no word yet. */
export function newSpeaker(lexicon: Lexicon, given: ReadonlyMap<string, Spoken>): Speaker {
  const { model, bytes } = lexicon;
  return {
    lexicon,
    given,
    spoken: new Map(),
    found: new Map(),
    spellings: new Map(),
    model: openModel(bytes.subarray(model.start, model.end)),
  };
}

/** The dictionary's sounds of a headword, less those that say its letters by name though it has a vowel: ba, da, baa. */
export function wordSounds(speaker: Speaker, headword: string): readonly (readonly Phone[])[] {
  const known = speaker.found.get(headword);
  if (known !== undefined) return known;
  const found = pronunciationsOf(speaker.lexicon, headword).filter(
    (phones) => !/[aeiouy]/.test(headword) || headword.length < 2 || !saysLetters(headword, phones),
  );
  speaker.found.set(headword, found);
  return found;
}

/** Whether every letter has a vowel of its own, as when an abbreviation is spelled out. */
export function saysLetters(headword: string, phones: readonly Phone[]): boolean {
  return phones.filter(isVowel).length >= headword.replaceAll("'", '').length;
}
