/**
 * Song + pronunciations -> how each of its syllables is stressed when the word is spoken. For `checkSong`.
 */
import type { Song } from './song.ts';
import { readVerse, type Lexicon } from './syllabify/index.ts';
import { linesOf, type Reading, type Stress, type Word } from './verse.ts';

/** Stress of a syllable (phrase and syllable counted from 0); null where the word is not known in so many syllables. */
export type StressOf = (phrase: number, syllable: number) => Stress | null;

/**
 * Look up the words of a song. A word counts in the reading that has as many syllables as are sung.
 *
 * @param words the teacher's own syllables and stress by word, as in a rhyme file.
 */
export function wordStress(
  song: Song,
  lexicon: Lexicon,
  words: Readonly<Record<string, string>> = {},
): StressOf {
  const sung = song.phrases.map(({ notes }) => notes.flatMap(({ syllable }) => syllable ?? []));
  const texts = sung.map((syllables) => {
    const put: { text: string; count: number }[] = [];
    for (const { text, word } of syllables) {
      const before = put[word];
      put[word] = { text: (before?.text ?? '') + text, count: (before?.count ?? 0) + 1 };
    }
    return put;
  });
  const known = spokenWords([...new Set(texts.flat().map(({ text }) => text))], lexicon, words);
  const stresses = sung.map((syllables, p) =>
    syllables.map(({ word }, i): Stress | null => {
      const { text = '', count = 0 } = texts[p]?.[word] ?? {};
      const reading = readingOf(known.get(text), count);
      const first = syllables.findIndex((each) => each.word === word);
      return reading?.syllables[i - first]?.stress ?? null;
    }),
  );
  return (phrase, syllable) => stresses[phrase]?.[syllable] ?? null;
}

function readingOf(word: Word | undefined, count: number): Reading | null {
  return word?.readings.find((reading) => reading.syllables.length === count) ?? null;
}

/** Each word read by itself, a word on a line of its own; what is no single plain word is left out. */
function spokenWords(
  texts: readonly string[],
  lexicon: Lexicon,
  given: Readonly<Record<string, string>>,
): ReadonlyMap<string, Word> {
  const plain = texts.filter((text) => /\p{L}/u.test(text) && !/[|#\s\\]/.test(text));
  const found = new Map<string, Word>();
  if (plain.length === 0) return found;
  const verse = readVerse(plain.join('\n'), { lexicon, words: given });
  if (!verse.ok) return found;
  for (const line of linesOf(verse.value)) {
    const [word, ...more] = line.words;
    if (word !== undefined && more.length === 0) found.set(line.text.trim(), word);
  }
  return found;
}
