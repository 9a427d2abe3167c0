/**
 * bench:tunes -- FILES: songs of every rung beside the bands and noise floors of human children's songs.
 *
 * FILES, told by what they hold: bands (JSON with `bands`), tables (Markdown), rhythms (JSON song books, or rhymes
 * with beat marks in `.txt`). Prints for each rung the shares of songs inside the human 5 to 95 % band and the
 * divergences against twice the noise floor's 95th percentile.
 */
import { readFileSync } from 'node:fs';
import type { Rhythm } from '../../src/rhythm.ts';
import { ticksPerBar } from '../../src/time.ts';
import { setTakes } from '../../src/setting/melody.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import { readBands, readTables, type Bands } from './tune-corpus.ts';
import {
  DISTRIBUTIONS,
  divergence,
  features,
  toneName,
  type Shares,
  type SungTune,
} from './tune-features.ts';
import { tuneOfSong } from './tune-of-song.ts';
import { readBook, usualRhythm } from './tune-rhythms.ts';

/** Rung -> class of the corpus; null: no evidence. */
export const CLASS_OF: Readonly<Record<string, string | null>> = {
  'so-mi': null,
  'so-mi-la': 'SMLD',
  'so-mi-la-do': 'SMLD',
  'mi-re-do': 'MRDext',
  'so-mi-re-do': 'MRDext',
  'do-pentatonic': 'DPENT',
  'low-so-low-la': 'DPENT_full',
  'high-do': 'DPENT_full',
  'la-pentatonic': null,
  'do-pentachord': 'PENTACHORD',
  'do-hexachord': 'DHEX_exact',
  'la-pentachord': null,
  major: 'DIAT',
  'natural-minor': null,
};

function main(paths: readonly string[]): void {
  const rhythms: Rhythm[] = [];
  let bands: Bands | null = null;
  let tables: ReadonlyMap<string, ReadonlyMap<string, Shares>> = new Map();
  let takes = [1, 4];
  let only: string | null = null;
  for (const path of paths) {
    if (path.startsWith('--takes=')) takes = path.slice(8).split('..').map(Number);
    else if (path.startsWith('--rung=')) only = path.slice(7);
    else if (path.startsWith('--made=')) {
      for (let seed = 1; seed <= Number(path.slice(7)); seed += 1) rhythms.push(usualRhythm(seed));
    } else if (path.endsWith('.md')) tables = readTables(path);
    else if (!readFileSync(path, 'utf8').startsWith('[')) bands = readBands(path);
    else rhythms.push(...readBook(path).map((tune) => tune.rhythm));
  }
  // Bands come from short songs: long rhymes are cut to six phrases.
  const short = rhythms.map((r) => cut(r, 6));
  console.log(`${String(short.length)} rhythms, takes ${takes.join('..')}`);
  for (const rung of RUNGS.filter((r) => only === null || r.name === only)) {
    const cls = CLASS_OF[rung.name] ?? null;
    const tunes: SungTune[] = [];
    const takesOf: SungTune[][] = [];
    let failures = 0;
    for (const rhythm of short) {
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
      const own: SungTune[] = [];
      for (const outcome of setTakes(rhythm, options, {
        first: takes[0] ?? 1,
        last: takes[1] ?? 4,
        families: [],
      })) {
        if (outcome.ok) own.push(tuneOfSong(outcome.value));
        else failures += 1;
      }
      tunes.push(...own);
      takesOf.push(own);
    }
    console.log(
      `\n== ${rung.name} (${cls ?? 'no evidence'}): ${String(tunes.length)} songs, ${String(failures)} failed`,
    );
    report(tunes, cls, bands, tables);
    console.log(
      `  spread between takes: ${spread(takesOf).toFixed(2)} of the sounds differ (mean over pairs of takes of a rhythm)`,
    );
  }
}

function cut(rhythm: Rhythm, phrases: number): Rhythm {
  const kept = rhythm.phrases.slice(0, phrases);
  const bar = ticksPerBar(rhythm.metre);
  const last = kept.at(-1);
  const end = (last?.notes.at(-1)?.onset ?? 0) + (last?.notes.at(-1)?.duration ?? 0);
  const missing = (bar - (end % bar)) % bar;
  if (last === undefined || missing === 0) return { ...rhythm, phrases: kept };
  const rest = { onset: end, duration: missing, rest: true, syllable: null, tie: null, breath: false };
  return { ...rhythm, phrases: [...kept.slice(0, -1), { ...last, notes: [...last.notes, rest] }] };
}

function report(
  tunes: readonly SungTune[],
  cls: string | null,
  bands: Bands | null,
  tables: ReadonlyMap<string, ReadonlyMap<string, Shares>>,
): void {
  const rows = tunes.map(features);
  const band = cls === null ? undefined : bands?.bands[cls];
  let outside = 0;
  let total = 0;
  let medians = 0;
  let counted = 0;
  for (const name of Object.keys(rows[0] ?? {})) {
    const values = rows.map((row) => row[name] ?? 0).sort((a, b) => a - b);
    const at = (q: number): number => values[Math.min(values.length - 1, Math.floor(q * values.length))] ?? 0;
    const human = band?.bands[name];
    const list = [0.05, 0.25, 0.5, 0.75, 0.95].map((q) => at(q).toFixed(2)).join(' ');
    if (human === undefined) {
      console.log(`  ${name.slice(0, 30).padEnd(31)} ${list}`);
      continue;
    }
    const out = values.filter((v) => v < human.p5 - 1e-3 || v > human.p95 + 1e-3).length;
    outside += out;
    total += values.length;
    counted += 1;
    const bad = at(0.5) < human.p5 - 1e-3 || at(0.5) > human.p95 + 1e-3;
    if (bad) medians += 1;
    console.log(
      `  ${name.slice(0, 30).padEnd(31)} ${list}   human ${[human.p5, human.p50, human.p95].map((v) => v.toFixed(2)).join(' ')}   outside ${String(Math.round((100 * out) / values.length))} %${bad ? '  <-- median' : ''}`,
    );
  }
  if (total > 0) {
    console.log(
      `  song-features outside: ${((100 * outside) / total).toFixed(1)} % (human 10 %); medians outside: ${String(medians)} of ${String(counted)}`,
    );
  }
  const table = cls === null ? undefined : tables.get(cls);
  for (const [kind, make] of Object.entries(DISTRIBUTIONS)) {
    const ours = make(tunes);
    const theirs = table?.get(kind);
    const floor = band?.split_half_js_bits[kind];
    const js = theirs === undefined ? NaN : divergence(ours, theirs);
    const verdict =
      floor === undefined || theirs === undefined
        ? ''
        : `JS ${js.toFixed(3)} limit ${(2 * floor.p95).toFixed(3)}${js > 2 * floor.p95 ? '  <-- over' : ''}`;
    console.log(
      `  ${kind} ${verdict}\n     ours   ${show(ours)}${theirs === undefined ? '' : `\n     theirs ${show(theirs)}`}`,
    );
  }
  if (table?.get('transition') !== undefined) {
    const human = bands?.cross_entropy[`children_all/${String(cls)}`]?.known_set.bits['first_beat'];
    const bits = tunes.map((tune) => bitsPerNote(tune, table)).sort((a, b) => a - b);
    const at = (q: number): string => (bits[Math.floor(q * bits.length)] ?? NaN).toFixed(2);
    const theirs =
      human === undefined
        ? ''
        : `; human ${[human.per_song_p10, human.p50, human.p90].map((b) => b.toFixed(2)).join(' / ')}`;
    console.log(
      `  bits a note, first order and beat (p10 / p50 / p90): ${at(0.1)} / ${at(0.5)} / ${at(0.9)}${theirs}`,
    );
  }
  const rates = table?.get('repeat_rates');
  if (rates !== undefined)
    console.log(`  human repeat rates ${[...rates].map(([k, v]) => `${k} ${String(v)}`).join(' ')}`);
  const pairs = DISTRIBUTIONS['repeat_by_place']?.(tunes);
  const rate = (p: string): number => {
    const [yes, no] = [pairs?.get(`${p}=`) ?? 0, pairs?.get(`${p} `) ?? 0];
    return Math.round((100 * yes) / (yes + no));
  };
  console.log(
    `  our repeat rates strong ${String(rate('strong'))} weak ${String(rate('weak'))} off ${String(rate('off'))}`,
  );
}

/**
 * Bits a note when each tone is guessed from the one before and the beat. The published tables give the two apart, so
 * they are put together as P(tone | before) P(tone | place) / P(tone), over the tones that the song has.
 */
function bitsPerNote(tune: SungTune, table: ReadonlyMap<string, Shares>): number {
  const [degree, place, move] = ['degree', 'degree_strength', 'transition'].map((kind) => table.get(kind));
  const sounds = tune.flat();
  const own = [...new Set(sounds.map((s) => toneName(s.semitones)))];
  const total = (shares: Shares | undefined, keys: readonly string[]): number =>
    keys.reduce((sum, key) => sum + (shares?.get(key) ?? 0) + 0.3, 0);
  const share = (shares: Shares | undefined, prefix: string, tone: string): number =>
    ((shares?.get(prefix + tone) ?? 0) + 0.3) /
    total(
      shares,
      own.map((each) => prefix + each),
    );
  let bits = 0;
  sounds.forEach((sound, i) => {
    const before = sounds[i - 1];
    const stands = sound.strength >= 2 ? 'strong ' : sound.strength === 1 ? 'weak ' : 'off ';
    const weight = (tone: string): number =>
      (share(place, stands, tone) / share(degree, '', tone)) *
      (before === undefined ? share(degree, '', tone) : share(move, `${toneName(before.semitones)} `, tone));
    const sum = own.reduce((all, tone) => all + weight(tone), 0);
    bits -= Math.log2(weight(toneName(sound.semitones)) / sum);
  });
  return bits / sounds.length;
}

/** Share of sounds that differ between two takes of a rhythm, over all pairs. */
function spread(groups: readonly (readonly SungTune[])[]): number {
  const shares = groups.flatMap((takes) =>
    takes.flatMap((a, i) =>
      takes.slice(i + 1).map((b) => {
        const [x, y] = [a.flat(), b.flat()];
        return x.filter((s, k) => s.semitones !== y[k]?.semitones).length / x.length;
      }),
    ),
  );
  return shares.reduce((a, b) => a + b, 0) / Math.max(1, shares.length);
}

function show(shares: Shares): string {
  const total = [...shares.values()].reduce((a, b) => a + b, 0);
  return [...shares]
    .map(([key, n]) => [key, (100 * n) / total] as const)
    .filter(([, share]) => share >= 0.7)
    .sort((a, b) => b[1] - a[1])
    .map(([key, share]) => `${key}:${share.toFixed(0)}`)
    .join('  ');
}

main(process.argv.slice(2));
