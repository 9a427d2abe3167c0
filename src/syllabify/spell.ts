/**
 * Sounds laid on letters: a pronunciation as the written parts and stresses of a word.
 */
import type { Stress, WordSource } from '../verse.ts';
import { align, nucleiOf } from './align.ts';
import type { SpellingIndex } from './align.ts';
import { divide } from './divide.ts';
import type { Spelled } from './divide.ts';
import { bare, isVowel, rhymeOf, stressOf } from './phones.ts';
import type { Phone } from './phones.ts';
import type { Merge } from './readings.ts';
import type { Spoken } from './speaker.ts';

/** Lay a pronunciation on the letters and divide them; null when the letters have no room for its vowels. */
export function spell(
  spellings: SpellingIndex,
  letters: string,
  phones: readonly Phone[],
  seams: readonly number[],
  source: WordSource,
): Spoken | null {
  const vowels = phones.filter(isVowel).map(bare);
  if (vowels.length === 0) return oneSyllable(letters);
  if (vowels.length === 1) {
    const stress = stressOf(phones.find(isVowel) ?? '');
    return { ...oneSyllable(letters), stresses: [stress], phones, rhyme: rhymeOf(phones), source };
  }
  const alignment = align(letters, phones, spellings);
  const nuclei = nucleiOf(alignment, phones, letters);
  if (nuclei === null) return null;
  const vowelPlaces = phones.flatMap((phone, j) => (isVowel(phone) ? [j] : []));
  const spelled: Spelled = {
    letters,
    nuclei: nuclei.map((nucleus, index) => ({
      ...nucleus,
      short: isShort(
        vowels[index] ?? '',
        letters.slice(nucleus.start, nucleus.end),
        phones[(vowelPlaces[index] ?? 0) + 1] ?? '',
      ),
    })),
    graphemes: alignment.graphemes,
  };
  return {
    cuts: divide(spelled, seams),
    stresses: nuclei.map((nucleus) => nucleus.stress),
    vowels: nuclei.map((nucleus) => nucleus.start),
    phones,
    rhyme: rhymeOf(phones),
    cost: 0,
    source,
  };
}

/** Whether a vowel is short, as in hat, pet, sit, hot, cup: such a vowel wants a consonant after it. */
function isShort(vowel: string, letters: string, next: string): boolean {
  if (vowel === 'AA') return letters === 'o';
  return ' AE EH IH AH UH '.includes(` ${vowel} `) && (letters.length === 1 || next !== 'R');
}

/** One syllable and no more: shh, mmm, brr, and every word with one vowel. */
export function oneSyllable(letters: string): Spoken {
  const vowel = Math.max(0, letters.search(/[aeiouy]/));
  return { cuts: [], stresses: [2], vowels: [vowel], phones: [], rhyme: letters, cost: 0, source: 'rule' };
}

/** Letters said by name, each a part of its own as far as they reach: T V, A B C. */
export function byName(letters: string, phones: readonly Phone[]): Spoken {
  const stresses = phones.filter(isVowel).slice(0, letters.length);
  return {
    cuts: stresses.slice(1).map((_, index) => index + 1),
    stresses: stresses.map(() => 2),
    vowels: stresses.map((_, index) => index),
    phones,
    rhyme: rhymeOf(phones),
    cost: 0,
    source: 'dictionary',
  };
}

export function merged(
  way: Spoken,
  merge: Merge,
  cost: number,
  rhyme: string = rhymeOf(merge.phones),
): Spoken {
  const { at } = merge;
  const strong = Math.max(way.stresses[at] ?? 0, way.stresses[at + 1] ?? 0) as Stress;
  return {
    ...way,
    cuts: way.cuts.filter((_, index) => index !== at),
    stresses: [...way.stresses.slice(0, at), strong, ...way.stresses.slice(at + 2)],
    vowels: way.vowels.filter((_, index) => index !== at + 1),
    phones: merge.phones,
    rhyme,
    cost: way.cost + cost,
  };
}

/** A word whose every part has a vowel letter: a part without one joins the part before it, or the first the second. */
export function withoutMuteParts(letters: string, way: Spoken): Spoken {
  const mute = [0, ...way.cuts].findIndex(
    (start, index) => !/[aeiouy]/.test(letters.slice(start, way.cuts[index] ?? letters.length)),
  );
  if (mute < 0 || way.cuts.length === 0) return way;
  return withoutMuteParts(
    letters,
    merged(way, { at: Math.max(0, mute - 1), cost: 0, phones: [] }, 0, way.rhyme),
  );
}
