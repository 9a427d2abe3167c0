/**
 * The sounds of the CMU Pronouncing Dictionary: ARPAbet phones, vowels carrying their stress as a last digit
 * (0 none, 1 primary, 2 secondary), as its documentation tells.
 */
import type { Stress } from '../verse.ts';

/** An ARPAbet phone as the dictionary writes it: `HH`, `IH1`, `ER0`. */
export type Phone = string;

const CONSONANTS = 'B CH D DH F G HH JH K L M N NG P R S SH T TH V W Y Z ZH'.split(' ');
const VOWELS = 'AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW'.split(' ');

/** The phone that a byte of the compiled dictionary stands for: consonants from 1, vowels from 64 in threes. */
export function phoneOfByte(byte: number): Phone {
  if (byte < 64) return CONSONANTS[byte - 1] ?? '';
  return (VOWELS[Math.floor((byte - 64) / 3)] ?? '') + String((byte - 64) % 3);
}

/** Whether a phone is a vowel, which makes a syllable. */
export function isVowel(phone: Phone): boolean {
  const last = phone.charCodeAt(phone.length - 1);
  return last >= 48 && last <= 50;
}

/** The stress of a vowel phone: the dictionary's digit 1 is primary, 2 secondary. */
export function stressOf(phone: Phone): Stress {
  return phone.endsWith('1') ? 2 : phone.endsWith('2') ? 1 : 0;
}

/** A phone without its stress digit. */
export function bare(phone: Phone): Phone {
  return isVowel(phone) ? phone.slice(0, -1) : phone;
}

/** The rhyme of a pronunciation: its sounds from the last stressed vowel on, without stress digits. */
export function rhymeOf(phones: readonly Phone[]): string {
  let from = -1;
  for (let i = phones.length - 1; i >= 0 && from < 0; i--) {
    const phone = phones[i] ?? '';
    if (isVowel(phone) && stressOf(phone) > 0) from = i;
  }
  if (from < 0) from = phones.findLastIndex(isVowel);
  return from < 0 ? '' : phones.slice(from).map(bare).join(' ');
}
