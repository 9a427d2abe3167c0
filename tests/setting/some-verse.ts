/** Verses made by hand or at random for the tests of placement: each syllable with the prominence that it is given. */
import type { Random } from '../../src/random.ts';
import type { GivenMark, Line, Reading, Stress, Verse, Word } from '../../src/verse.ts';

export interface SketchSyllable {
  readonly text: string;
  readonly stress: Stress;
  readonly prominence: number;
}

export function wordFrom(readings: readonly (readonly SketchSyllable[])[], edge: Word['edge'] = 0): Word {
  const made = readings.map((syllables, index): Reading => ({
    syllables: syllables.map((syllable) => ({ ...syllable, reason: 'sketch' })),
    cost: 90 * index,
    rhyme: syllables.at(-1)?.text ?? '',
  }));
  const [first, ...others] = made;
  if (first === undefined) throw new RangeError('a word has a reading');
  return {
    text: first.syllables.map((syllable) => syllable.text).join(''),
    span: { start: 0, end: 1 },
    source: 'given',
    edge,
    readings: [first, ...others],
  };
}

export function verseFrom(
  lines: readonly (readonly Word[])[],
  given: readonly (readonly GivenMark[] | null)[] = [],
): Verse {
  return {
    title: 'Sketch',
    stanzas: [
      {
        number: 1,
        lines: lines.map((words, index): Line => ({
          number: index + 1,
          stanza: 1,
          text: words.map((word) => word.text).join(' '),
          span: { start: 0, end: 1 },
          words,
          given: given[index] ?? null,
        })),
      },
    ],
  };
}

/** Words with this many syllables in all (in their usual readings), some of them longer, some with two readings. */
export function randomWords(random: Random, syllables: number): readonly Word[] {
  const words: Word[] = [];
  const pick = (count: number): number => random() % count;
  const syllable = (stress: Stress): SketchSyllable => ({
    text: 'abcdefg'.charAt(pick(7)) + 'aeiou'.charAt(pick(5)),
    stress,
    prominence: stress === 2 ? 50 + pick(300) : stress === 1 ? -40 + pick(80) : -(50 + pick(300)),
  });
  for (let left = syllables; left > 0;) {
    const size = Math.min(left, 1 + (pick(3) === 0 ? 1 : 0) + (pick(6) === 0 ? 1 : 0));
    const strong = pick(size);
    const usual = Array.from({ length: size }, (_, at) =>
      syllable(size === 1 ? (pick(2) === 0 ? 2 : 0) : at === strong ? 2 : 0),
    );
    const shorter = size > 1 && pick(3) === 0 ? [usual.slice(0, size - 1)] : [];
    words.push(wordFrom([usual, ...shorter], pick(5) === 0 ? 1 : 0));
    left -= size;
  }
  return words;
}
