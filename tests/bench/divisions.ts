/**
 * How the written division of words agrees with printed song books: `npm run bench:divisions -- FILE...`. Reads lines
 * whose words are divided by `-` and `|` (verse files) and JSON songs with a text for each syllable.
 */
import { readFileSync } from 'node:fs';
import { openLexicon, readVerse } from '../../src/syllabify/index.ts';

const lexicon = openLexicon(readFileSync('dist/pronunciations.bin'));
const letters = (text: string): string =>
  text
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}'’]/gu, '');

/** Printed divisions: the parts of each word that has two or more, as often as it stands. */
function printed(file: string): readonly (readonly string[])[] {
  const text = readFileSync(file, 'utf8');
  if (!file.endsWith('.json')) {
    const lines = text.split('\n').filter((line) => !/^(?:#|==|$)/.test(line));
    const words = lines.flatMap((line) =>
      line
        .replace(/^~/, '')
        .replace(/\|[-=z](?=-|\s|$)/g, ' ')
        .split(/\s+/),
    );
    return words
      .map((word) =>
        word
          .split(/-+\|?|\|/)
          .map(letters)
          .filter((part) => part !== ''),
      )
      .filter((parts) => parts.length > 1);
  }
  const songs = JSON.parse(text) as {
    lines: { syllables: { text: string; word: number; spoken?: number }[] }[];
  }[];
  return songs.flatMap((song) =>
    song.lines.flatMap((line) => {
      const words = new Map<number, string[]>();
      for (const { text: part, word, spoken } of line.syllables) {
        // Parts that stand for more or fewer syllables than are spoken show the tune, not the word.
        words.set(word, [...(words.get(word) ?? []), spoken === undefined ? letters(part) : '']);
      }
      return [...words.values()].filter((parts) => parts.length > 1 && !parts.includes(''));
    }),
  );
}

const verdicts = { words: 0, count: 0, first: 0, same: 0 };
const misses = new Map<string, number>();
for (const parts of process.argv.slice(2).flatMap(printed)) {
  const read = readVerse(parts.join(''), { lexicon });
  const readings = read.ok ? (read.value.stanzas[0]?.lines[0]?.words[0]?.readings ?? []) : [];
  const divided = readings.map((reading) => reading.syllables.map((syllable) => letters(syllable.text)));
  verdicts.words++;
  if (divided[0]?.length === parts.length) verdicts.first++;
  const mine = divided.find((candidate) => candidate.length === parts.length);
  if (mine !== undefined) verdicts.count++;
  if (mine?.join('-') === parts.join('-')) verdicts.same++;
  else {
    const miss = `${parts.join('-')} (${divided.map((candidate) => candidate.join('-')).join(' / ')})`;
    misses.set(miss, (misses.get(miss) ?? 0) + 1);
  }
}
const per = (part: number, whole: number): string =>
  `${((100 * part) / whole).toFixed(1)} % of ${String(whole)}`;
console.log(`usual reading has the printed number of parts: ${per(verdicts.first, verdicts.words)}`);
console.log(`some reading has it:                           ${per(verdicts.count, verdicts.words)}`);
console.log(`divided as printed, given the number:          ${per(verdicts.same, verdicts.count)}`);
for (const [miss, times] of [...misses].sort((a, b) => b[1] - a[1]))
  console.log(`  ${miss}${times > 1 ? ` x${String(times)}` : ''}`);
