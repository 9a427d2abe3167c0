/**
 * A word's letters to the ways it is spoken: the teacher's own word first, then the dictionary, then shortened words,
 * stems and endings that the dictionary has, then a guess from the letters.
 */
import type { WordSource } from '../verse.ts';
import { fromDictionary, withMerges } from './dictionary-ways.ts';
import { fromLetters } from './from-letters.ts';
import { pronunciationsOf } from './lexicon.ts';
import type { LookUp } from './seams.ts';
import { shorten, stretched, unstretched } from './shortened.ts';
import { saysLetters, wordSounds } from './speaker.ts';
import type { Speaker, Spoken } from './speaker.ts';
import { byName, oneSyllable, spell, withoutMuteParts } from './spell.ts';
import { buildWord } from './stems.ts';

/**
 * How a word is spoken: at least one way, the usual one first, then by rising cost, no two with the same count.
 *
 * @param key lower-case letters a to z and apostrophes, at least one letter.
 * @param capitals the word is typed in capitals among words that are not: it may be letters said by name.
 */
export function speak(speaker: Speaker, key: string, capitals = false): readonly Spoken[] {
  const named = capitals ? spelledOut(speaker, key) : null;
  if (named !== null) return [named];
  const known = speaker.spoken.get(key);
  if (known !== undefined) return known;
  const own = speaker.given.get(key) ?? speaker.given.get(key.replace(/^'+|'+$/g, ''));
  const ways = own === undefined ? inOrder(singable(key, findWays(speaker, key))) : [own];
  speaker.spoken.set(key, ways);
  return ways;
}

function findWays(speaker: Speaker, key: string): readonly Spoken[] {
  const lookUp: LookUp = (headword) => wordSounds(speaker, headword);
  const letters = key.replaceAll("'", '');
  const stripped = key.replace(/^'+|'+$/g, '');
  const owned = /^(.{2,})'s$/.exec(stripped)?.[1] ?? /^(.{2,})'$/.exec(key)?.[1];
  if (owned !== undefined && lookUp(owned).length > 0) return owners(speaker, owned, stripped.endsWith("'s"));
  for (const headword of new Set([key, key.replace(/^'+/, ''), key.replace(/'+$/, ''), stripped])) {
    const found = lookUp(headword);
    if (found.length > 0) return fromDictionary(speaker, key, found);
  }
  if (!/[aeiouy]/.test(letters)) return [oneSyllable(letters)];
  const shortened = shorten(speaker, key, lookUp);
  if (shortened !== null) return [shortened];
  if (owned !== undefined) return owners(speaker, owned, stripped.endsWith("'s"));
  const built = buildWord(letters, lookUp);
  if (built !== null) {
    const way = spell(speaker.spellings, letters, built.phones, built.seams, 'rule');
    if (way !== null) return withMerges(letters, way, []);
  }
  const plain = unstretched(letters).find((form) => lookUp(form).length > 0);
  if (plain !== undefined) return stretched(letters, plain, speak(speaker, plain));
  return [fromLetters(speaker, letters)];
}

/**
 * The ways whose every part has a letter to sing it on: tum-bling, not tum-bl-ing. A word that has none such loses its
 * mute parts, but those that are sung so: pris-m and rhyth-m, n't, an owner's s, letters said by name.
 */
function singable(key: string, ways: readonly Spoken[]): readonly Spoken[] {
  const letters = key.replaceAll("'", '');
  const whole = ways.filter(({ cuts }) =>
    [0, ...cuts].every((start, i) => {
      const part = letters.slice(start, cuts[i] ?? letters.length);
      return /[aeiouy]/.test(part) || (part === 'nt' && key.endsWith("n't"));
    }),
  );
  if (whole.length > 0) return whole;
  return ways.map((way) => {
    const named = way.cuts.every((cut, index) => cut === index + 1);
    return named || /(?:s|th)ms?$|'s$/.test(key) ? way : withoutMuteParts(letters, way);
  });
}

/** The usual way first at cost 0, the others above it by rising cost, one for each count of syllables. */
function inOrder(ways: readonly Spoken[]): readonly Spoken[] {
  const sorted = [...ways].sort((a, b) => a.cost - b.cost || b.stresses.length - a.stresses.length);
  const base = sorted[0]?.cost ?? 0;
  return sorted
    .filter((way, i) => sorted.findIndex((other) => other.stresses.length === way.stresses.length) === i)
    .map((way) => ({ ...way, cost: way.cost - base }));
}

/** A word in capitals that the dictionary spells out, or that has no vowel and is no hush or hum: null for others. */
function spelledOut(speaker: Speaker, key: string): Spoken | null {
  if (!/^[a-z]{2,6}$/.test(key) || speaker.given.has(key)) return null;
  const listed = pronunciationsOf(speaker.lexicon, key);
  const named = listed.find((phones) => saysLetters(key, phones));
  if (named !== undefined) return byName(key, named);
  return listed.length > 0 || /[aeiouy]|(.)\1|^(?:sh|ps)/.test(key)
    ? null
    : byName(
        key,
        Array.from(key, () => 'IY1'),
      );
}

/** The owner's sounds with an s; after a hiss it makes a syllable of its own, written with the last letters. */
function owners(speaker: Speaker, owner: string, added: boolean): readonly Spoken[] {
  const letters = owner.replaceAll("'", '');
  return speak(speaker, owner).map((way) => {
    if (!added) return way;
    const last = way.phones.at(-1) ?? '';
    const hiss =
      way.phones.length > 0 ? /^(?:S|Z|SH|ZH|CH|JH)$/.test(last) : /(?:[sxz]|ch|sh|[cgs]e)$/.test(letters);
    const rhyme = way.rhyme === '' ? '' : `${way.rhyme} Z`;
    const source: WordSource = way.source === 'given' ? 'given' : 'rule';
    if (!hiss) return { ...way, phones: way.phones.length > 0 ? [...way.phones, 'Z'] : [], rhyme, source };
    const from = letters.length - (/[cgs]e$/.test(letters) ? 2 : 0);
    const low = (way.cuts.at(-1) ?? 0) + 1;
    return {
      ...way,
      cuts: [...way.cuts, Math.max(from, low)],
      stresses: [...way.stresses, 0],
      vowels: [...way.vowels, Math.max(letters.length - 1, (way.vowels.at(-1) ?? 0) + 1)],
      rhyme,
      source,
    };
  });
}
