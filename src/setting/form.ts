/**
 * Form before notes: which phrases return, whose tune they keep, and how much of the ending may change. Words give
 * the evidence (returning lines, rhyme partners, like rhythms); where they leave it open, the seed decides.
 */
import type { Random } from '../random.ts';
import type { RhythmPhrase } from '../rhythm.ts';
import type { KeptForm } from './family.ts';
import type { Place, PhrasePlaces } from './melody-places.ts';

/** What the notes of a phrase are made from. */
export interface PhrasePlan {
  /** Base letter of the form: `a`, `b` ... */
  readonly letter: string;
  /** Index of the phrase whose tune this one takes up, or null for a new tune. */
  readonly source: number | null;
  /**
   * `new`: its own tune. `copy`: the source's tones throughout. `tail`: the source's tones up to the last `tail`
   * sounds. `echo`: the source's tune fitted to another rhythm, as closely as the rules allow.
   */
  readonly kind: 'new' | 'copy' | 'tail' | 'echo';
  /** How many sounds at the end are free; 0 unless `kind` is `tail`. */
  readonly tail: number;
  /** The last phrase of a strophe, which closes. */
  readonly closes: boolean;
  /** A later phrase takes up this tune and closes it, so this one had better stay open. */
  readonly asks: boolean;
}

export interface FormOptions {
  /** Songs without fa and ti, chants among them, repeat their phrases more. */
  readonly chant: boolean;
  /** The form of an easier song in the family, or null. */
  readonly kept: KeptForm | null;
}

/**
 * The plan of every phrase, in order of singing.
 *
 * Stated forms: one line is `a`. In the first strophe a line whose words return, or which begins as an earlier one,
 * takes up its tune; else each line is new, repeats the line before, or answers the line two before (four before in
 * strophes of eight), by odds that rhyme and rhythm raise. Later strophes sing the first one's tunes, last to last.
 */
export function planForm(
  phrases: readonly PhrasePlaces[],
  random: Random,
  options: FormOptions,
): readonly PhrasePlan[] {
  const strophes = strophesOf(phrases.map((p) => p.phrase));
  const sources =
    options.kept === null
      ? drawSources(phrases, strophes, random, options)
      : keptSources(options.kept, phrases);
  const letters: string[] = [];
  let next = 0;
  for (const source of sources) letters.push(source === null ? letterName(next++) : (letters[source] ?? 'a'));
  const lasts = new Set(strophes.map((strophe) => strophe.at(-1) ?? 0));
  return sources.map((source, i): PhrasePlan => {
    const asks = !lasts.has(i) && sources.some((s, k) => s === i && lasts.has(k));
    const plan = { letter: letters[i] ?? 'a', source, closes: lasts.has(i), asks };
    if (source === null) return { ...plan, kind: 'new', tail: 0 };
    if (!fits(phrases[source], phrases[i])) return { ...plan, kind: 'echo', tail: 0 };
    if (options.kept !== null) {
      const told = options.kept.changed(source, i);
      const changed = lasts.has(i) && !lasts.has(source) ? Math.max(told, options.kept.leastTail) : told;
      return changed > 4
        ? { ...plan, kind: 'echo', tail: 0 }
        : { ...plan, kind: changed > 0 ? 'tail' : 'copy', tail: changed };
    }
    // The last return turns to the close; another return changes its ending two times in five.
    const turns =
      !lasts.has(source) &&
      (lasts.has(i) || (strophes[0]?.includes(i) === true && draw(random, [60, 40]) === 1));
    return {
      ...plan,
      kind: turns ? 'tail' : 'copy',
      tail: turns ? 1 + draw(random, options.chant ? [25, 45, 30] : [5, 50, 45]) : 0,
    };
  });
}

/** Where each phrase takes its tune from: the first strophe by evidence and draw, the others from the first. */
function drawSources(
  phrases: readonly PhrasePlaces[],
  strophes: readonly (readonly number[])[],
  random: Random,
  options: FormOptions,
): readonly (number | null)[] {
  const first = strophes[0] ?? [];
  const sources: (number | null)[] = [];
  for (const i of first) sources.push(drawSource(phrases, sources, i, first.length, random, options));
  for (const strophe of strophes.slice(1)) {
    strophe.forEach((_, k) => {
      const isLast = k === strophe.length - 1;
      sources.push(first[isLast ? first.length - 1 : k % first.length] ?? 0);
    });
  }
  return sources;
}

/** Each phrase takes up the latest with its words, else the first with its letter. */
function keptSources({ letters }: KeptForm, phrases: readonly PhrasePlaces[]): readonly (number | null)[] {
  return letters.map((letter, i) => {
    for (let j = i - 1; j >= 0; j -= 1) {
      if (letters[j] === letter && wordsReturn(phrases[j], phrases[i])) return j;
    }
    const source = letters.indexOf(letter);
    return source < i ? source : null;
  });
}

/** Indexes of the phrases of each strophe (stanza), in order. */
export function strophesOf(phrases: readonly RhythmPhrase[]): readonly (readonly number[])[] {
  const strophes: number[][] = [];
  phrases.forEach((phrase, i) => {
    if (i > 0 && phrases[i - 1]?.stanza === phrase.stanza) strophes.at(-1)?.push(i);
    else strophes.push([i]);
  });
  return strophes;
}

/** The same sounds on the same beats; a slur's second note is left out of account. */
export function fits(source: PhrasePlaces | undefined, phrase: PhrasePlaces | undefined): boolean {
  return source !== undefined && phrase !== undefined && source.shape === phrase.shape;
}

/** The sound of the source that stands at the same moment, or sounds on there; -1 where the source is silent yet. */
export function counterpart(source: readonly Place[], place: Place): number {
  let found = -1;
  source.forEach((p, i) => {
    if (p.at <= place.at) found = i;
  });
  return found;
}

/** Equal lists of words; never for phrases without words. */
export function wordsReturn(a: PhrasePlaces | undefined, b: PhrasePlaces | undefined): boolean {
  return a !== undefined && b !== undefined && a.words !== '' && a.words === b.words;
}

/** At least half of the longer line and two words: `Rain, rain, go away`, `Rain, rain, stay away`. */
function opensAlike(a: readonly string[], b: readonly string[]): boolean {
  let same = 0;
  while (same < a.length && same < b.length && a[same] === b[same]) same += 1;
  return same >= 2 && same * 2 >= Math.max(a.length, b.length);
}

function drawSource(
  phrases: readonly PhrasePlaces[],
  sources: readonly (number | null)[],
  i: number,
  total: number,
  random: Random,
  options: FormOptions,
): number | null {
  const own = phrases[i];
  if (i === 0 || own === undefined) return null;
  const words = own.phrase.wordKeys;
  for (let j = i - 1; j >= 0; j -= 1) if (wordsReturn(phrases[j], own)) return j;
  for (let j = i - 1; j >= 0; j -= 1) {
    if (opensAlike(phrases[j]?.phrase.wordKeys ?? [], words) && draw(random, [10, 90]) === 1) return j;
  }
  // Odds of a new tune, then of taking up each earlier one. Own weights, from the forms usual in school songs.
  const odds = [options.chant ? 50 : 100];
  for (let j = 0; j < i; j += 1) {
    const earlier = phrases[j];
    const back = i - j;
    const newest = !sources.slice(j + 1).some((source) => source === j);
    let weight = 0;
    if (back === 1) weight = i % 2 === 1 ? (options.chant ? 90 : 45) : 25;
    else if (back === 2) weight = options.chant ? 45 : 40;
    else if (back === 4 && total >= 7) weight = 80;
    else if (j === 0) weight = 20;
    if (earlier === undefined || (!newest && back > 2)) weight = 0;
    if (earlier !== undefined && earlier.phrase.rhyme !== '' && earlier.phrase.rhyme === own.phrase.rhyme)
      weight *= 1.5;
    odds.push(Math.round(weight * (fits(earlier, own) ? 2 : 0.6)));
  }
  const drawn = draw(random, odds);
  return drawn === 0 ? null : drawn - 1;
}

/** `a` to `z`, then `aa` and on. */
function letterName(n: number): string {
  const letter = String.fromCharCode(97 + (n % 26));
  return letter.repeat(1 + Math.floor(n / 26));
}

/** An index drawn with probability proportional to its integer weight; at least one is more than 0. */
export function draw(random: Random, weights: readonly number[]): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  let left = random() % total;
  for (const [index, weight] of weights.entries()) {
    if (left < weight) return index;
    left -= weight;
  }
  return weights.length - 1;
}
