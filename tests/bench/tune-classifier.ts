/**
 * bench: how well a simple classifier tells songs of the program from human ones on the same rhythm.
 *
 * Arguments: song books as JSON. Human tunes are those whose tones all lie on the rung `major`; each is set to its own
 * rhythm anew. Logistic regression on standardised features, folds by song; prints the area under the curve.
 */
import { toneSemitones } from '../../src/pitch.ts';
import { strengthAt, ticksPerBar } from '../../src/time.ts';
import { setTakes } from '../../src/setting/melody.ts';
import { findRung } from '../../src/setting/rungs.ts';
import { contour, features, size, toneName, type SungTune } from './tune-features.ts';
import { readBook, type BookTune } from './tune-rhythms.ts';
import { tuneOfSong } from './tune-of-song.ts';

const rung = findRung('major');
if (rung === null) throw new Error('no rung');
const heights = new Set(rung.tones.map(toneSemitones));

const paths = process.argv.slice(2);
const human: SungTune[] = [];
const ours: SungTune[][] = [];
for (const book of paths.flatMap(readBook)) {
  const known = inRung(book);
  if (known === null) continue;
  human.push(humanTune(book, known));
  const options = {
    rung,
    do: null,
    tempoBpm: null,
    seed: 1,
    take: 1,
    slur: false,
    voice: null,
    family: null,
  };
  ours.push(
    setTakes(book.rhythm, options, { first: 1, last: 4, families: [] }).flatMap((o) =>
      o.ok ? [tuneOfSong(o.value)] : [],
    ),
  );
}
console.log(`${String(human.length)} human tunes on major`);
const labelled = [
  ...human.map((tune, song) => ({ song, human: true, x: vector(tune) })),
  ...ours.flatMap((tunes, song) => tunes.map((tune) => ({ song, human: false, x: vector(tune) }))),
];
const names = Object.keys(labelled[0]?.x ?? {});
console.log(`AUC (all features, 6 folds by song): ${auc(names).toFixed(3)}`);
console.log('strongest weights of a regression on all songs (standardised; above 0: more in human songs):');
for (const [name, weight] of strongest(names).slice(0, 25)) {
  console.log(`  ${name.padEnd(34)} ${weight.toFixed(2)}`);
}
console.log('features alone:');
const single = names
  .map((name) => [name, aucOf(labelled.map((l) => [l.x[name] ?? 0, l.human] as const))] as const)
  .sort((a, b) => Math.abs(b[1] - 0.5) - Math.abs(a[1] - 0.5));
for (const [name, value] of single.slice(0, 25)) {
  const mean = (h: boolean): string => {
    const list = labelled.filter((l) => l.human === h).map((l) => l.x[name] ?? 0);
    return (list.reduce((a, b) => a + b, 0) / list.length).toFixed(3);
  };
  console.log(`  ${name.padEnd(34)} alone ${value.toFixed(2)}  human ${mean(true)}  ours ${mean(false)}`);
}

/** The tune moved by octaves so that all its tones lie on the rung, or null. */
function inRung(book: BookTune): readonly (readonly number[])[] | null {
  for (const shift of [0, 12, -12]) {
    const moved = book.semitones.map((line) => line.map((n) => n + shift));
    if (moved.flat().every((n) => heights.has(n))) return moved;
  }
  return null;
}

function humanTune({ rhythm }: BookTune, semitones: readonly (readonly number[])[]): SungTune {
  const bar = ticksPerBar(rhythm.metre);
  return rhythm.phrases.map((phrase, i) => {
    const sounds = phrase.notes
      .filter((n) => !n.rest)
      .map((n, k) => ({
        at: n.onset,
        strength: strengthAt(rhythm.metre, (((n.onset - rhythm.upbeatTicks) % bar) + bar) % bar),
        semitones: semitones[i]?.[k] ?? 0,
        duration: n.duration,
      }));
    const zero = sounds.find((s) => s.strength > 0)?.at ?? 0;
    return sounds.map((s) => ({ ...s, at: s.at - zero }));
  });
}

function vector(tune: SungTune): Record<string, number> {
  const sounds = tune.flat();
  const x: Record<string, number> = { ...features(tune) };
  const share = (name: string, yes: number, of: number): void => {
    x[name] = of === 0 ? 0 : yes / of;
  };
  for (const place of ['strong', 'weak', 'off'] as const) {
    const here = sounds.filter(
      (s) => (s.strength >= 2 ? 'strong' : s.strength === 1 ? 'weak' : 'off') === place,
    );
    for (const degree of [0, 2, 4, 5, 7, 9, 11]) {
      share(
        `${place} ${toneName(degree)}`,
        here.filter((s) => ((s.semitones % 12) + 12) % 12 === degree).length,
        here.length,
      );
    }
    const repeats = tune.flatMap((p) =>
      p.slice(1).flatMap((s, i) => (here.includes(s) ? [p[i]?.semitones === s.semitones] : [])),
    );
    share(`repeat ${place}`, repeats.filter(Boolean).length, repeats.length);
  }
  for (const type of ['convex', 'descending', 'ascending', 'concave']) {
    share(type, tune.filter((p) => p.length > 2 && contour(p) === type).length, tune.length);
  }
  for (const degree of [0, 2, 4, 7]) {
    share(
      `ends ${toneName(degree)}`,
      tune.filter((p) => (((p.at(-1)?.semitones ?? 0) % 12) + 12) % 12 === degree).length,
      tune.length,
    );
    share(
      `starts ${toneName(degree)}`,
      tune.filter((p) => (((p[0]?.semitones ?? 0) % 12) + 12) % 12 === degree).length,
      tune.length,
    );
  }
  const triples = tune.flatMap((p) => p.slice(2).map((s, i) => [p[i], p[i + 1], s] as const));
  let [onward, back, reversed, leaps] = [0, 0, 0, 0];
  for (const [a, b, c] of triples) {
    if (a === undefined || b === undefined) continue;
    const [one, two] = [size(a.semitones, b.semitones), size(b.semitones, c.semitones)];
    if (Math.abs(one) === 1 && one === two) onward += 1;
    if (one !== 0 && two === -one) back += 1;
    if (Math.abs(one) >= 2) leaps += 1;
    if (Math.abs(one) >= 2 && one * two < 0) reversed += 1;
  }
  share('two steps one way', onward, triples.length);
  share('there and back', back, triples.length);
  share('leap turned', reversed, leaps);
  x['mean height'] = sounds.reduce((sum, s) => sum + s.semitones, 0) / sounds.length;
  x['same place as phrase before'] = memory(tune, 1);
  x['same place two before'] = memory(tune, 2);
  return x;
}

/** Share of sounds that have the tone which the phrase `back` before has at the same moment. */
function memory(tune: SungTune, back: number): number {
  let [same, all] = [0, 0];
  tune.forEach((phrase, i) => {
    const before = tune[i - back];
    if (before === undefined) return;
    for (const sound of phrase) {
      const other = before.find((s) => s.at === sound.at);
      if (other === undefined) continue;
      all += 1;
      if (other.semitones === sound.semitones) same += 1;
    }
  });
  return all === 0 ? 0 : same / all;
}

/** Area under the curve of scores, humans above. */
function aucOf(scored: readonly (readonly [number, boolean])[]): number {
  const [yes, no] = [scored.filter(([, h]) => h), scored.filter(([, h]) => !h)];
  let wins = 0;
  for (const [a] of yes) for (const [b] of no) wins += a > b ? 1 : a === b ? 0.5 : 0;
  return wins / (yes.length * no.length);
}

/** Cross-validated: each fold's songs are scored by a regression that has not seen them. */
function auc(columns: readonly string[]): number {
  const scored: (readonly [number, boolean])[] = [];
  for (let fold = 0; fold < 6; fold += 1) {
    const train = labelled.filter((l) => l.song % 6 !== fold);
    const mean = columns.map((c) => train.reduce((sum, l) => sum + (l.x[c] ?? 0), 0) / train.length);
    const sd = columns.map(
      (c, i) =>
        Math.sqrt(train.reduce((sum, l) => sum + ((l.x[c] ?? 0) - (mean[i] ?? 0)) ** 2, 0) / train.length) ||
        1,
    );
    const rows = (list: typeof labelled): number[][] =>
      list.map((l) => columns.map((c, i) => ((l.x[c] ?? 0) - (mean[i] ?? 0)) / (sd[i] ?? 1)));
    const weights = regress(
      rows(train),
      train.map((l) => l.human),
    );
    const test = labelled.filter((l) => l.song % 6 === fold);
    rows(test).forEach((row, i) => scored.push([dot(weights, row), test[i]?.human ?? false]));
  }
  return aucOf(scored);
}

/** The weights of one regression on everything, largest first. */
function strongest(columns: readonly string[]): [string, number][] {
  const scaled = columns.map((c) => {
    const values = labelled.map((l) => l.x[c] ?? 0);
    const mean = values.reduce((a, b) => a + b, 0) / values.length;
    const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length) || 1;
    return values.map((v) => (v - mean) / sd);
  });
  const weights = regress(
    labelled.map((_, i) => scaled.map((column) => column[i] ?? 0)),
    labelled.map((l) => l.human),
  );
  return columns
    .map((c, i): [string, number] => [c, weights[i] ?? 0])
    .sort((a, b) => Math.abs(b[1]) - Math.abs(a[1]));
}

/** Logistic regression by gradient descent, classes weighted alike, ridge penalty. */
function regress(rows: readonly number[][], labels: readonly boolean[]): number[] {
  const weights = new Array<number>(rows[0]?.length ?? 0).fill(0);
  const positives = labels.filter(Boolean).length;
  for (let round = 0; round < 400; round += 1) {
    const gradient = weights.map((w) => 0.02 * w);
    rows.forEach((row, i) => {
      const label = labels[i] === true;
      const weight = label ? 0.5 / positives : 0.5 / (labels.length - positives);
      const error = (1 / (1 + Math.exp(-dot(weights, row))) - (label ? 1 : 0)) * weight;
      row.forEach((v, k) => (gradient[k] = (gradient[k] ?? 0) + error * v));
    });
    gradient.forEach((g, k) => (weights[k] = (weights[k] ?? 0) - 0.5 * g));
  }
  return weights;
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0);
}
