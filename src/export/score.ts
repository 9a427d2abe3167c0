/**
 * Song -> score: front matter, then a block for each phrase with rhythm, solfa letters and words beneath one another.
 * Plain text that reads well on a board, and that `readScore` reads back to the same song.
 */
import { DEFAULT_NAMES, findRhythmNames, type RhythmNames } from '../rhythm-names.ts';
import type { Song, SongPhrase } from '../song.ts';
import { wordsOf } from './bars.ts';
import { layRows, phraseColumns, rhythmWriter } from './score-columns.ts';
import { scoreMatter } from './score-matter.ts';

export interface ScoreOptions {
  /** What the rhythm is said with; `ta-ti` when left out. */
  readonly names?: RhythmNames;
  /** Drawn bar lines and note signs instead of plain ASCII. Given names keep their own words. */
  readonly unicode?: boolean;
  /** Characters on a line, at least 20; longer phrases go on in a second row. 76 when left out. */
  readonly width?: number;
}

/**
 * Write a song as a score.
 *
 * @example
 * // Line 1   a   open
 * //   | ta    ta   | ti---ti   ta   |
 * //   | s     m    | s    s    m    |
 * //   | Bee,  bee, | bum- ble- bee, |
 */
export function writeScore(song: Song, options: ScoreOptions = {}): string {
  const unicode = options.unicode === true;
  const names = options.names ?? findRhythmNames(unicode ? 'glyphs' : DEFAULT_NAMES);
  if (names === null) throw new RangeError('The default rhythm names are missing.');
  const signs = unicode ? { single: '\u2502', double: '\u2551' } : { single: '|', double: '||' };
  const writer = rhythmWriter(song, names);
  const named = song.phrases.some((phrase) => phrase.stanza !== 1);
  const blocks = [scoreMatter(song, names.name)];
  let stanza = 0;
  for (const phrase of song.phrases) {
    if (named && phrase.stanza !== stanza) blocks.push(`Stanza ${String(phrase.stanza)}`);
    stanza = phrase.stanza;
    const [first = [], ...more] = layRows(phraseColumns(song, phrase, writer), signs, options.width ?? 76);
    blocks.push([phraseLabel(phrase), ...first].join('\n'), ...more.map((row) => row.join('\n')));
  }
  return `${blocks.join('\n\n')}\n`;
}

/** `Line 1   a   open`; the words as typed follow when the syllables alone would not give them back. */
function phraseLabel(phrase: SongPhrase): string {
  const parts = [`Line ${String(phrase.line)}`, phrase.form, phrase.cadence];
  if (phrase.text !== wordsOf(phrase.notes)) parts.push(`words: ${phrase.text}`);
  return parts.join('   ');
}
