/**
 * A placed line in the notation that the teacher writes: `|` before each syllable on a beat, `|-` a beat on which none
 * begins. What is written here reads back to the same words on the same beats.
 */
import type { EmptyBeat, PlacedSyllable } from './placement.ts';
import type { EmptySound, Line, Word } from './verse.ts';

/** The parts of a placed line that its notation shows. */
export interface MarkedLine {
  readonly beats: number;
  readonly syllables: readonly PlacedSyllable[];
  readonly emptyBeats: readonly EmptyBeat[];
  readonly line: Line;
  /** Ticks of one beat, by which the place of a syllable between empty beats is told. */
  readonly ticksPerBeat: number;
}

const EMPTY: Readonly<Record<EmptySound, string>> = { free: '|-', held: '|=', silent: '|z' };

/**
 * Write the marks of one line. Parts of a word join without a space; a hyphen of the word itself is doubled.
 *
 * @example writeBeatMarks(line) // => '|Hick-o-ry, |dick-o-ry |dock. |-'
 */
export function writeBeatMarks({ syllables, emptyBeats, line, ticksPerBeat }: MarkedLine): string {
  let text = '';
  let next = 0;
  const emptiesBefore = (at: number, joined: boolean): boolean => {
    const start = next;
    for (; (emptyBeats[next]?.beat ?? Infinity) * ticksPerBeat < at; next++) {
      const empty = EMPTY[emptyBeats[next]?.sound ?? 'free'];
      text += joined || text === '' ? empty : ` ${empty}`;
    }
    return next > start;
  };
  syllables.forEach((placed, index) => {
    const begins = placed.division === 'single' || placed.division === 'begin';
    const empties = emptiesBefore(placed.at, !begins);
    if (begins && index > 0) text += ' ';
    else if (begins && empties) text += ' ';
    else if (!begins && !empties && placed.beat === null && !text.endsWith('-')) text += '-';
    text += (placed.beat === null ? '' : '|') + writtenPart(placed);
    const ends = placed.division === 'single' || placed.division === 'end';
    if (ends && index < syllables.length - 1) text += dashAfter(line.words[placed.word]);
  });
  emptiesBefore(Infinity, false);
  return text;
}

/** A syllable with the word's own hyphens doubled; a dash after the word as one sign, since `--` is a hyphen here. */
function writtenPart({ syllable, division }: PlacedSyllable): string {
  const ends = division === 'single' || division === 'end';
  const dashed = ends ? syllable.text.replace(/--+$/, '—') : syllable.text;
  return dashed.replaceAll('-', '--');
}

/** A dash that stood alone after the word: its pause is no part of the word as typed. */
function dashAfter(word: Word | undefined): string {
  return word?.edge === 2 && !/[.!?:;…–—-]/.test(word.text) ? ' —' : '';
}
