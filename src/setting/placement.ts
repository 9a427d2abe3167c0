/**
 * Verse -> Placement: every syllable of the rhyme on or off a beat, by an exact search over the whole rhyme. Knows no
 * note values and no pitches.
 */
import { writeBeatMarks } from '../beat-marks.ts';
import type {
  Charge,
  Division,
  EmptyBeat,
  PlacedLine,
  PlacedSyllable,
  Placement,
  RunnerUp,
} from '../placement.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import { ticksPerBeat, type BeatClass } from '../time.ts';
import { linesOf, type Line, type Verse } from '../verse.ts';
import { fillerTicks } from './grid.ts';
import type { LineLattice } from './line-lattice.ts';
import { chargeMarks, nodeAt, type Mark } from './line-marks.ts';
import type { ShapeCode } from './line-pairs.ts';
import { candidateMarks, type Candidate } from './line-choices.ts';
import { costOf, weightsFor, type Sink, type WeightPairs } from './placement-rules.ts';
import { PLACEMENT_WEIGHTS } from './placement-weights.data.ts';
import {
  chargeContext,
  costInPlace,
  runnerUpOf,
  searchVerse,
  type OtherWay,
  type VerseChoice,
} from './verse-search.ts';

export interface PlacementOptions {
  /** The beat class asked for, or null to choose by the words. */
  readonly beatClass: BeatClass | null;
  /** Beats that every line has, or null to choose. */
  readonly beats: number | null;
}

/**
 * Place the words of a rhyme on beats.
 *
 * Exact for the stated costs: no other placement of the whole rhyme costs less. Given lines are kept as they are.
 * `weights` are for measuring other weights against the usual ones.
 * Problems: `beats-contradict`, `no-placement` (errors); `close-call` (note).
 */
export function placeBeats(
  verse: Verse,
  options: PlacementOptions,
  weights: WeightPairs = PLACEMENT_WEIGHTS,
): Outcome<Placement> {
  const lines = linesOf(verse);
  const contradictions = contradicting(lines, options.beats);
  if (contradictions.length > 0) return failed(...contradictions);
  const classes: readonly BeatClass[] =
    options.beatClass === null ? ['simple', 'compound'] : [options.beatClass];
  const asked = classes.map((beatClass) => [beatClass, weightsFor(beatClass, weights)] as const);
  const found = searchVerse(lines, asked, options.beats);
  if ('stuckAt' in found) return failed(noPlacement(lines[found.stuckAt], options.beats));
  const best = found.reduce((one, other) => (other.cost < one.cost ? other : one));
  const others = lines.map((_, index) => runnerUpOf(best, index));
  const placement = placementOf(verse.title, best, others);
  const close = placement.lines.filter(({ cost }, index) => (others[index]?.cost ?? Infinity) - cost < CLOSE);
  return made(placement, close.flatMap(closeCall));
}

function contradicting(lines: readonly Line[], beats: number | null): readonly Problem[] {
  if (beats === null) return [];
  return lines.flatMap((line): readonly Problem[] => {
    const own = line.given?.filter((mark) => mark.kind !== 'off').length ?? beats;
    if (own === beats) return [];
    return [
      {
        code: 'beats-contradict',
        severity: 'error',
        message: `Line ${String(line.number)}, "${line.text}", is marked with ${String(own)} beats, but every line is asked to have ${String(beats)}.`,
        line: line.number,
        span: line.span,
        hint: 'Mark empty beats with |- or take the number of beats away.',
      },
    ];
  });
}

function noPlacement(line: Line | undefined, beats: number | null): Problem {
  const asked = beats === null ? '' : ` with ${String(beats)} beats`;
  return {
    code: 'no-placement',
    severity: 'error',
    message: `Line ${String(line?.number ?? 1)}, "${line?.text ?? ''}", cannot be placed${asked}.`,
    ...(line === undefined ? {} : { line: line.number, span: line.span }),
    hint: 'Mark its beats with | or ask for another number of beats.',
  };
}

/**
 * How much dearer the runner-up may be, in hundredths of a natural logarithm, for the line to be shown to the teacher:
 * below it, the other way is at least two thirds as likely.
 */
const CLOSE = 40;

function closeCall({ line, runnerUp }: PlacedLine): readonly Problem[] {
  if (runnerUp === null) return [];
  return [
    {
      code: 'close-call',
      severity: 'note',
      message: `Line ${String(line.number)}, "${line.text}", could as well go: ${runnerUp.notation}`,
      line: line.number,
      span: line.span,
      hint: 'If that is how the children say it, put this line in the rhyme as it stands here, with its marks.',
    },
  ];
}

function placementOf(title: string, choice: VerseChoice, others: readonly (OtherWay | null)[]): Placement {
  const { beatClass, chosen } = choice;
  const marked = chosen.map((candidate, index) => marksIn(choice, index, candidate));
  const lines = choice.lines.map((line, index): PlacedLine => {
    const marks = marked[index] ?? [];
    const tail = tailBefore(marked[index - 1]);
    const other = others[index] ?? null;
    // Ledgers and the other way's notation are worked out when they are looked at: most lines' never are.
    const ledger = once(() => ledgerOf(choice, index, marks, chosen[index]?.code));
    const runnerUp = once(() => (other === null ? null : runnerUpFrom(choice, index, other)));
    return {
      line: line.lattice.line,
      beats: beatsIn(marks),
      syllables: placeMarks(line.lattice, marks, beatClass, upbeatIn(marked[index + 1]), tail),
      emptyBeats: emptyBeatsOf(line.lattice, marks),
      given: line.given !== null,
      cost: costInPlace(choice, index),
      get ledger() {
        return ledger();
      },
      get runnerUp() {
        return runnerUp();
      },
    };
  });
  return { title, beatClass, ticksPerBeat: ticksPerBeat(beatClass), lines };
}

function marksIn({ lines }: VerseChoice, index: number, candidate: Candidate): readonly Mark[] {
  const line = lines[index];
  return line === undefined ? [] : candidateMarks(line, candidate);
}

function beatsIn(marks: readonly Mark[]): number {
  return marks.filter((mark) => mark.kind !== 'off').length;
}

/** Syllables before the first beat. */
function upbeatIn(marks: readonly Mark[] | undefined): number {
  return marks === undefined ? 0 : marks.findIndex((mark) => mark.kind !== 'off');
}

/** Syllables of the line before that share the beat of this line's upbeat. */
function tailBefore(marks: readonly Mark[] | undefined): number {
  if (marks === undefined) return 0;
  return marks.length - 1 - marks.findLastIndex((mark) => mark.kind !== 'off');
}

/** Everything that the line pays, by itself and with the lines around it. */
function ledgerOf(
  choice: VerseChoice,
  index: number,
  marks: readonly Mark[],
  shape: ShapeCode | undefined,
): readonly Charge[] {
  const lattice = choice.lines[index]?.lattice;
  if (lattice === undefined || shape === undefined) return [];
  const order = marks.flatMap((mark) => (mark.kind === 'empty' ? [] : [mark.node]));
  const ledger: Charge[] = [];
  const sink: Sink = (rule, node, amount) => {
    const cost = costOf(choice.costs.weights, rule, amount);
    const syllable = order.indexOf(node);
    if (cost !== 0) ledger.push({ rule, cost, syllable: syllable < 0 ? null : syllable });
  };
  chargeMarks(lattice, marks, sink);
  chargeContext(choice, index, shape, sink);
  return ledger;
}

function runnerUpFrom(choice: VerseChoice, index: number, other: OtherWay): RunnerUp | null {
  const lattice = choice.lines[index]?.lattice;
  if (lattice === undefined) return null;
  const { beatClass } = choice;
  const marks = other.marks();
  return {
    notation: writeBeatMarks({
      syllables: placeMarks(lattice, marks, beatClass, 0, 0),
      emptyBeats: emptyBeatsOf(lattice, marks),
      line: lattice.line,
      beats: beatsIn(marks),
      ticksPerBeat: ticksPerBeat(beatClass),
    }),
    cost: other.cost,
    ledger: ledgerOf(choice, index, marks, other.code),
  };
}

/** A value that is worked out when it is first asked for. */
function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | null = null;
  return () => (made ??= { value: make() }).value;
}

/** Every syllable in its place: fillers of a beat share it as `fillerTicks` says. */
function placeMarks(
  lattice: LineLattice,
  marks: readonly Mark[],
  beatClass: BeatClass,
  nextUpbeat: number,
  previousTail: number,
): readonly PlacedSyllable[] {
  const perBeat = ticksPerBeat(beatClass);
  const placed: PlacedSyllable[] = [];
  let beat = -1;
  for (let start = 0; start < marks.length;) {
    const mark = marks[start];
    if (mark === undefined) break;
    if (mark.kind !== 'off') {
      beat += 1;
      if (mark.kind === 'on') placed.push(placedSyllable(lattice, mark.node, beat * perBeat, beat));
      start += 1;
      continue;
    }
    let end = start;
    while (marks[end]?.kind === 'off') end += 1;
    const own = end - start;
    const before = beat < 0 ? previousTail : 0;
    const after = end === marks.length ? nextUpbeat : 0;
    const ticks = fillerTicks(beatClass, before + own + after);
    for (let place = 0; place < own; place++) {
      const off = marks[start + place];
      if (off?.kind === 'off')
        placed.push(placedSyllable(lattice, off.node, beat * perBeat + (ticks[before + place] ?? 0), null));
    }
    start = end;
  }
  return placed;
}

function placedSyllable(
  lattice: LineLattice,
  index: number,
  at: number,
  beat: number | null,
): PlacedSyllable {
  const node = nodeAt(lattice, index);
  return { syllable: node.syllable, word: node.word, division: divisionOf(node.index, node.count), at, beat };
}

function divisionOf(index: number, count: number): Division {
  if (count === 1) return 'single';
  return index === 0 ? 'begin' : index === count - 1 ? 'end' : 'middle';
}

function emptyBeatsOf(lattice: LineLattice, marks: readonly Mark[]): readonly EmptyBeat[] {
  const empty: EmptyBeat[] = [];
  let beat = -1;
  marks.forEach((mark, place) => {
    if (mark.kind !== 'off') beat += 1;
    if (mark.kind !== 'empty') return;
    const before = wordAt(
      lattice,
      marks.slice(0, place).findLast((other) => other.kind !== 'empty'),
    );
    const after = wordAt(
      lattice,
      marks.slice(place + 1).find((other) => other.kind !== 'empty'),
    );
    empty.push({ beat, sound: mark.sound, insideWord: before !== null && before === after });
  });
  return empty;
}

function wordAt(lattice: LineLattice, mark: Mark | undefined): number | null {
  return mark === undefined || mark.kind === 'empty' ? null : nodeAt(lattice, mark.node).word;
}
