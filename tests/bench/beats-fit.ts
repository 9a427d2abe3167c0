/**
 * Fit the weights of placement and the strengths of syllables to known placements: a log-linear model with exact sums,
 * each weight held near its prior (beats-priors.ts) by a Gaussian. Files as for bench:beats. Modes:
 *   --folds N   cross-validation over whole rhymes (5 by default; as many as there are rhymes leaves one out)
 *   --curve     the same, fitted on a quarter, a half, three quarters and all of the other rhymes
 *   --write     fit on all and put the numbers into the data files; with --show print them instead
 * The shipped numbers: --write --iterations 40 --sd 0.7 --verse-weight 2 on the rhymes and songs under development.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { writeBeatMarks } from '../../src/beat-marks.ts';
import { placeBeats } from '../../src/setting/placement.ts';
import type { RuleName, WeightPairs } from '../../src/setting/placement-rules.ts';
import { PLACEMENT_WEIGHTS } from '../../src/setting/placement-weights.data.ts';
import { openLexicon, readVerse } from '../../src/syllabify/index.ts';
import { CLASS_STRENGTH, PLACE_STRENGTH } from '../../src/syllabify/strength.data.ts';
import { linesOf, type Verse } from '../../src/verse.ts';
import { readCases, type KnownCase } from './beats-data.ts';
import {
  chain,
  compileLine,
  Evaluation,
  insideKnown,
  insideLine,
  type CompiledLine,
  type Features,
} from './beats-model.ts';
import { report, scoreCase, type CaseFigure } from './beats-score.ts';
import { PRIOR_CLASS, PRIOR_PLACE, PRIOR_WEIGHTS } from './beats-priors.ts';
import { minimise } from './lbfgs.ts';

const flag = (name: string): boolean => process.argv.includes(`--${name}`);
const option = (name: string, otherwise: number): number => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? otherwise : Number(process.argv[at + 1]);
};
const paths = process.argv.slice(2).filter((arg) => /\.(txt|json)$/.test(arg));
/** Always fitted on, never scored. */
const ALSO = 'tests/bench/invented.txt';

// The parameters: each rule's mean and half difference over the beat classes, then the strengths.
const RULES = Object.keys(PLACEMENT_WEIGHTS) as RuleName[];
const KINDS = Object.keys(CLASS_STRENGTH);
const PLACES = Object.keys(PLACE_STRENGTH);
/** Charged at one to one: they only carry the strengths. */
const CARRIERS: readonly string[] = ['weak-on-beat', 'strong-off-beat'];
/** Not fitted. */
const dropAt = process.argv.indexOf('--drop');
const FIXED: readonly string[] = [
  'seam-over-full',
  ...(dropAt < 0 ? [] : (process.argv[dropAt + 1] ?? '').split(',')),
];
const R = RULES.length;
const SIZE = 2 * R + KINDS.length + PLACES.length;
const ruleAt = new Map(RULES.map((rule, i) => [rule, i]));
const kindAt = new Map(KINDS.map((kind, i) => [kind, 2 * R + i]));
const placeAt = new Map(PLACES.map((place, i) => [place, 2 * R + KINDS.length + i]));

const features: Features = {
  ruleIndex: (rule, beatClass) =>
    CARRIERS.includes(rule) ? null : (ruleAt.get(rule) ?? 0) + (beatClass === 'simple' ? 0 : R),
  strengthIndexes: (reason) => {
    const [, kind = '', place] = /^([^(]*?)(?: \((.*)\))?$/.exec(reason) ?? [];
    const own = kindAt.get(kind);
    if (own === undefined) throw new Error(`unknown reason ${reason}`);
    const at = place === undefined ? undefined : placeAt.get(place);
    return at === undefined ? [own] : [own, at];
  },
};

/** Model weights (nats) from parameters. */
function weightsOf(x: Float64Array): Float64Array {
  const theta = Float64Array.from(x);
  for (let i = 0; i < R; i++) {
    theta[i] = (x[i] ?? 0) + (x[R + i] ?? 0);
    theta[R + i] = (x[i] ?? 0) - (x[R + i] ?? 0);
  }
  return theta;
}

const at = <T>(table: Readonly<Record<string, T>>, key: string, otherwise: T): T => table[key] ?? otherwise;

function priorParameters(): { mean: Float64Array; deviation: Float64Array } {
  const mean = new Float64Array(SIZE);
  const deviation = new Float64Array(SIZE).fill(option('sd', 0.7));
  RULES.forEach((rule, i) => {
    const own = at<readonly number[]>(PRIOR_WEIGHTS, rule, [0, 0]);
    const simple = own[0] ?? 0;
    const compound = own[1] ?? 0;
    mean[i] = (simple + compound) / 200;
    mean[R + i] = (simple - compound) / 200;
    deviation[R + i] = option('sd', 0.7) / 2;
    if (FIXED.includes(rule)) deviation[i] = deviation[R + i] = 0.001;
    if (/-fillers?$/.test(rule)) {
      deviation[i] = 0.4;
      deviation[R + i] = option('filler-sd', 0.3);
    }
    if (/inverted|strong-on|last-beat/.test(rule)) {
      deviation[i] = 0.3;
      deviation[R + i] = 0.15;
    }
  });
  KINDS.forEach((kind, i) => (mean[2 * R + i] = at(PRIOR_CLASS, kind, 0) / 100));
  PLACES.forEach((place, i) => (mean[2 * R + KINDS.length + i] = at(PRIOR_PLACE, place, 0) / 100));
  return { mean, deviation };
}

const lexicon = openLexicon(readFileSync('dist/pronunciations.bin'));

interface Loaded {
  readonly known: KnownCase;
  readonly verse: Verse;
}

function load(from: readonly string[]): Loaded[] {
  return readCases(from).map((known) => {
    const verse = readVerse(known.text, { lexicon });
    if (!verse.ok) throw new Error(JSON.stringify(verse.problems));
    return { known, verse: verse.value };
  });
}

const loaded = load(paths);
const always = flag('without-invented') ? [] : load([ALSO]);

/** The verse with the strengths that the parameters give. */
function withStrengths(verse: Verse, x: Float64Array): Verse {
  return {
    ...verse,
    stanzas: verse.stanzas.map((stanza) => ({
      ...stanza,
      lines: stanza.lines.map((line) => ({
        ...line,
        words: line.words.map((word) => ({
          ...word,
          readings: word.readings.map((reading) => ({
            ...reading,
            syllables: reading.syllables.map((syllable) => ({
              ...syllable,
              prominence: Math.round(
                100 * features.strengthIndexes(syllable.reason).reduce((sum, i) => sum + (x[i] ?? 0), 0),
              ),
            })),
          })) as unknown as typeof word.readings,
        })),
      })),
    })),
  };
}

interface Compiled {
  readonly weight: number;
  readonly classes: { beatClass: 'simple' | 'compound'; known: boolean; lines: CompiledLine[] }[];
  /** Tactus that maps most lines. */
  readonly tactus: readonly number[];
}

function compile({ known, verse }: Loaded, x: Float64Array): Compiled {
  const strong = withStrengths(verse, x);
  const lines = linesOf(strong);
  const classes = (['simple', 'compound'] as const).map((beatClass) => ({
    beatClass,
    known: known.beatClass === 'either' || known.beatClass === beatClass,
    lines: lines.map((line, i) =>
      compileLine(
        line,
        beatClass,
        known.tactus.map((tactus) => tactus.lines[i]?.forms ?? []),
        features,
      ),
    ),
  }));
  // Songs printed with a beat to nearly every syllable are counted by every second beat.
  const syllables =
    known.tactus[0]?.lines.reduce((n, line) => n + (line.forms[0]?.syllables.length ?? 0), 0) ?? 0;
  const beats = known.tactus[0]?.lines.reduce((n, line) => n + (line.forms[0]?.beats ?? 4), 0) ?? 1;
  const tactus = known.tactus.length > 1 && syllables / beats < option('dense', 115) / 100 ? 1 : 0;
  return {
    weight:
      tactus === 1
        ? option('dense-weight', 30) / 100
        : known.kind === 'verse'
          ? option('verse-weight', 2)
          : 1,
    classes,
    tactus: [tactus],
  };
}

const compoundIndex = R + (ruleAt.get('compound-metre') ?? 0);

/** Minus log likelihood of one rhyme; adds the gradient by theta. */
function loss(rhyme: Compiled, evaluation: Evaluation, gradient: boolean): number {
  const all: { log: number; spread: (by: number) => void }[] = [];
  const good: { log: number; spread: (by: number) => void }[] = [];
  for (const { beatClass, known, lines } of rhyme.classes) {
    const inside = lines.map((line) => insideLine(line, beatClass, evaluation));
    const prior = beatClass === 'compound' ? -(evaluation.theta[compoundIndex] ?? 0) : 0;
    const spreadPrior = (by: number): void => {
      if (beatClass === 'compound')
        evaluation.expected[compoundIndex] = (evaluation.expected[compoundIndex] ?? 0) + by;
    };
    const source = lines.map((line) => line.lattice.line);
    const free = chain(inside, source, beatClass, evaluation);
    all.push({
      log: free.logZ + prior,
      spread: (by) => {
        free.spread(by);
        spreadPrior(by);
      },
    });
    if (!known) continue;
    for (const t of rhyme.tactus) {
      const bound = chain(
        lines.map((line, i) => {
          const own = line.known[t] ?? [];
          return own.length > 0 ? insideKnown(own, evaluation) : (inside[i] as ReturnType<typeof insideLine>);
        }),
        source,
        beatClass,
        evaluation,
      );
      if (bound.logZ > -Infinity)
        good.push({
          log: bound.logZ + prior,
          spread: (by) => {
            bound.spread(by);
            spreadPrior(by);
          },
        });
    }
  }
  if (good.length === 0) return 0;
  const logSum = (list: readonly { log: number }[]): number => {
    const top = Math.max(...list.map(({ log }) => log));
    return top + Math.log(list.reduce((sum, { log }) => sum + Math.exp(log - top), 0));
  };
  const zAll = logSum(all);
  const zGood = logSum(good);
  if (gradient) {
    for (const { log, spread } of all) if (log - zAll > -14) spread(-rhyme.weight * Math.exp(log - zAll));
    for (const { log, spread } of good) if (log - zGood > -14) spread(rhyme.weight * Math.exp(log - zGood));
  }
  return rhyme.weight * (zAll - zGood);
}

export function fit(
  train: readonly Loaded[],
  start: Float64Array,
  rounds: number,
  iterations: number,
): Float64Array {
  const { mean, deviation } = priorParameters();
  let x = start;
  for (let round = 0; round < rounds; round++) {
    const compiled = train.filter(({ known }) => !known.threes).map((item) => compile(item, x));
    x = minimise(
      (y) => {
        const began = performance.now();
        const evaluation = new Evaluation(weightsOf(y), features);
        let value = 0;
        for (const rhyme of compiled) value += loss(rhyme, evaluation, true);
        evaluation.settle();
        const gradient = Float64Array.from(evaluation.expected);
        for (let i = 0; i < R; i++) {
          const simple = evaluation.expected[i] ?? 0;
          const compound = evaluation.expected[R + i] ?? 0;
          gradient[i] = simple + compound;
          gradient[R + i] = simple - compound;
        }
        for (let i = 0; i < SIZE; i++) {
          const off = ((y[i] ?? 0) - (mean[i] ?? 0)) / (deviation[i] ?? 1);
          value += (off * off) / 2;
          gradient[i] = (gradient[i] ?? 0) + off / (deviation[i] ?? 1);
        }
        if (flag('trace')) console.log(value.toFixed(2), Math.round(performance.now() - began), 'ms');
        return { value, gradient };
      },
      x,
      iterations,
    );
  }
  return x;
}

function pairsOf(x: Float64Array): WeightPairs {
  const theta = weightsOf(x);
  return Object.fromEntries(
    RULES.map((rule, i) => [
      rule,
      CARRIERS.includes(rule)
        ? [100, 100]
        : [Math.round(100 * (theta[i] ?? 0)), Math.round(100 * (theta[R + i] ?? 0))],
    ]),
  ) as unknown as WeightPairs;
}

const misses: string[] = [];

function figureOf({ known, verse }: Loaded, x: Float64Array): CaseFigure {
  const placed = placeBeats(withStrengths(verse, x), { beatClass: null, beats: null }, pairsOf(x));
  if (!placed.ok) throw new Error(JSON.stringify(placed.problems));
  const figure = scoreCase(known, placed.value);
  if (figure.metre === false)
    misses.push(`${known.id}: is ${known.beatClass}, placed as ${placed.value.beatClass}`);
  figure.lines.forEach((line, i) => {
    const own = placed.value.lines[i];
    if (line.beatsToo || own === undefined) return;
    const form = known.tactus.find(({ name }) => name === figure.tactus)?.lines[i]?.forms[0];
    misses.push(
      `${known.id} ${String(i + 1)} ${placed.value.beatClass} ${figure.tactus}${line.right ? ' (beats only)' : ''}\n   known  ${(form?.syllables ?? []).map((s) => (s.on ? `|${String(s.beat)} ` : '') + s.text).join(' ')}\n   placed ${writeBeatMarks({ ...own, ticksPerBeat: placed.value.ticksPerBeat })}`,
    );
  });
  return figure;
}

function foldOf(index: number, folds: number): number {
  return folds % 7 === 0 ? index % folds : (index * 7) % folds;
}

const { mean } = priorParameters();
const rounds = option('rounds', 1);
const iterations = option('iterations', 20);

if (flag('check-gradient')) {
  const compiled = loaded.filter(({ known }) => !known.threes).map((item) => compile(item, mean));
  const valueAt = (y: Float64Array): [number, Float64Array] => {
    const evaluation = new Evaluation(weightsOf(y), features);
    let value = 0;
    for (const rhyme of compiled) value += loss(rhyme, evaluation, true);
    evaluation.settle();
    const g = Float64Array.from(evaluation.expected);
    for (let i = 0; i < R; i++) {
      const a = evaluation.expected[i] ?? 0;
      const b = evaluation.expected[R + i] ?? 0;
      g[i] = a + b;
      g[R + i] = a - b;
    }
    return [value, g];
  };
  const [, g] = valueAt(mean);
  const names = [...RULES, ...RULES.map((rule) => `${rule} (half difference)`), ...KINDS, ...PLACES];
  for (let i = 0; i < SIZE; i += option('every', 7)) {
    const y = Float64Array.from(mean);
    y[i] = (y[i] ?? 0) + 1e-3;
    const [up] = valueAt(y);
    y[i] = (y[i] ?? 0) - 2e-3;
    const [down] = valueAt(y);
    console.log((names[i] ?? '').padEnd(46), ((up - down) / 2e-3).toFixed(4), (g[i] ?? 0).toFixed(4));
  }
} else if (flag('write')) {
  const x = fit([...loaded, ...always], mean, rounds, iterations);
  if (flag('show')) show(x);
  else writeNumbers(x);
  const figures = loaded.map((item) => figureOf(item, x));
  if (!flag('quiet')) console.log(misses.join('\n'));
  print('fitted on all', figures);
} else {
  const folds = Math.min(option('folds', 5), loaded.length);
  for (const share of flag('curve') ? [0.25, 0.5, 0.75, 1] : [option('share', 1)]) {
    misses.length = 0;
    const figures: CaseFigure[] = [];
    for (let fold = 0; fold < folds; fold++) {
      const train = loaded
        .filter((_, i) => foldOf(i, folds) !== fold)
        .filter((_, i) => (i * 0.618) % 1 < share);
      const x = fit([...train, ...always], mean, rounds, iterations);
      loaded.forEach((item, i) => {
        if (foldOf(i, folds) === fold) figures.push(figureOf(item, x));
      });
    }
    if (!flag('quiet') && !flag('curve')) console.log(misses.join('\n'));
    print(`held out, ${String(folds)} folds, fitted on ${String(share)} of the others`, figures);
  }
}

function print(title: string, figures: readonly CaseFigure[]): void {
  for (const own of ['verse', 'song'] as const) {
    console.log(
      report(
        `${title}, ${own}`,
        figures.filter((figure) => figure.kind === own),
      ),
    );
  }
}

/** Fitted numbers beside their priors. */
function show(x: Float64Array): void {
  const pairs = pairsOf(x);
  for (const rule of RULES)
    console.log(
      rule.padEnd(28),
      String(pairs[rule]).padEnd(12),
      String(at<readonly number[]>(PRIOR_WEIGHTS, rule, [])),
    );
  for (const [name, index] of [...kindAt, ...placeAt]) {
    console.log(
      name.padEnd(44),
      String(Math.round(100 * (x[index] ?? 0))).padStart(5),
      String(Math.round(100 * (mean[index] ?? 0))).padStart(5),
    );
  }
}

/** Put fitted numbers into the data files, leaving every word of them as it is. */
function writeNumbers(x: Float64Array): void {
  const weights = 'src/setting/placement-weights.data.ts';
  const pairs = pairsOf(x);
  let text = readFileSync(weights, 'utf8');
  for (const rule of RULES)
    text = text.replace(new RegExp(`'${rule}': \\[[^\\]]*\\]`), `'${rule}': [${pairs[rule].join(', ')}]`);
  writeFileSync(weights, text);
  const strengths = 'src/syllabify/strength.data.ts';
  text = readFileSync(strengths, 'utf8');
  const head = text.slice(0, text.indexOf('export const CLASS_STRENGTH'));
  let tail = text.slice(head.length);
  for (const [name, index] of [...kindAt, ...placeAt]) {
    tail = tail.replace(
      new RegExp(`(^  '?${name}'?: )-?\\d+`, 'm'),
      `$1${String(Math.round(100 * (x[index] ?? 0)))}`,
    );
  }
  writeFileSync(strengths, head + tail);
}
