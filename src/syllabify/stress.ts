/**
 * How much each syllable of a line wants a beat.
 */
import type { Stress, Word } from '../verse.ts';
import type { DraftWord } from './draft.ts';

const WEAK = new Set(
  'a an the of to in on at by for from with and but or nor as than my your his her its our their i he she it we they you is am are was were be'.split(
    ' ',
  ),
);

/** Give every syllable of a line its prominence, as `Syllable` explains it. */
export function markProminence(line: readonly DraftWord[]): readonly Word[] {
  return line.map((word) => {
    const mark = (syllable: { text: string; stress: Stress }, count: number) => {
      if (count === 1 && WEAK.has(word.key)) return { ...syllable, prominence: -150, reason: 'little word' };
      return syllable.stress > 0
        ? { ...syllable, prominence: 250, reason: 'stressed syllable' }
        : { ...syllable, prominence: -250, reason: 'unstressed syllable' };
    };
    const [first, ...others] = word.readings.map((reading) => ({
      syllables: reading.syllables.map((syllable) => mark(syllable, reading.syllables.length)),
      cost: reading.cost,
      rhyme: reading.rhyme,
    }));
    if (first === undefined) throw new RangeError('A word has at least one reading.');
    return {
      text: word.text,
      span: word.span,
      source: word.source,
      edge: word.edge,
      readings: [first, ...others],
    };
  });
}
