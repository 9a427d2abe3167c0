/**
 * Placement -> text: the scan in beat notation (which is valid input), as JSON, and in plain words. Decides nothing.
 */
import { writeBeatMarks } from '../beat-marks.ts';
import type { Placement, PlacedLine } from '../placement.ts';
import type { Ticks } from '../time.ts';
import type { Syllable, WordSource } from '../verse.ts';

/** The scan as one object; the shape is that of the published form `chantwright-scan`. */
export interface ScanJson {
  readonly format: 'chantwright-scan';
  readonly version: 1;
  readonly metre: { readonly beatClass: Placement['beatClass'] };
  readonly ticksPerBeat: Ticks;
  readonly lines: readonly ScanLine[];
}

export interface ScanLine {
  /** Counts from 1. */
  readonly line: number;
  readonly stanza: number;
  readonly text: string;
  readonly beats: number;
  readonly notation: string;
  readonly syllables: readonly ScanSyllable[];
  /** Beats of the line, from 0, on which no syllable begins. */
  readonly emptyBeats: readonly number[];
  readonly cost: number;
  readonly runnerUp: { readonly notation: string; readonly cost: number } | null;
}

export interface ScanSyllable {
  readonly text: string;
  readonly word: number;
  readonly stress: Syllable['stress'];
  /** Ticks from the line's first beat; negative in the upbeat. */
  readonly at: Ticks;
  readonly beat: number | null;
  readonly source: WordSource;
}

/** The whole rhyme in beat notation, a blank line between stanzas; ends with a line end. */
export function writeNotation(placement: Placement): string {
  return joinStanzas(placement, (line) => notationOf(line, placement.ticksPerBeat));
}

/** One placed line in beat notation. */
export function notationOf(line: PlacedLine, ticksPerBeat: Ticks): string {
  return writeBeatMarks({ ...line, ticksPerBeat });
}

function joinStanzas(placement: Placement, write: (line: PlacedLine) => string): string {
  let text = '';
  placement.lines.forEach((line, index) => {
    const before = placement.lines[index - 1];
    if (before !== undefined && before.line.stanza !== line.line.stanza) text += '\n';
    text += `${write(line)}\n`;
  });
  return text;
}

/** The scan as a JSON value. */
export function scanJson(placement: Placement): ScanJson {
  const { beatClass, ticksPerBeat, lines } = placement;
  return {
    format: 'chantwright-scan',
    version: 1,
    metre: { beatClass },
    ticksPerBeat,
    lines: lines.map((placed) => ({
      line: placed.line.number,
      stanza: placed.line.stanza,
      text: placed.line.text,
      beats: placed.beats,
      notation: notationOf(placed, ticksPerBeat),
      syllables: placed.syllables.map(({ syllable, word, at, beat }) => ({
        text: syllable.text,
        word,
        stress: syllable.stress,
        at,
        beat,
        source: placed.line.words[word]?.source ?? 'rule',
      })),
      emptyBeats: placed.emptyBeats.map(({ beat }) => beat),
      cost: placed.cost,
      runnerUp:
        placed.runnerUp === null ? null : { notation: placed.runnerUp.notation, cost: placed.runnerUp.cost },
    })),
  };
}
