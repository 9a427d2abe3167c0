/**
 * Figures of agreement between placements and known ones. A line is wholly right when every syllable is on or off the
 * beat as known; "beats too" also asks for the same distances between its beats.
 */
import type { Placement } from '../../src/placement.ts';
import type { KnownCase, KnownForm, KnownLine, KnownTactus } from './beats-data.ts';

export interface LineFigure {
  readonly syllables: number;
  readonly agreeing: number;
  readonly right: boolean;
  readonly beatsToo: boolean;
  readonly upbeatRight: boolean;
  readonly countWrong: boolean;
}

export interface CaseFigure {
  readonly id: string;
  readonly kind: KnownCase['kind'];
  readonly tactus: '1' | '/2';
  readonly metre: boolean | null;
  readonly words: number;
  /** Words whose stressed syllable is off the beat while a weaker one is on it. */
  readonly inversions: number;
  readonly lines: readonly LineFigure[];
}

interface Predicted {
  readonly text: string;
  readonly beat: number | null;
}

/** The best tactus of a case; ties keep the printed beat. */
export function scoreCase(known: KnownCase, placement: Placement, printedOnly = false): CaseFigure {
  const all = (printedOnly ? known.tactus.slice(0, 1) : known.tactus).map((tactus) =>
    scoreTactus(known, tactus, placement),
  );
  const agreeing = (figure: CaseFigure): number => figure.lines.reduce((n, line) => n + line.agreeing, 0);
  const right = (figure: CaseFigure): number => figure.lines.filter((line) => line.right).length;
  return all.reduce((best, figure) =>
    agreeing(figure) > agreeing(best) || (agreeing(figure) === agreeing(best) && right(figure) > right(best))
      ? figure
      : best,
  );
}

function inversionsIn(placement: Placement): Pick<CaseFigure, 'words' | 'inversions'> {
  let inversions = 0;
  for (const { line, syllables } of placement.lines) {
    line.words.forEach((_, word) => {
      const own = syllables.filter((syllable) => syllable.word === word);
      const off = own.filter(({ beat }) => beat === null).map(({ syllable }) => syllable.stress);
      const on = own.filter(({ beat }) => beat !== null).map(({ syllable }) => syllable.stress);
      if (on.length > 0 && Math.max(0, ...off) > Math.max(0, ...on)) inversions++;
    });
  }
  return { words: placement.lines.reduce((n, { line }) => n + line.words.length, 0), inversions };
}

function scoreTactus(known: KnownCase, tactus: KnownTactus, placement: Placement): CaseFigure {
  return {
    id: known.id,
    kind: known.kind,
    tactus: tactus.name,
    metre: !known.metreClear ? null : known.beatClass === placement.beatClass,
    ...inversionsIn(placement),
    lines: tactus.lines.map((line, index) =>
      scoreLine(
        line,
        (placement.lines[index]?.syllables ?? []).map(({ syllable, beat }) => ({
          text: syllable.text,
          beat,
        })),
      ),
    ),
  };
}

function scoreLine(line: KnownLine, predicted: readonly Predicted[]): LineFigure {
  const figures = line.forms.map((form) => scoreForm(form, predicted));
  return figures.reduce((best, figure) => (rank(figure) > rank(best) ? figure : best));
}

/** Wholly right first, then the right number of syllables, then agreement. */
function rank(figure: LineFigure): number {
  return (
    Number(figure.beatsToo) * 8000 +
    Number(figure.right) * 4000 +
    Number(!figure.countWrong) * 2000 +
    figure.agreeing
  );
}

function scoreForm({ syllables }: KnownForm, predicted: readonly Predicted[]): LineFigure {
  const same = syllables.length === predicted.length;
  const partner = same ? syllables.map((_, i) => i) : pair(syllables, predicted);
  const agrees = (i: number): boolean => {
    const j = partner[i] ?? -1;
    return j >= 0 && (predicted[j]?.beat !== null) === syllables[i]?.on;
  };
  const agreeing = syllables.filter((_, i) => agrees(i)).length;
  const right = same && agreeing === syllables.length;
  const own = syllables.flatMap((s) => (s.beat === null ? [] : [s.beat]));
  const theirs = predicted.flatMap((s) => (s.beat === null ? [] : [s.beat]));
  const beatsToo =
    right && own.every((beat, i) => beat - (own[0] ?? 0) === (theirs[i] ?? 0) - (theirs[0] ?? 0));
  const upbeatRight = syllables.findIndex((s) => s.on) === predicted.findIndex((s) => s.beat !== null);
  return { syllables: syllables.length, agreeing, right, beatsToo, upbeatRight, countWrong: !same };
}

const fold = (text: string): string =>
  text
    .normalize('NFD')
    .toLowerCase()
    .replace(/[^a-z]/g, '');

/** Partners when the counts differ: by the place of the first letter in the line, cheapest alignment. */
function pair(
  known: readonly { readonly text: string }[],
  predicted: readonly { readonly text: string }[],
): readonly number[] {
  const places = (list: readonly { readonly text: string }[]): readonly number[] => {
    let place = 0;
    return list.map(({ text }) => {
      const start = place;
      place += fold(text).length;
      return start;
    });
  };
  const g = places(known);
  const p = places(predicted);
  const skip = 1.5;
  const apart = (i: number, j: number): number => Math.min(4, Math.abs((g[i] ?? 0) - (p[j] ?? 0)));
  const cost = Array.from({ length: g.length + 1 }, () => new Float64Array(p.length + 1).fill(Infinity));
  const at = (i: number, j: number): number => cost[i]?.[j] ?? Infinity;
  for (let i = 0; i <= g.length; i++) {
    for (let j = 0; j <= p.length; j++) {
      const row = cost[i];
      if (row === undefined) continue;
      if (i === 0 && j === 0) row[j] = 0;
      else
        row[j] = Math.min(
          i > 0 && j > 0 ? at(i - 1, j - 1) + apart(i - 1, j - 1) : Infinity,
          i > 0 ? at(i - 1, j) + skip : Infinity,
          j > 0 ? at(i, j - 1) + skip : Infinity,
        );
    }
  }
  const partner = new Array<number>(g.length).fill(-1);
  for (let i = g.length, j = p.length; i > 0 || j > 0;) {
    if (i > 0 && j > 0 && at(i, j) === at(i - 1, j - 1) + apart(i - 1, j - 1)) partner[--i] = --j;
    else if (i > 0 && at(i, j) === at(i - 1, j) + skip) i--;
    else j--;
  }
  return partner;
}

/** Wilson's 95 % interval of a share, in per cent. */
export function interval(right: number, all: number): string {
  if (all === 0) return '-';
  const z = 1.96;
  const p = right / all;
  const centre = (p + (z * z) / (2 * all)) / (1 + (z * z) / all);
  const half = (z * Math.sqrt((p * (1 - p)) / all + (z * z) / (4 * all * all))) / (1 + (z * z) / all);
  return `${(100 * p).toFixed(1)} % (${String(right)}/${String(all)}; ${(100 * (centre - half)).toFixed(0)}-${(100 * (centre + half)).toFixed(0)})`;
}

/** The table of a set of cases. */
export function report(title: string, figures: readonly CaseFigure[]): string {
  const lines = figures.flatMap((figure) => figure.lines);
  const count = (test: (line: LineFigure) => boolean): number => lines.filter(test).length;
  const syllables = lines.reduce((n, line) => n + line.syllables, 0);
  const agreeing = lines.reduce((n, line) => n + line.agreeing, 0);
  const words = figures.reduce((n, figure) => n + figure.words, 0);
  const inversions = figures.reduce((n, figure) => n + figure.inversions, 0);
  const clear = figures.filter((figure) => figure.metre !== null);
  return [
    `${title}: ${String(figures.length)} rhymes, ${String(lines.length)} lines, ${String(syllables)} syllables`,
    `  lines wholly right   ${interval(
      count((l) => l.right),
      lines.length,
    )}`,
    `  beats too            ${interval(
      count((l) => l.beatsToo),
      lines.length,
    )}`,
    `  on-beat agreement    ${interval(agreeing, syllables)}`,
    `  metre right          ${interval(clear.filter((f) => f.metre === true).length, clear.length)}`,
    `  upbeat right         ${interval(
      count((l) => l.upbeatRight),
      lines.length,
    )}`,
    `  syllable count wrong ${interval(
      count((l) => l.countWrong),
      lines.length,
    )}`,
    `  inversions per 100 words ${((100 * inversions) / words).toFixed(1)}`,
    `  counted by every second printed beat: ${String(figures.filter((f) => f.tactus === '/2').length)}`,
  ].join('\n');
}
