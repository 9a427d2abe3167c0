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
import type { Shape } from './line-pairs.ts';
import { costOf, weightsFor, type Sink, type WeightPairs, type Weights } from './placement-rules.ts';
import { PLACEMENT_WEIGHTS } from './placement-weights.data.ts';
import { chargeContext, runnerUpOf, searchVerse, type VerseChoice } from './verse-search.ts';

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
  const found = classes.map((beatClass) =>
    searchVerse(lines, beatClass, options.beats, weightsFor(beatClass, weights)),
  );
  const choices = found.filter((choice) => 'chosen' in choice).sort((a, b) => a.cost - b.cost);
  const [best] = choices;
  if (best === undefined) {
    const stuck = found.find((choice) => 'stuckAt' in choice);
    return failed(noPlacement(lines[stuck?.stuckAt ?? 0], options.beats));
  }
  const placement = placementOf(verse.title, best, weights);
  return made(placement, placement.lines.flatMap(closeCall));
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

function closeCall(placed: PlacedLine): readonly Problem[] {
  const { line, runnerUp: other, cost } = placed;
  if (placed.given || other === null || other.cost - cost >= CLOSE) return [];
  return [
    {
      code: 'close-call',
      severity: 'note',
      message: `Line ${String(line.number)}, "${line.text}", could as well go: ${other.notation}`,
      line: line.number,
      span: line.span,
      hint: 'If that is how the children say it, put this line in the rhyme as it stands here, with its marks.',
    },
  ];
}

function placementOf(title: string, choice: VerseChoice, pairs: WeightPairs): Placement {
  const { beatClass } = choice;
  const weights = weightsFor(beatClass, pairs);
  const marked = choice.lines.map((line, index) => line.candidates[choice.chosen[index] ?? 0]?.marks() ?? []);
  const upbeats = marked.map((marks) => marks.findIndex((mark) => mark.kind !== 'off'));
  const lines = choice.lines.map((line, index): PlacedLine => {
    const marks = marked[index] ?? [];
    const chosen = line.candidates[choice.chosen[index] ?? 0];
    const ledger = chosen === undefined ? [] : ledgerOf(choice, index, marks, chosen, weights);
    return {
      line: line.lattice.line,
      beats: marks.filter((mark) => mark.kind !== 'off').length,
      syllables: placeMarks(
        line.lattice,
        marks,
        beatClass,
        upbeats[index + 1] ?? 0,
        tailBefore(marked[index - 1]),
      ),
      emptyBeats: emptyBeatsOf(line.lattice, marks),
      given: line.given,
      cost: ledger.reduce((total, charge) => total + charge.cost, 0),
      ledger,
      runnerUp: runnerUp(choice, index, weights),
    };
  });
  return { title, beatClass, ticksPerBeat: ticksPerBeat(beatClass), lines };
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
  shape: Shape,
  weights: Weights,
): readonly Charge[] {
  const lattice = choice.lines[index]?.lattice;
  if (lattice === undefined) return [];
  const order = marks.flatMap((mark) => (mark.kind === 'empty' ? [] : [mark.node]));
  const ledger: Charge[] = [];
  const sink: Sink = (rule, node, amount) => {
    const cost = costOf(weights, rule, amount);
    const syllable = order.indexOf(node);
    if (cost !== 0) ledger.push({ rule, cost, syllable: syllable < 0 ? null : syllable });
  };
  chargeMarks(lattice, marks, sink);
  chargeContext(choice, index, shape, sink);
  return ledger;
}

function runnerUp(choice: VerseChoice, index: number, weights: Weights): RunnerUp | null {
  const other = runnerUpOf(choice, index, weights);
  const lattice = choice.lines[index]?.lattice;
  if (other === null || lattice === undefined) return null;
  const { beatClass } = choice;
  return {
    notation: writeBeatMarks({
      syllables: placeMarks(lattice, other.marks, beatClass, 0, 0),
      emptyBeats: emptyBeatsOf(lattice, other.marks),
      beats: other.shape.beats,
      ticksPerBeat: ticksPerBeat(beatClass),
    }),
    cost: other.cost,
    ledger: ledgerOf(choice, index, other.marks, other.shape, weights),
  };
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
