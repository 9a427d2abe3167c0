/**
 * Words that no dictionary has: syllables and stress from the letters alone.
 */
import { isVowelLetter } from './align.ts';
import type { Grapheme, Nucleus } from './align.ts';

/** A guess: where the vowels are written, and which letters write one consonant together. */
export interface Guess {
  readonly nuclei: readonly Nucleus[];
  readonly graphemes: readonly Pick<Grapheme, 'start' | 'end'>[];
}

const DIGRAPHS = ['tch', 'dge', 'ch', 'ck', 'gh', 'kn', 'ng', 'ph', 'qu', 'sh', 'th', 'wh', 'wr'];

/** Guess a word of letters a to z: at least one nucleus, exactly one of primary stress. */
export function guess(letters: string): Guess {
  const groups: { start: number; end: number }[] = [];
  for (let i = 0; i < letters.length; i++) {
    if (!isVowelLetter(letters, i)) continue;
    const last = groups.at(-1);
    if (last?.end === i && !/i[ao]|[iuy]$/.test(letters.slice(last.start, i + 1))) last.end = i + 1;
    else if (last?.end === i && !/^i[ao]/.test(letters.slice(i - 1, i + 1))) last.end = i + 1;
    else groups.push({ start: i, end: i + 1 });
  }
  const silent =
    /[^aeiouyl]e$|[^aeiouytd]ed$|[^aeiouyszxcgh]es$/.test(letters) || /[aeiouy][lr]e$/.test(letters);
  if (silent && groups.length > 1) groups.pop();
  if (groups.length === 0) groups.push({ start: 0, end: letters.length });
  const strong =
    groups.length > 1 && /^(a|be|re|de|un|in|for|to|en|ex|dis)[^aeiouy]/.test(letters) && groups.length === 2
      ? 1
      : 0;
  const tonic = /(tion|sion|ic|ity|ian)s?$/.exec(letters);
  const stressed =
    tonic === null || groups.length < 3 ? strong : groups.findLastIndex((g) => g.end <= tonic.index);
  return {
    nuclei: groups.map((group, index) => ({ ...group, stress: index === Math.max(0, stressed) ? 2 : 0 })),
    graphemes: consonants(letters, groups),
  };
}

/** The letters that write no vowel, digraphs together. */
export function consonants(
  letters: string,
  vowels: readonly { readonly start: number; readonly end: number }[],
): readonly Pick<Grapheme, 'start' | 'end'>[] {
  const units: { start: number; end: number }[] = [];
  for (let i = 0; i < letters.length;) {
    const vowel = vowels.find(({ start, end }) => start <= i && i < end);
    const digraph = vowel ? undefined : DIGRAPHS.find((letters2) => letters.startsWith(letters2, i));
    const doubled = !vowel && letters[i] === letters[i + 1];
    const end = vowel ? vowel.end : i + (digraph?.length ?? (doubled ? 2 : 1));
    units.push({ start: i, end });
    i = end;
  }
  return units;
}
