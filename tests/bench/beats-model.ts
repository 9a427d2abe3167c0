/**
 * The placement model as a probability: a placement's chance falls with its cost, exp(-cost). Exact sums over every
 * placement of a rhyme (forward and backward through the same lattice as the search), for fitting weights.
 */
import {
  chargePlace,
  chargeLength,
  chargeStart,
  chargeStress,
  chargeStretch,
  chargeStretched,
  chargeTail,
  emptyEndMost,
  EMPTY_INSIDE_MAX,
  FILLERS_MAX,
  OUTER_MAX,
  isStretched,
  patternOf,
  stressesOf,
} from '../../src/setting/line-costs.ts';
import { latticeOf, type LineLattice } from '../../src/setting/line-lattice.ts';
import { chargeMarks, shapeOf, type Mark } from '../../src/setting/line-marks.ts';
import {
  chargeCouplet,
  chargeNeighbours,
  chargeSeam,
  endingCode,
  kinshipOf,
  likeness,
  seamOf,
  shapeCode,
  type Kinship,
  type Shape,
} from '../../src/setting/line-pairs.ts';
import { ROOM } from '../../src/setting/grid.ts';
import type { RuleName, Sink } from '../../src/setting/placement-rules.ts';
import type { BeatClass } from '../../src/time.ts';
import type { Line } from '../../src/verse.ts';
import type { KnownForm } from './beats-data.ts';

/** Sparse amounts of features: pairs of index and amount in whole units. */
export interface Amounts {
  readonly index: number[];
  readonly amount: number[];
}

/** Names features: rules by beat class, and strengths of syllables by reason. */
export interface Features {
  readonly ruleIndex: (rule: RuleName, beatClass: BeatClass) => number | null;
  readonly strengthIndexes: (reason: string) => readonly number[];
}

const collect = (charge: (sink: Sink) => void, features: Features, beatClass: BeatClass): Amounts => {
  const index: number[] = [];
  const amount: number[] = [];
  charge((rule, _node, units = 100) => {
    const at = features.ruleIndex(rule, beatClass);
    if (at === null) return;
    index.push(at);
    amount.push(units / 100);
  });
  return { index, amount };
};

interface Arc {
  /** What the arc pays besides, by the beat of four that it arrives on. */
  readonly places: readonly Amounts[];
  readonly from: number;
  readonly to: number;
  /** On arcs inside the line: taken only as the last stretch, as part of a tail. */
  readonly stretched: boolean;
  /** On tails: the stretch to the last beat. */
  readonly stretch: Arc | null;
  readonly fillers: number;
  readonly empty: number;
  readonly amounts: Amounts;
}

export interface CompiledLine {
  readonly lattice: LineLattice;
  readonly beatsMax: number;
  readonly starts: readonly Arc[];
  readonly steps: readonly (readonly Arc[])[];
  readonly tails: readonly Arc[];
  /** Known placements: their shapes and amounts. Empty when the known one is none of the model's. */
  readonly known: readonly (readonly KnownPath[])[];
}

export interface KnownPath {
  readonly shape: Shape;
  readonly amounts: Amounts;
}

export interface CompiledRhyme {
  readonly id: string;
  readonly weight: number;
  readonly classes: readonly {
    readonly beatClass: BeatClass;
    readonly known: boolean;
    readonly lines: readonly CompiledLine[];
  }[];
  readonly tactusCount: number;
}

/** A line with everything that its arcs would charge, for one beat class. */
export function compileLine(
  line: Line,
  beatClass: BeatClass,
  known: readonly (readonly KnownForm[])[],
  features: Features,
): CompiledLine {
  const lattice = latticeOf(line);
  const size = lattice.nodes.length;
  const on = (node: number, amounts: Amounts): Amounts => {
    for (const index of features.strengthIndexes(lattice.nodes[node]?.syllable.reason ?? '')) {
      amounts.index.push(index);
      amounts.amount.push(-1);
    }
    return amounts;
  };
  const runs = (starts: readonly number[], most: number): { fillers: number[]; to: number }[] => {
    const found: { fillers: number[]; to: number }[] = [];
    const walk = (nexts: readonly number[], fillers: number[]): void => {
      for (const to of nexts) {
        found.push({ fillers, to });
        if (fillers.length < most) walk(lattice.nodes[to]?.next ?? [], [...fillers, to]);
      }
    };
    walk(starts, []);
    return found;
  };
  const starts = runs(lattice.first, OUTER_MAX).map(({ fillers, to }): Arc => ({
    from: -1,
    to,
    fillers: fillers.length,
    empty: 0,
    stretched: false,
    stretch: null,
    places: [],
    amounts: on(
      to,
      collect(
        (sink) => {
          chargeStart(lattice, fillers, to, sink);
        },
        features,
        beatClass,
      ),
    ),
  }));
  const stretchedStep = (from: number, fillers: readonly number[], to: number, empty: number): boolean => {
    const a = lattice.nodes[from];
    const b = lattice.nodes[to];
    return empty === 0 && fillers.length === 0 && a !== undefined && b !== undefined && isStretched(a, b);
  };
  const steps = lattice.nodes.map((node, from) =>
    runs(node.next, FILLERS_MAX).flatMap(({ fillers, to }) =>
      Array.from({ length: EMPTY_INSIDE_MAX + 1 }, (_, empty): Arc => ({
        from,
        to,
        fillers: fillers.length,
        empty,
        stretched: stretchedStep(from, fillers, to, empty),
        stretch: null,
        places: [0, 1, 2, 3].map((beat) =>
          collect(
            (sink) => {
              chargePlace(patternOf(fillers.length, empty), beat, sink);
              chargeStress(lattice, to, beat, sink);
            },
            features,
            beatClass,
          ),
        ),
        amounts: on(
          to,
          collect(
            (sink) => {
              chargeStretch(lattice, { from, fillers, to }, empty, sink);
            },
            features,
            beatClass,
          ),
        ),
      })),
    ),
  );
  const endings = (nexts: readonly number[], tail: number[]): number[][] =>
    nexts.length === 0
      ? [tail]
      : tail.length === OUTER_MAX
        ? []
        : nexts.flatMap((node) => endings(lattice.nodes[node]?.next ?? [], [...tail, node]));
  const tails = lattice.nodes.flatMap((node, from) =>
    endings(node.next, []).map((tail): Arc => ({
      from,
      to: -1,
      fillers: tail.length,
      empty: 0,
      stretched: false,
      stretch: null,
      places: [],
      amounts: collect(
        (sink) => {
          chargeTail(lattice, from, tail, sink);
        },
        features,
        beatClass,
      ),
    })),
  );
  const stretchedTails = steps.flat().flatMap((stretch): readonly Arc[] =>
    stretch.stretched
      ? [
          {
            from: stretch.from,
            to: -1,
            fillers: 0,
            empty: 0,
            stretched: false,
            stretch,
            places: [],
            amounts: collect(
              (sink) => {
                chargeStretched(lattice, stretch.from, stretch.to, sink);
                chargeTail(lattice, stretch.to, [], sink);
              },
              features,
              beatClass,
            ),
          },
        ]
      : [],
  );
  return {
    lattice,
    beatsMax: Math.max(4, size + 2),
    starts,
    steps,
    tails: [...tails, ...stretchedTails],
    known: known.map((forms) => forms.flatMap((form) => knownPaths(lattice, form, beatClass, features, on))),
  };
}

function knownPaths(
  lattice: LineLattice,
  form: KnownForm,
  beatClass: BeatClass,
  features: Features,
  on: (node: number, amounts: Amounts) => Amounts,
): readonly KnownPath[] {
  const nodes = pathOfLength(lattice, form.syllables.length);
  if (nodes === null) return [];
  const marks: Mark[] = [];
  let beat = -1;
  for (const [index, syllable] of form.syllables.entries()) {
    const node = nodes[index] ?? 0;
    if (syllable.beat !== null) {
      // Empty beats directly before the syllable: their place among the fillers is not part of the model.
      const empty = syllable.beat - beat - 1;
      if (empty < 0 || (beat >= 0 && empty > EMPTY_INSIDE_MAX)) return [];
      for (let i = 0; i < empty; i++) marks.push({ kind: 'empty', sound: 'free' });
      beat = syllable.beat;
      marks.push({ kind: 'on', node });
    } else marks.push({ kind: 'off', node });
  }
  if (beat < 0 || marks[0]?.kind === 'empty') return [];
  const ends = form.beats === null ? [0, 1, 2, 3] : [form.beats - beat - 1];
  return ends.flatMap((emptyEnd): readonly KnownPath[] => {
    if (emptyEnd < 0 || emptyEnd > emptyEndMost(beat)) return [];
    const whole = [
      ...marks,
      ...Array.from({ length: emptyEnd }, (): Mark => ({ kind: 'empty', sound: 'free' })),
    ];
    const shape = shapeOf(lattice, whole);
    if (shape.upbeat > OUTER_MAX || shape.tail > OUTER_MAX || crowded(whole)) return [];
    const amounts = collect(
      (sink) => {
        chargeMarks(lattice, whole, sink);
      },
      features,
      beatClass,
    );
    for (const mark of whole) if (mark.kind === 'on') on(mark.node, amounts);
    return [{ shape, amounts }];
  });
}

function crowded(marks: readonly Mark[]): boolean {
  let run = 0;
  for (const mark of marks) {
    if (mark.kind === 'on') run = 0;
    if (mark.kind === 'off' && ++run > FILLERS_MAX) return true;
  }
  return false;
}

/** The cheapest readings that make this many syllables. */
function pathOfLength(lattice: LineLattice, length: number): readonly number[] | null {
  interface Path {
    nodes: number[];
    cost: number;
  }
  let best: Path | null = null;
  const walk = (nexts: readonly number[], path: Path): void => {
    if (nexts.length === 0) {
      if (path.nodes.length === length && (best === null || path.cost < best.cost)) best = path;
      return;
    }
    if (path.nodes.length >= length) return;
    for (const node of nexts) {
      const own = lattice.nodes[node];
      if (own !== undefined)
        walk(own.next, { nodes: [...path.nodes, node], cost: path.cost + own.readingCost });
    }
  };
  walk(lattice.first, { nodes: [], cost: 0 });
  return (best as Path | null)?.nodes ?? null;
}

/** A candidate of the chain over lines. */
interface Candidate {
  readonly shape: Shape;
  readonly key: number;
  readonly logWeight: number;
}

interface ShapeEntry {
  readonly key: number;
  readonly shape: Shape;
}

const shapeKey = shapeCode;
const endingKey = (s: Shape): number => endingCode(shapeCode(s));

/** A small number for each shape met. */
const shapeIds = new Map<number, number>();
const shapesById: Shape[] = [];
const IDS = 1024;
function idOf(shape: Shape): number {
  const key = shapeKey(shape);
  let id = shapeIds.get(key);
  if (id === undefined) {
    id = shapesById.length;
    if (id >= IDS) throw new Error('more shapes than the tables hold');
    shapeIds.set(key, id);
    shapesById.push(shape);
  }
  return id;
}

const KINSHIPS: readonly Kinship[] = ['none', 'rhyme', 'parallel', 'return'];
const tables = (): Record<string, Float64Array> =>
  Object.fromEntries(
    KINSHIPS.flatMap((kin) => [`simple ${kin}`, `compound ${kin}`]).map((name) => [
      name,
      new Float64Array(IDS * IDS),
    ]),
  );
const pairWeight = tables();
const pairExpected = tables();

interface Entry {
  stamp: number;
  log: number;
  readonly amounts: Amounts;
}

const PAIR: Record<Kinship, string> = {
  none: 'pair',
  rhyme: 'pair rhyme',
  parallel: 'pair parallel',
  return: 'pair return',
};
const COUPLET: Record<Kinship, string> = {
  none: 'couplet',
  rhyme: 'couplet rhyme',
  parallel: 'couplet parallel',
  return: 'couplet return',
};
const memos = new Map<string, Record<BeatClass, Map<number, Entry>>>();
let stamps = 0;

/** One evaluation of the model at given parameters. */
export class Evaluation {
  readonly theta: Float64Array;
  readonly expected: Float64Array;
  readonly features: Features;
  private readonly stamp = stamps++;

  constructor(theta: Float64Array, features: Features) {
    this.theta = theta;
    this.expected = new Float64Array(theta.length);
    this.features = features;
    for (const table of Object.values(pairWeight)) table.fill(-1);
    for (const table of Object.values(pairExpected)) table.fill(0);
  }

  dot({ index, amount }: Amounts): number {
    let sum = 0;
    for (let i = 0; i < index.length; i++)
      sum += (this.theta[index[i] as number] as number) * (amount[i] as number);
    return sum;
  }

  add({ index, amount }: Amounts, by: number): void {
    for (let i = 0; i < index.length; i++)
      (this.expected[index[i] as number] as number) += (amount[i] as number) * by;
  }

  /** What pairs, couplets and lengths charge does not change with the parameters; its logarithm does. */
  private memo(kind: string, beatClass: BeatClass, key: number, charge: (sink: Sink) => void): Entry {
    let map = memos.get(kind)?.[beatClass];
    if (map === undefined) {
      const both = { simple: new Map<number, Entry>(), compound: new Map<number, Entry>() };
      memos.set(kind, both);
      map = both[beatClass];
    }
    let entry = map.get(key);
    if (entry === undefined) {
      entry = { stamp: -1, log: 0, amounts: collect(charge, this.features, beatClass) };
      map.set(key, entry);
    }
    if (entry.stamp !== this.stamp) {
      entry.stamp = this.stamp;
      entry.log = -this.dot(entry.amounts);
    }
    return entry;
  }

  /** exp(-cost) of each pair of candidates, row by row. */
  pairTable(
    before: readonly Candidate[],
    after: readonly Candidate[],
    beatClass: BeatClass,
    kinship: Kinship,
  ): Float64Array {
    const known = pairWeight[`${beatClass} ${kinship}`] as Float64Array;
    const table = new Float64Array(before.length * after.length);
    let k = 0;
    for (const a of before) {
      for (const b of after) {
        const at = a.key * IDS + b.key;
        let w = known[at] as number;
        if (w < 0) {
          const entry = this.pair(a, b, beatClass, kinship);
          w = Math.exp(entry.log);
          known[at] = w;
        }
        table[k++] = w;
      }
    }
    return table;
  }

  expectPair(before: number, after: number, beatClass: BeatClass, kinship: Kinship, by: number): void {
    const at = before * IDS + after;
    const table = pairExpected[`${beatClass} ${kinship}`] as Float64Array;
    table[at] = (table[at] as number) + by;
  }

  /** Turn what was expected of pairs into expected amounts; once, at the end. */
  settle(): void {
    for (const beatClass of ['simple', 'compound'] as const) {
      for (const kinship of KINSHIPS) {
        const table = pairExpected[`${beatClass} ${kinship}`] as Float64Array;
        shapesById.forEach((before, a) => {
          shapesById.forEach((after, b) => {
            const p = table[a * IDS + b] as number;
            if (p === 0) return;
            const entry = this.pair({ key: a, shape: before }, { key: b, shape: after }, beatClass, kinship);
            this.add(entry.amounts, p);
          });
        });
      }
    }
  }

  pair(before: ShapeEntry, after: ShapeEntry, beatClass: BeatClass, kinship: Kinship): Entry {
    return this.memo(PAIR[kinship], beatClass, before.key * 65536 + after.key, (sink) => {
      chargeSeam(seamOf(shapeCode(before.shape), shapeCode(after.shape)), ROOM[beatClass], sink);
      chargeNeighbours(likeness(shapeCode(before.shape), shapeCode(after.shape)), kinship, sink);
    });
  }

  couplet(twoBack: Shape, after: Shape, beatClass: BeatClass, kinship: Kinship): Entry {
    const entry = this.memo(
      COUPLET[kinship],
      beatClass,
      endingKey(twoBack) * 2 ** 22 + endingKey(after),
      (sink) => {
        chargeCouplet(likeness(shapeCode(twoBack), shapeCode(after)), kinship, sink);
      },
    );
    return entry;
  }

  length(beats: number, emptyEnd: number, stresses: number, beatClass: BeatClass): Entry {
    const entry = this.memo('length', beatClass, (stresses * 1024 + beats) * 4 + emptyEnd, (sink) => {
      chargeLength(beats, emptyEnd, stresses, sink);
    });
    return entry;
  }
}

/** Sums of one line's placements by shape. */
export interface InsideLine {
  readonly candidates: readonly Candidate[];
  /** Adds the expected amounts of the line, given each candidate's posterior. */
  readonly spread: (posterior: Float64Array, sign: number) => void;
}

const PRUNE = 9;

export function insideLine(line: CompiledLine, beatClass: BeatClass, evaluation: Evaluation): InsideLine {
  const size = line.lattice.nodes.length;
  const { beatsMax } = line;
  const stresses = stressesOf(line.lattice);
  const cells = 4 * beatsMax * size;
  const alpha = new Float64Array(cells);
  const startW = line.starts.map((arc) => Math.exp(-evaluation.dot(arc.amounts)));
  const stepW = line.steps.map((arcs) =>
    arcs.map((arc) => {
      const base = -evaluation.dot(arc.amounts);
      return Float64Array.from(arc.places, (place) => Math.exp(base - evaluation.dot(place)));
    }),
  );
  const tailW = line.tails.map((arc) => {
    const own = -evaluation.dot(arc.amounts);
    const stretch = arc.stretch;
    if (stretch === null) return Float64Array.of(Math.exp(own), Math.exp(own), Math.exp(own), Math.exp(own));
    const base = own - evaluation.dot(stretch.amounts);
    // By the beat of four that the tail starts from.
    return Float64Array.from([1, 2, 3, 0], (beat) =>
      Math.exp(base - evaluation.dot(stretch.places[beat] as Amounts)),
    );
  });
  line.starts.forEach((arc, i) => {
    alpha[arc.fillers * beatsMax * size + arc.to] =
      (alpha[arc.fillers * beatsMax * size + arc.to] as number) + (startW[i] as number);
  });
  for (let node = 0; node < size; node++) {
    const arcs = line.steps[node] as readonly Arc[];
    const weights = stepW[node] as Float64Array[];
    for (let i = 0; i < arcs.length; i++) {
      const arc = arcs[i] as Arc;
      if (arc.stretched) continue;
      const w = weights[i] as Float64Array;
      const jump = 1 + arc.empty;
      for (let u = 0; u < 4; u++) {
        for (let b = 0; b + jump < beatsMax; b++) {
          const a = alpha[(u * beatsMax + b) * size + node] as number;
          if (a === 0) continue;
          const there = (u * beatsMax + b + jump) * size + arc.to;
          alpha[there] = (alpha[there] as number) + a * (w[(b + jump) & 3] as number);
        }
      }
    }
  }
  const tailKey = (u: number, b: number, arc: Arc): number =>
    ((u * beatsMax + b) * 4 + arc.fillers) * 2 + Number(arc.stretch !== null);
  const inside = new Map<number, { u: number; b: number; t: number; stretched: boolean; z: number }>();
  line.tails.forEach((arc, i) => {
    for (let u = 0; u < 4; u++) {
      for (let b = 0; b < beatsMax; b++) {
        const a = alpha[(u * beatsMax + b) * size + arc.from] as number;
        if (a === 0) continue;
        const stretched = arc.stretch !== null;
        const key = tailKey(u, b, arc);
        const entry = inside.get(key) ?? { u, b: stretched ? b + 1 : b, t: arc.fillers, stretched, z: 0 };
        entry.z += a * ((tailW[i] as Float64Array)[b & 3] as number);
        inside.set(key, entry);
      }
    }
  });
  const candidates: (Candidate & { cell: number })[] = [];
  let top = -Infinity;
  for (const [cell, { u, b, t, stretched, z }] of inside) {
    for (let emptyEnd = 0; emptyEnd <= emptyEndMost(b); emptyEnd++) {
      const shape = { upbeat: u, beats: b + 1 + emptyEnd, tail: t, emptyEnd, stretched };
      const logWeight = Math.log(z) + evaluation.length(shape.beats, emptyEnd, stresses, beatClass).log;
      top = Math.max(top, logWeight);
      candidates.push({ shape, key: 0, logWeight, cell });
    }
  }
  const kept = candidates
    .filter((candidate) => candidate.logWeight > top - PRUNE)
    .map((candidate) => ({ ...candidate, key: idOf(candidate.shape) }));
  const spread = (posterior: Float64Array, sign: number): void => {
    // Terminal weight of each (upbeat, last beat, tail): posterior over inside.
    const terminal = new Map<number, number>();
    kept.forEach((candidate, i) => {
      const p = posterior[i] as number;
      if (p < 1e-12) return;
      evaluation.add(
        evaluation.length(candidate.shape.beats, candidate.shape.emptyEnd, stresses, beatClass).amounts,
        sign * p,
      );
      terminal.set(
        candidate.cell,
        (terminal.get(candidate.cell) ?? 0) + p / (inside.get(candidate.cell)?.z ?? 1),
      );
    });
    const beta = new Float64Array(cells);
    line.tails.forEach((arc, i) => {
      let total = 0;
      for (let u = 0; u < 4; u++) {
        for (let b = 0; b < beatsMax; b++) {
          const out = terminal.get(tailKey(u, b, arc));
          if (out === undefined) continue;
          const cell = (u * beatsMax + b) * size + arc.from;
          const w = (tailW[i] as Float64Array)[b & 3] as number;
          beta[cell] = (beta[cell] as number) + w * out;
          const p = (alpha[cell] as number) * w * out;
          total += p;
          if (arc.stretch !== null && p > 1e-12)
            evaluation.add(arc.stretch.places[(b + 1) & 3] as Amounts, sign * p);
        }
      }
      if (total > 0) evaluation.add(arc.amounts, sign * total);
      if (total > 0 && arc.stretch !== null) evaluation.add(arc.stretch.amounts, sign * total);
    });
    for (let node = size - 1; node >= 0; node--) {
      const arcs = line.steps[node] as readonly Arc[];
      const weights = stepW[node] as Float64Array[];
      for (let i = 0; i < arcs.length; i++) {
        const arc = arcs[i] as Arc;
        if (arc.stretched) continue;
        const w = weights[i] as Float64Array;
        const jump = 1 + arc.empty;
        let total = 0;
        const byPlace = [0, 0, 0, 0];
        for (let u = 0; u < 4; u++) {
          for (let b = 0; b + jump < beatsMax; b++) {
            const there = beta[(u * beatsMax + b + jump) * size + arc.to] as number;
            if (there === 0) continue;
            const place = (b + jump) & 3;
            const flow = (w[place] as number) * there;
            const cell = (u * beatsMax + b) * size + node;
            beta[cell] = (beta[cell] as number) + flow;
            const p = flow * (alpha[cell] as number);
            total += p;
            byPlace[place] = (byPlace[place] as number) + p;
          }
        }
        if (total <= 1e-12) continue;
        evaluation.add(arc.amounts, sign * total);
        byPlace.forEach((p, place) => {
          if (p > 1e-12) evaluation.add(arc.places[place] as Amounts, sign * p);
        });
      }
    }
    line.starts.forEach((arc, i) => {
      const p = (startW[i] as number) * (beta[arc.fillers * beatsMax * size + arc.to] as number);
      if (p > 1e-12) evaluation.add(arc.amounts, sign * p);
    });
  };
  return { candidates: kept, spread };
}

/** Sums over known placements of one line. */
export function insideKnown(paths: readonly KnownPath[], evaluation: Evaluation): InsideLine {
  return {
    candidates: paths.map(({ shape, amounts }) => ({
      shape,
      key: idOf(shape),
      logWeight: -evaluation.dot(amounts),
    })),
    spread: (posterior, sign) => {
      paths.forEach(({ amounts }, i) => {
        evaluation.add(amounts, sign * (posterior[i] as number));
      });
    },
  };
}

/** The sum over all chains of candidates, in logarithms; `spread` adds expectations times `by`. */
export function chain(
  lines: readonly InsideLine[],
  source: readonly Line[],
  beatClass: BeatClass,
  evaluation: Evaluation,
): { readonly logZ: number; readonly spread: (by: number) => void } {
  const n = lines.length;
  const kin = source.slice(1).map((line, i) => kinshipOf(source[i] ?? line, line));
  const kin2 = source.slice(2).map((line, i) => kinshipOf(source[i] ?? line, line));
  const groupsOf = lines.map(({ candidates }) => {
    const keys = new Map<number, number>();
    const shapes: Shape[] = [];
    const of = candidates.map(({ shape }) => {
      const key = endingKey(shape);
      let g = keys.get(key);
      if (g === undefined) {
        g = shapes.length;
        keys.set(key, g);
        shapes.push(shape);
      }
      return g;
    });
    return { of, shapes };
  });
  const max = lines.map(({ candidates }) => candidates.reduce((m, c) => Math.max(m, c.logWeight), -Infinity));
  const own = lines.map(({ candidates }, i) =>
    Float64Array.from(candidates, (c) => Math.exp(c.logWeight - (max[i] as number))),
  );
  const pairW = lines.slice(1).map(({ candidates }, i) => {
    const before = (lines[i] as InsideLine).candidates;
    const table = evaluation.pairTable(before, candidates, beatClass, kin[i] ?? 'none');
    return table;
  });
  // couplets[i][g][h]: line i+2's ending h after line i's ending g
  const couplets = lines
    .slice(2)
    .map((_, i) =>
      (groupsOf[i]?.shapes ?? []).map((g) =>
        (groupsOf[i + 2]?.shapes ?? []).map((h) => evaluation.couplet(g, h, beatClass, kin2[i] ?? 'none')),
      ),
    );
  const coupletW = couplets.map((table) => Float64Array.from(table.flat(), ({ log }) => Math.exp(log)));
  // alpha[i]: at [group of line i-1][candidate]; line 0 has one group.
  const alpha: Float64Array[] = [];
  const reach: Float64Array[] = []; // reach[i] at [candidate of i][ending of i+1]
  let logZ = 0;
  for (let i = 0; i < n; i++) {
    const width = (lines[i] as InsideLine).candidates.length;
    const w = own[i] as Float64Array;
    logZ += max[i] as number;
    let row: Float64Array;
    if (i === 0) row = Float64Array.from(w);
    else {
      const before = lines[i - 1] as InsideLine;
      const groups = groupsOf[i - 1]?.shapes.length ?? 1;
      row = new Float64Array(groups * width);
      const m = reach[i - 1] as Float64Array;
      const ends = groupsOf[i]?.shapes.length ?? 1;
      const of = groupsOf[i]?.of ?? [];
      const ofBefore = groupsOf[i - 1]?.of ?? [];
      const table = pairW[i - 1] as Float64Array;
      for (let c = 0; c < before.candidates.length; c++) {
        const g = ofBefore[c] as number;
        for (let d = 0; d < width; d++) {
          row[g * width + d] =
            (row[g * width + d] as number) +
            (m[c * ends + (of[d] as number)] as number) * (table[c * width + d] as number) * (w[d] as number);
        }
      }
    }
    let total = 0;
    for (const x of row) total += x;
    if (total === 0) return { logZ: -Infinity, spread: () => undefined };
    for (let k = 0; k < row.length; k++) row[k] = (row[k] as number) / total;
    logZ += Math.log(total);
    alpha.push(row);
    if (i + 1 < n) {
      const ends = groupsOf[i + 1]?.shapes.length ?? 1;
      const m = new Float64Array(width * ends);
      const groups = i === 0 ? 1 : (groupsOf[i - 1]?.shapes.length ?? 1);
      for (let c = 0; c < width; c++) {
        for (let h = 0; h < ends; h++) {
          let sum = 0;
          for (let g = 0; g < groups; g++) {
            const couplet = i === 0 ? 1 : (coupletW[i - 1]?.[g * ends + h] as number);
            sum += (row[g * width + c] as number) * couplet;
          }
          m[c * ends + h] = sum;
        }
      }
      reach.push(m);
    }
  }
  const spread = (by: number): void => {
    let beta = new Float64Array((alpha[n - 1] as Float64Array).length).fill(1);
    for (let i = n - 1; i >= 0; i--) {
      const line = lines[i] as InsideLine;
      const width = line.candidates.length;
      const row = alpha[i] as Float64Array;
      // Normalise so that sum(alpha * beta) is 1.
      let total = 0;
      for (let k = 0; k < row.length; k++) total += (row[k] as number) * (beta[k] as number);
      for (let k = 0; k < beta.length; k++) beta[k] = (beta[k] as number) / total;
      const posterior = new Float64Array(width);
      for (let k = 0; k < row.length; k++)
        posterior[k % width] = (posterior[k % width] as number) + (row[k] as number) * (beta[k] as number);
      line.spread(posterior, by);
      if (i === 0) break;
      const before = lines[i - 1] as InsideLine;
      const widthBefore = before.candidates.length;
      const table = pairW[i - 1] as Float64Array;
      const w = own[i] as Float64Array;
      const m = reach[i - 1] as Float64Array;
      const ends = groupsOf[i]?.shapes.length ?? 1;
      const of = groupsOf[i]?.of ?? [];
      const ofBefore = groupsOf[i - 1]?.of ?? [];
      // s[c][h]: sum over d with ending h of pair * own * beta[group(c)][d]
      const s = new Float64Array(widthBefore * ends);
      let flowTotal = 0;
      for (let c = 0; c < widthBefore; c++) {
        const g = ofBefore[c] as number;
        for (let d = 0; d < width; d++) {
          const h = of[d] as number;
          const x = (table[c * width + d] as number) * (w[d] as number) * (beta[g * width + d] as number);
          s[c * ends + h] = (s[c * ends + h] as number) + x;
          flowTotal += x * (m[c * ends + h] as number);
        }
      }
      for (let c = 0; c < widthBefore; c++) {
        const g = ofBefore[c] as number;
        for (let d = 0; d < width; d++) {
          const p =
            ((m[c * ends + (of[d] as number)] as number) *
              (table[c * width + d] as number) *
              (w[d] as number) *
              (beta[g * width + d] as number)) /
            flowTotal;
          if (p > 1e-9) {
            evaluation.expectPair(
              (before.candidates[c] as Candidate).key,
              (line.candidates[d] as Candidate).key,
              beatClass,
              kin[i - 1] ?? 'none',
              by * p,
            );
          }
        }
      }
      const rowBefore = alpha[i - 1] as Float64Array;
      const groupsBefore = rowBefore.length / widthBefore;
      const next = new Float64Array(rowBefore.length);
      for (let g = 0; g < groupsBefore; g++) {
        for (let h = 0; h < ends; h++) {
          const couplet = i === 1 ? null : couplets[i - 2]?.[g]?.[h];
          const factor = couplet === null || couplet === undefined ? 1 : Math.exp(couplet.log);
          let p = 0;
          for (let c = 0; c < widthBefore; c++) {
            const x = factor * (s[c * ends + h] as number);
            next[g * widthBefore + c] = (next[g * widthBefore + c] as number) + x;
            p += (rowBefore[g * widthBefore + c] as number) * x;
          }
          if (couplet !== null && couplet !== undefined && p > 0)
            evaluation.add(couplet.amounts, (by * p) / flowTotal);
        }
      }
      beta = next;
    }
  };
  return { logZ, spread };
}
