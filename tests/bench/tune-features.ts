/**
 * What can be counted in a tune: the features whose human bands are published beside the corpus of children's songs,
 * and the shares that divergences are measured on. Knows nothing of how tunes are made.
 */

/** One sound: when it begins (ticks from the phrase's first beat), how strong, how high (semitones from do). */
export interface Sound {
  readonly at: number;
  readonly strength: 0 | 1 | 2 | 3;
  readonly semitones: number;
  readonly duration: number;
}
export type TunePhrase = readonly Sound[];
export type SungTune = readonly TunePhrase[];

export type Shares = ReadonlyMap<string, number>;

const NAMES: Readonly<Record<number, string>> = { 0: 'd', 2: 'r', 4: 'm', 5: 'f', 7: 's', 9: 'l', 11: 't' };
const LETTERS = [0, 0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6];

/** `s,` `d` `m'` ... ; chromatic tones by number. */
export function toneName(semitones: number): string {
  const octave = Math.floor(semitones / 12);
  const name = NAMES[semitones - 12 * octave] ?? String(semitones - 12 * octave);
  return name + (octave < 0 ? ','.repeat(-octave) : "'".repeat(octave));
}

/** Diatonic size of the interval between two tones, 0 for a repeat, 1 for a second. */
export function size(a: number, b: number): number {
  const step = (n: number): number => Math.floor(n / 12) * 7 + (LETTERS[((n % 12) + 12) % 12] ?? 0);
  return step(b) - step(a);
}

export function count(keys: Iterable<string>): Shares {
  const counts = new Map<string, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  return counts;
}

function* pairs(phrase: TunePhrase): Generator<readonly [Sound, Sound]> {
  for (let i = 1; i < phrase.length; i += 1) {
    const [a, b] = [phrase[i - 1], phrase[i]];
    if (a !== undefined && b !== undefined) yield [a, b];
  }
}

const place = (s: Sound): string => (s.strength >= 2 ? 'strong' : s.strength === 1 ? 'weak' : 'off');

/** Distributions over many tunes, by name. */
export const DISTRIBUTIONS: Readonly<Record<string, (tunes: readonly SungTune[]) => Shares>> = {
  degree: (tunes) => count(tunes.flat(2).map((s) => toneName(s.semitones))),
  degree_strength: (tunes) => count(tunes.flat(2).map((s) => `${place(s)} ${toneName(s.semitones)}`)),
  transition: (tunes) =>
    count(
      tunes.flatMap((tune) =>
        [...pairs(tune.flat())].map(([a, b]) => `${toneName(a.semitones)} ${toneName(b.semitones)}`),
      ),
    ),
  interval: (tunes) =>
    count(
      tunes.flatMap((t) =>
        t.flatMap((p) => [...pairs(p)].map(([a, b]) => String(Math.abs(size(a.semitones, b.semitones))))),
      ),
    ),
  phrase_final: (tunes) =>
    count(tunes.flatMap((t) => t.slice(0, -1).map((p) => toneName(p.at(-1)?.semitones ?? 0)))),
  contour: (tunes) =>
    count(
      tunes
        .flat()
        .filter((p) => p.length >= 3)
        .map(contour),
    ),
  repeat_by_place: (tunes) =>
    count(
      tunes.flatMap((t) =>
        t.flatMap((p) =>
          [...pairs(p)].map(([a, b]) => `${place(b)}${a.semitones === b.semitones ? '=' : ' '}`),
        ),
      ),
    ),
};

/** Huron's nine types (1996): first tone, mean of the tones between, last tone. */
export function contour(phrase: TunePhrase): string {
  const first = phrase[0]?.semitones ?? 0;
  const last = phrase.at(-1)?.semitones ?? 0;
  const inner = phrase.slice(1, -1).map((s) => s.semitones);
  const mean = inner.reduce((a, b) => a + b, 0) / inner.length;
  const sign = (x: number): string => (x > 0 ? '+' : x < 0 ? '-' : '0');
  const names: Readonly<Record<string, string>> = {
    '+-': 'convex',
    '--': 'descending',
    '++': 'ascending',
    '-+': 'concave',
    '0-': 'horizontal-descending',
    '+0': 'ascending-horizontal',
    '00': 'horizontal',
    '0+': 'horizontal-ascending',
    '-0': 'descending-horizontal',
  };
  return names[sign(mean - first) + sign(last - mean)] ?? '?';
}

const entropy = (shares: Shares): number => {
  const total = [...shares.values()].reduce((a, b) => a + b, 0);
  return [...shares.values()].reduce((sum, n) => sum - (n / total) * Math.log2(n / total), 0);
};

/** Features of one tune that the corpus bands give; those that the words alone decide are left out. */
export function features(tune: SungTune): Readonly<Record<string, number>> {
  const sounds = tune.flat();
  const moves = tune.flatMap((p) => [...pairs(p)].map(([a, b]) => size(a.semitones, b.semitones)));
  const share = (test: (n: number) => boolean): number =>
    moves.filter((n) => test(Math.abs(n))).length / Math.max(1, moves.length);
  const names = sounds.map((s) => toneName(s.semitones));
  const bigrams = names.slice(1).map((n, i) => `${names[i] ?? ''} ${n}`);
  const trigrams = bigrams.slice(1).map((n, i) => `${names[i] ?? ''} ${n}`);
  const degrees = count(names);
  const semis = sounds.map((s) => s.semitones);
  const leaps = tune.flatMap((p) => [...pairs(p)].map(([a, b]) => Math.abs(a.semitones - b.semitones)));
  const outlines = tune.map((p) =>
    p
      .map((s) => s.semitones)
      .filter((n, i, all) => i === 0 || n !== all[i - 1])
      .join(' '),
  );
  const later = outlines.slice(1);
  let run = 0;
  let longest = 0;
  semis.forEach((n, i) => {
    run = i > 0 && semis[i - 1] === n ? run + 1 : 1;
    longest = Math.max(longest, run);
  });
  const signs = tune.flatMap((p) => {
    const s = [...pairs(p)].map(([a, b]) => Math.sign(b.semitones - a.semitones)).filter((x) => x !== 0);
    return s.slice(1).map((x, i) => (x === s[i] ? 0 : 1) as number);
  });
  return {
    repeat_share: share((n) => n === 0),
    step_share: share((n) => n === 1),
    third_share: share((n) => n === 2),
    fourth_plus_share: share((n) => n >= 3),
    max_interval_semitones: Math.max(0, ...leaps),
    range_semitones: Math.max(...semis) - Math.min(...semis),
    distinct_pitches: degrees.size,
    degree_entropy_bits: entropy(degrees),
    most_common_degree_share: Math.max(...degrees.values()) / sounds.length,
    transition_cond_entropy_bits: entropy(count(bigrams)) - entropy(count(names.slice(0, -1))),
    longest_same_pitch_run: longest,
    share_later_phrases_same_outline_as_an_earlier:
      later.filter((o, i) => outlines.slice(0, i + 1).includes(o)).length / Math.max(1, later.length),
    distinct_phrase_finals: new Set(tune.map((p) => p.at(-1)?.semitones)).size,
    direction_change_rate: signs.reduce((a, b) => a + b, 0) / Math.max(1, signs.length),
    distinct_bigrams_share: new Set(bigrams).size / Math.max(1, bigrams.length),
    distinct_trigrams_share: new Set(trigrams).size / Math.max(1, trigrams.length),
  };
}

/** Jensen-Shannon divergence in bits between two distributions given as counts or percentages. */
export function divergence(a: Shares, b: Shares): number {
  const total = (m: Shares): number => [...m.values()].reduce((x, y) => x + y, 0);
  const [ta, tb] = [total(a), total(b)];
  let bits = 0;
  for (const key of new Set([...a.keys(), ...b.keys()])) {
    const p = (a.get(key) ?? 0) / ta;
    const q = (b.get(key) ?? 0) / tb;
    const m = (p + q) / 2;
    if (p > 0) bits += (p * Math.log2(p / m)) / 2;
    if (q > 0) bits += (q * Math.log2(q / m)) / 2;
  }
  return bits;
}
