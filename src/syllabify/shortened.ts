/**
 * Words that are typed shorter or longer than the dictionary has them: o'er, ev'ry, dancin', lov'd; sooo, weeee.
 */
import { align, nucleiOf } from './align.ts';
import { fromLetters } from './from-letters.ts';
import { isVowel } from './phones.ts';
import { seamsOf } from './seams.ts';
import type { LookUp } from './seams.ts';
import type { Speaker, Spoken } from './speaker.ts';
import { spell } from './spell.ts';
import { restore } from './stems.ts';

/** O'er, ev'ry, heav'n, dancin': the full word less the vowel that is not written. */
export function shorten(speaker: Speaker, key: string, lookUp: LookUp): Spoken | null {
  const restored = restore(key, lookUp);
  if (restored === null) return null;
  const { full, at, dropped } = restored;
  const letters = key.replaceAll("'", '');
  const [phones = []] = lookUp(full);
  const alignment = align(full, phones, speaker.spellings);
  const nuclei = nucleiOf(alignment, phones, full) ?? [];
  const end = at + dropped.length;
  // A dropped vowel goes; a dropped v between two vowels lets the second run into the first.
  const lost = nuclei.findIndex((nucleus, index) =>
    dropped === 'v' ? index > 0 && nucleus.start === end : nucleus.start >= at && nucleus.start < end,
  );
  const vowelPlaces = phones.flatMap((phone, j) => (isVowel(phone) ? [j] : []));
  const gone = vowelPlaces[lost] ?? -1;
  const kept = phones.flatMap((phone, j) => (j !== gone ? [phone] : phone.startsWith('ER') ? ['R'] : []));
  const seams = dropped === 'g' ? seamsOf(full, phones, lookUp) : [];
  return spell(speaker.spellings, letters, kept, seams, 'rule') ?? fromLetters(speaker, letters);
}

/** A drawn-out word with its runs of one letter cut to two and to one: soooo gives soo and so. */
export function unstretched(letters: string): readonly string[] {
  if (!/(.)\1\1/.test(letters)) return [];
  return [letters.replace(/(.)\1{2,}/g, '$1$1'), letters.replace(/(.)\1{2,}/g, '$1')];
}

/** The ways of a plain word laid on its drawn-out form. */
export function stretched(letters: string, plain: string, ways: readonly Spoken[]): readonly Spoken[] {
  // Each letter of the plain word stands for a run of the drawn-out one.
  const ends: number[] = [];
  let place = 0;
  Array.from(plain).forEach((letter, index) => {
    const twin = plain[index + 1] === letter;
    place++;
    while (!twin && letters[place] === letter) place++;
    ends.push(place);
  });
  return ways.map((way) => ({
    ...way,
    cuts: way.cuts.map((cut) => ends[cut - 1] ?? cut),
    vowels: way.vowels.map((vowel) => (vowel === 0 ? 0 : (ends[vowel - 1] ?? vowel))),
    source: 'rule' as const,
  }));
}
