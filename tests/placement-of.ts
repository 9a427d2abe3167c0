/** Placements written by hand for tests: each line is a list of `[text, ticks from the first beat]`. */
import type { PlacedLine, PlacedSyllable, Placement } from '../src/placement.ts';
import { ticksPerBeat, type BeatClass } from '../src/time.ts';
import type { EmptySound, Line, Syllable } from '../src/verse.ts';

export interface LineSketch {
  readonly beats: number;
  readonly stanza?: number;
  /** One-syllable words, or parts of a word with a hyphen after all but the last. */
  readonly syllables: readonly (readonly [text: string, at: number])[];
  readonly empty?: Readonly<Record<number, EmptySound>>;
}

export function placementOf(beatClass: BeatClass, sketches: readonly LineSketch[]): Placement {
  const beat = ticksPerBeat(beatClass);
  return {
    title: 'Sketch',
    beatClass,
    ticksPerBeat: beat,
    lines: sketches.map((sketch, i) => placedLine(sketch, i + 1, beat)),
  };
}

function placedLine(sketch: LineSketch, number: number, beat: number): PlacedLine {
  let word = 0;
  let inWord = false;
  const syllables = sketch.syllables.map(([text, at]): PlacedSyllable => {
    const goesOn = text.endsWith('-');
    const division = inWord ? (goesOn ? 'middle' : 'end') : goesOn ? 'begin' : 'single';
    const syllable: Syllable = {
      text: goesOn ? text.slice(0, -1) : text,
      stress: 2,
      prominence: 0,
      reason: 'sketch',
    };
    const placed = {
      syllable,
      word,
      division,
      at,
      beat: at >= 0 && at % beat === 0 ? at / beat : null,
    } as const;
    inWord = goesOn;
    if (!goesOn) word += 1;
    return placed;
  });
  const words = [...new Set(syllables.map((s) => s.word))].map((index): Line['words'][number] => {
    const own = syllables.filter((s) => s.word === index).map((s) => s.syllable);
    const text = own.map((s) => s.text).join('');
    return {
      text,
      span: { start: 0, end: 1 },
      source: 'given',
      edge: 0,
      readings: [{ syllables: own, cost: 0, rhyme: text }],
    };
  });
  const line: Line = {
    number,
    stanza: sketch.stanza ?? 1,
    text: words.map((w) => w.text).join(' '),
    span: { start: 0, end: 1 },
    words,
    given: null,
  };
  const onBeats = new Set(syllables.map((s) => s.beat));
  const emptyBeats = Array.from({ length: sketch.beats }, (_, b) => b)
    .filter((b) => !onBeats.has(b))
    .map((b) => ({
      beat: b,
      sound: sketch.empty?.[b] ?? ('free' as const),
      insideWord: isInsideWord(syllables, b * beat),
    }));
  return {
    line,
    beats: sketch.beats,
    syllables,
    emptyBeats,
    given: true,
    cost: 0,
    ledger: [],
    runnerUp: null,
  };
}

function isInsideWord(syllables: readonly PlacedSyllable[], at: number): boolean {
  const before = syllables.filter((s) => s.at < at).at(-1);
  return before?.division === 'begin' || before?.division === 'middle';
}
