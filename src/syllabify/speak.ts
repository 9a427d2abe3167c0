/**
 * A word's letters to the ways it is spoken: the teacher's own word first, then the dictionary, then the stems and
 * parts that the dictionary has, then a guess from the letters.
 */
import type { WordSource } from '../verse.ts';
import { align, nucleiOf } from './align.ts';
import type { SpellingIndex } from './align.ts';
import { divide } from './divide.ts';
import type { Spelled } from './divide.ts';
import { guess, openModel } from './guess.ts';
import type { GuessModel } from './guess.ts';
import type { Known } from './known-parts.ts';
import { pronunciationsOf } from './lexicon.ts';
import type { Lexicon } from './lexicon.ts';
import { bare, isVowel, rhymeOf, stressOf } from './phones.ts';
import type { Phone } from './phones.ts';
import { mergesOf, sameSounds } from './readings.ts';
import type { Merge } from './readings.ts';
import { seamsOf } from './seams.ts';
import { buildWord, restore } from './stems.ts';
import type { Stress } from '../verse.ts';

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
  const lookUp = (headword: string): readonly (readonly Phone[])[] => wordSounds(speaker, headword);
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
    const way = spell(speaker, letters, built.phones, built.seams, 'rule');
    if (way !== null) return withMerges(letters, way, []);
  }
  const plain = unstretched(letters).find((form) => lookUp(form).length > 0);
  if (plain !== undefined) return stretched(speaker, letters, plain);
  return [fromLetters(speaker, letters)];
}

/** The dictionary's sounds of a headword, less those that say its letters by name though it has a vowel: ba, da, baa. */
function wordSounds(speaker: Speaker, headword: string): readonly (readonly Phone[])[] {
  const known = speaker.found.get(headword);
  if (known !== undefined) return known;
  const found = pronunciationsOf(speaker.lexicon, headword).filter(
    (phones) => !/[aeiouy]/.test(headword) || headword.length < 2 || !saysLetters(headword, phones),
  );
  speaker.found.set(headword, found);
  return found;
}

/** Whether every letter has a vowel of its own, as when an abbreviation is spelled out. */
function saysLetters(headword: string, phones: readonly Phone[]): boolean {
  return phones.filter(isVowel).length >= headword.replaceAll("'", '').length;
}

function fromDictionary(
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
  const way = spell(speaker, letters, full, seams, 'dictionary');
  if (way === null) return [byName(letters, full)];
  const others = found.filter((_, index) => counts[index] !== most);
  const ways = [...withMerges(letters, way, others)];
  for (const phones of others) {
    const count = phones.filter(isVowel).length;
    if (ways.some((other) => other.stresses.length === count)) continue;
    const short = spell(speaker, letters, phones, [], 'dictionary');
    // The dictionary's order is not one of use, but its first form is a common one.
    if (short !== null) ways.push({ ...short, cost: phones === found[0] ? -LISTED : LISTED });
  }
  return ways;
}

/** What a form costs that the dictionary lists beside the full one. */
const LISTED = 60;
/** Words whose listed short form is the usual one in speech and song (common practice). */
const USUALLY_SHORT = /^(?:every|several|different|favou?rite|interest)/;

/** A full way and its short forms; those that the dictionary lists cost less. */
function withMerges(letters: string, way: Spoken, listed: readonly (readonly Phone[])[]): readonly Spoken[] {
  const short = mergesOf(letters, way.phones).map((merge) => {
    const isListed = listed.some((phones) => sameSounds(phones, merge.phones));
    const usual = isListed && USUALLY_SHORT.test(letters);
    return merged(way, merge, usual ? -LISTED : isListed ? Math.min(LISTED, merge.cost) : merge.cost);
  });
  return [way, ...short];
}

function merged(way: Spoken, merge: Merge, cost: number, rhyme = rhymeOf(merge.phones)): Spoken {
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

/** The ways whose every part has a letter to sing it on, if there are any: tum-bling, not tum-bl-ing. */
function singable(key: string, ways: readonly Spoken[]): readonly Spoken[] {
  const letters = key.replaceAll("'", '');
  const whole = ways.filter(({ cuts }) =>
    [0, ...cuts].every((start, i) => {
      const part = letters.slice(start, cuts[i] ?? letters.length);
      return /[aeiouy]/.test(part) || (part === 'nt' && key.endsWith("n't"));
    }),
  );
  return whole.length > 0 ? whole : ways;
}

/** The usual way first at cost 0, the others above it by rising cost, one for each count of syllables. */
function inOrder(ways: readonly Spoken[]): readonly Spoken[] {
  const sorted = [...ways].sort((a, b) => a.cost - b.cost || b.stresses.length - a.stresses.length);
  const base = sorted[0]?.cost ?? 0;
  return sorted
    .filter((way, i) => sorted.findIndex((other) => other.stresses.length === way.stresses.length) === i)
    .map((way) => ({ ...way, cost: way.cost - base }));
}

/** Lay a pronunciation on the letters and divide them; null when the letters have no room for its vowels. */
function spell(
  speaker: Speaker,
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
  const alignment = align(letters, phones, speaker.spellings);
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
function oneSyllable(letters: string): Spoken {
  const vowel = Math.max(0, letters.search(/[aeiouy]/));
  return { cuts: [], stresses: [2], vowels: [vowel], phones: [], rhyme: letters, cost: 0, source: 'rule' };
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

/** Letters said by name, each a part of its own as far as they reach: T V, A B C. */
function byName(letters: string, phones: readonly Phone[]): Spoken {
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

/** O'er, ev'ry, heav'n, dancin': the full word less the vowel that is not written. */
function shorten(
  speaker: Speaker,
  key: string,
  lookUp: (headword: string) => readonly (readonly Phone[])[],
): Spoken | null {
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
  return spell(speaker, letters, kept, seams, 'rule') ?? fromLetters(speaker, letters);
}

/** A drawn-out word with its runs of one letter cut to two and to one: soooo gives soo and so. */
function unstretched(letters: string): readonly string[] {
  if (!/(.)\1\1/.test(letters)) return [];
  return [letters.replace(/(.)\1{2,}/g, '$1$1'), letters.replace(/(.)\1{2,}/g, '$1')];
}

function stretched(speaker: Speaker, letters: string, plain: string): readonly Spoken[] {
  // Each letter of the plain word stands for a run of the drawn-out one.
  const ends: number[] = [];
  let place = 0;
  Array.from(plain).forEach((letter, index) => {
    const twin = plain[index + 1] === letter;
    place++;
    while (!twin && letters[place] === letter) place++;
    ends.push(place);
  });
  return speak(speaker, plain).map((way) => ({
    ...way,
    cuts: way.cuts.map((cut) => ends[cut - 1] ?? cut),
    vowels: way.vowels.map((vowel) => (vowel === 0 ? 0 : (ends[vowel - 1] ?? vowel))),
    source: 'rule' as const,
  }));
}

function fromLetters(speaker: Speaker, letters: string): Spoken {
  const { nuclei, graphemes } = guess(speaker.model, letters, (word) => knownWord(speaker, word));
  const spelled = {
    letters,
    nuclei: nuclei.map((nucleus) => ({ ...nucleus, short: nucleus.end - nucleus.start === 1 })),
    graphemes,
  };
  const strong = nuclei.findLastIndex((nucleus) => nucleus.stress > 0);
  const way: Spoken = {
    cuts: divide(spelled, []),
    stresses: nuclei.map((nucleus) => nucleus.stress),
    vowels: nuclei.map((nucleus) => nucleus.start),
    phones: [],
    rhyme: letters.slice(nuclei[Math.max(0, strong)]?.start ?? 0),
    cost: 0,
    source: 'rule',
  };
  return withoutMuteParts(letters, way);
}

/** A guess whose every part has a vowel letter: a part without one joins the part before it, or the first the second. */
function withoutMuteParts(letters: string, way: Spoken): Spoken {
  const mute = [0, ...way.cuts].findIndex(
    (start, index) => !/[aeiouy]/.test(letters.slice(start, way.cuts[index] ?? letters.length)),
  );
  if (mute < 0 || way.cuts.length === 0) return way;
  return withoutMuteParts(
    letters,
    merged(way, { at: Math.max(0, mute - 1), cost: 0, phones: [] }, 0, way.rhyme),
  );
}

/** A dictionary word's vowels and stress, as evidence for a word that has it as a part. */
function knownWord(speaker: Speaker, word: string): Known | null {
  const [phones] = wordSounds(speaker, word);
  if (phones === undefined) return null;
  const nuclei = nucleiOf(align(word, phones, speaker.spellings), phones, word);
  if (nuclei === null || nuclei.length === 0) return null;
  const primary = nuclei.findLastIndex((nucleus) => nucleus.stress === 2);
  return { vowels: nuclei.map((nucleus) => nucleus.start), primary: Math.max(0, primary) };
}
