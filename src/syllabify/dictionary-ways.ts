/**
 * The ways of a word that the dictionary has, or that a rule builds: the full form, and the shorter ones that usage has.
 */
import { isVowel } from './phones.ts';
import type { Phone } from './phones.ts';
import { mergesOf, sameSounds } from './readings.ts';
import { seamsOf } from './seams.ts';
import { wordSounds } from './speaker.ts';
import type { Speaker, Spoken } from './speaker.ts';
import { byName, merged, spell } from './spell.ts';

/** What a form costs that the dictionary lists beside the full one. */
const LISTED = 60;

/** Words whose listed short form is the usual one in speech and song (common practice). */
const USUALLY_SHORT = /^(?:every|several|different|favou?rite|interest)/;

export function fromDictionary(
  speaker: Speaker,
  key: string,
  found: readonly (readonly Phone[])[],
): readonly Spoken[] {
  const letters = key.replaceAll("'", '');
  // The longest listed form is the full one; shorter ones that lose a vowel by rule are its merges.
  const counts = found.map((phones) => phones.filter(isVowel).length);
  const most = Math.max(...counts);
  const full = found[counts.indexOf(most)] ?? [];
  const lookUp = (headword: string): readonly (readonly Phone[])[] => wordSounds(speaker, headword);
  // Not and its n't: was-n't, could-n't.
  const seams = key.endsWith("n't") ? [letters.length - 2] : seamsOf(letters, full, lookUp);
  const way = spell(speaker.spellings, letters, full, seams, 'dictionary');
  if (way === null) return [byName(letters, full)];
  const others = found.filter((_, index) => counts[index] !== most);
  const ways = [...withMerges(letters, way, others)];
  for (const phones of others) {
    const count = phones.filter(isVowel).length;
    if (ways.some((other) => other.stresses.length === count)) continue;
    const short = spell(speaker.spellings, letters, phones, [], 'dictionary');
    // The dictionary's order is not one of use, but its first form is a common one.
    if (short !== null) ways.push({ ...short, cost: phones === found[0] ? -LISTED : LISTED });
  }
  return ways;
}

/** A full way and its short forms; those that the dictionary lists cost less. */
export function withMerges(
  letters: string,
  way: Spoken,
  listed: readonly (readonly Phone[])[],
): readonly Spoken[] {
  const short = mergesOf(letters, way.phones).map((merge) => {
    const isListed = listed.some((phones) => sameSounds(phones, merge.phones));
    const usual = isListed && USUALLY_SHORT.test(letters);
    return merged(way, merge, usual ? -LISTED : isListed ? Math.min(LISTED, merge.cost) : merge.cost);
  });
  return [way, ...short];
}
