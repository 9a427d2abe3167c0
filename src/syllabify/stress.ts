/**
 * How much each syllable of a line wants a beat: the work that its word does, its stress in the word, and its place in
 * the phrase. Hears phrases without a parser: pauses, the line's end, and what stands next.
 */
import type { Reading, Syllable, Word } from '../verse.ts';
import type { DraftReading, DraftWord } from './draft.ts';
import {
  CLASS_STRENGTH,
  LIGHT_LONGER_WORDS,
  LITTLE_LONGER_WORDS,
  LITTLE_WORDS,
  PLACE_STRENGTH,
  type LittleClass,
  type StrengthClass,
  type StrengthPlace,
} from './strength.data.ts';

/** A syllable's class and the place that changes it, if any. */
export interface Strength {
  readonly kind: StrengthClass;
  readonly place: StrengthPlace | null;
}

/** Give every syllable of a line its prominence, as `Syllable` explains it. */
export function markProminence(line: readonly DraftWord[]): readonly Word[] {
  const little = LITTLE;
  return line.map((word, index) => {
    const mark = (reading: DraftReading): Reading => ({
      syllables: reading.syllables.map((syllable, at): Syllable => {
        const strength = strengthOf({ line, word, index, reading, at, little });
        return {
          text: syllable.text,
          stress: syllable.stress,
          prominence: prominenceOf(strength),
          reason: reasonOf(strength),
        };
      }),
      cost: reading.cost,
      rhyme: reading.rhyme,
    });
    const [first, ...others] = word.readings;
    return {
      text: word.text,
      span: word.span,
      source: word.source,
      edge: word.edge,
      readings: [mark(first), ...others.map(mark)],
    };
  });
}

/** In a teacher's words: `article`, or `little word, last in the line: preposition`. */
export function reasonOf({ kind, place }: Strength): string {
  return place === null ? kind : `${kind} (${place})`;
}

function prominenceOf({ kind, place }: Strength): number {
  return CLASS_STRENGTH[kind] + (place === null ? 0 : PLACE_STRENGTH[place]);
}

interface InLine {
  readonly line: readonly DraftWord[];
  readonly word: DraftWord;
  readonly index: number;
  readonly reading: DraftReading;
  readonly at: number;
  readonly little: LittleIndex;
}

function strengthOf(syllable: InLine): Strength {
  return syllable.reading.syllables.length === 1 ? shortStrength(syllable) : longStrength(syllable);
}

/** A word of one syllable. */
function shortStrength({ line, word, index, little }: InLine): Strength {
  const kind = little.short.get(word.key) ?? 'strong word';
  const last = index === line.length - 1;
  if (kind === 'strong word' || LOUD.has(kind)) {
    if (last) return { kind, place: 'strong word, last in the line' };
    if (word.edge > 0) return { kind, place: 'strong word, before a pause' };
    if (stressFollows(line, index, little)) return { kind, place: yielding(kind) };
    return { kind, place: index === 0 ? 'strong word, first in the line' : null };
  }
  if (last) return { kind, place: 'little word, last in the line' };
  if (word.edge > 0) return { kind, place: 'little word, before a pause' };
  return { kind, place: index === 0 ? 'little word, first in the line' : null };
}

/** Of two stresses side by side the first yields (the rhythm rule), a light word most of all: `go |round`. */
function yielding(kind: StrengthClass): StrengthPlace {
  if (kind === 'strong word') return 'strong word, before a stress';
  return kind === 'number word' ? 'number word, before a stress' : 'light word, before a stress';
}

const LOUD: ReadonlySet<StrengthClass> = new Set([
  'number word',
  'light verb',
  'light adjective',
  'quantity word',
  'exclamation',
  'shortened word with not',
]);

/** Whether the next word begins with a stressed syllable (the rhythm rule: the first of two stresses yields). */
function stressFollows(line: readonly DraftWord[], index: number, little: LittleIndex): boolean {
  const next = line[index + 1];
  if (next === undefined) return false;
  const [reading] = next.readings;
  const [first] = reading.syllables;
  if (reading.syllables.length === 1) {
    const kind = little.short.get(next.key);
    return kind === undefined || kind === 'number word' || kind === 'light adjective';
  }
  return first?.stress === 2;
}

/** A syllable of a longer word. */
function longStrength({ line, word, index, reading, at, little }: InLine): Strength {
  const { syllables } = reading;
  const own = syllables[at]?.stress ?? 0;
  const weight = little.long.get(word.key) ?? null;
  const last = index === line.length - 1;
  const final = at === syllables.length - 1;
  if (own === 2) {
    const kind = weight === null ? 'stressed syllable' : (`stressed syllable of a ${weight} word` as const);
    if (last) return { kind, place: 'stressed syllable, last word of the line' };
    if (final && word.edge === 0 && stressFollows(line, index, little)) {
      return { kind, place: 'stressed syllable, before a stress' };
    }
    return { kind, place: null };
  }
  if (own === 1)
    return { kind: 'second stress', place: last && final ? 'second stress, last in the line' : null };
  const beside = (syllables[at - 1]?.stress ?? 0) === 2 || (syllables[at + 1]?.stress ?? 0) === 2;
  const kind =
    weight !== null
      ? (`weak syllable of a ${weight} word` as const)
      : beside
        ? 'weak syllable beside the stress'
        : 'weak syllable apart from the stress';
  return { kind, place: last && final ? 'weak syllable, last in the line' : null };
}

interface LittleIndex {
  readonly short: ReadonlyMap<string, LittleClass>;
  readonly long: ReadonlyMap<string, 'light' | 'little'>;
}

/** The word lists as an index. A word in two lists counts in the first. */
function littleWords(): LittleIndex {
  const short = new Map<string, LittleClass>();
  for (const [kind, words] of Object.entries(LITTLE_WORDS) as [LittleClass, string][]) {
    for (const word of words.split(' ')) if (!short.has(word)) short.set(word, kind);
  }
  const long = new Map<string, 'light' | 'little'>();
  for (const word of LIGHT_LONGER_WORDS.split(' ')) long.set(word, 'light');
  for (const word of LITTLE_LONGER_WORDS.split(' ')) if (!long.has(word)) long.set(word, 'little');
  return { short, long };
}

const LITTLE: LittleIndex = littleWords();
