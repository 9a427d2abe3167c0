/**
 * Words in a line whose beats the teacher wrote: which way of singing her marks mean, and what they say of its syllables.
 */
import type { GivenMark, Stress } from '../verse.ts';
import { textOf } from './ways.ts';
import type { Way } from './ways.ts';
import type { TypedWord } from './words.ts';

/** Places inside a word where the teacher's marks or its own hyphens cut it. */
export function cutsOf(typed: TypedWord): readonly number[] {
  const hyphens = typed.chars.flatMap((char, index) => (char.letter === '-' ? [index + 1] : []));
  const marked = typed.marks.map((mark) => mark.at).filter((at) => at > 0);
  return [...new Set([...marked, ...hyphens])].sort((a, b) => a - b);
}

/**
 * The way of a word that agrees with the marks in it.
 *
 * @param exact the line's words are divided throughout, so a word left whole is one syllable if it ever is.
 */
export function asGiven(typed: TypedWord, ways: readonly [Way, ...Way[]], exact: boolean): Way {
  const cuts = cutsOf(typed);
  const inner = typed.marks.filter((mark) => mark.at > 0);
  if (inner.length === 0) {
    const single = exact && cuts.length === 0 ? ways.find((way) => way.starts.length === 1) : undefined;
    return single ?? ways[0];
  }
  const starts = [0, ...cuts];
  const ends = [...cuts, typed.chars.length];
  const divided = inner.some((mark) => mark.divides || mark.empties.length > 0);
  const plausible = ways.find((way) => way.starts.length === starts.length);
  const roomy = (way: Way): boolean =>
    starts.every((start, index) => way.vowels.some((vowel) => vowel >= start && vowel < (ends[index] ?? 0)));
  const whole = (start: number, index: number): boolean =>
    (textOf(typed.chars.slice(start, ends[index])).match(/[aeiouy]+/gi) ?? []).length <= 1;
  if (divided && (plausible !== undefined || starts.every(whole))) return cutAt(starts, plausible ?? ways[0]);
  const fitting = ways.find(roomy);
  return fitting === undefined ? cutAt(starts, ways[0]) : cutFurther(starts, ends, fitting);
}

/** A word divided exactly as the teacher wrote it; the stress of each part is that of the vowels in it. */
function cutAt(starts: readonly number[], way: Way): Way {
  const same = way.starts.length === starts.length;
  const stresses = starts.map((start, index): Stress => {
    if (same) return way.stresses[index] ?? 0;
    const inside = way.vowels.flatMap((vowel, v) =>
      vowel >= start && vowel < (starts[index + 1] ?? Infinity) ? [way.stresses[v] ?? 0] : [],
    );
    return inside.reduce<Stress>((best, stress) => (stress > best ? stress : best), 0);
  });
  return {
    ...way,
    starts,
    vowels: same ? way.vowels : starts,
    stresses,
    source: same ? way.source : 'given',
    cost: 0,
  };
}

/** A word whose marks cut it in parts of several syllables: the parts divide as the word itself does. */
function cutFurther(starts: readonly number[], ends: readonly number[], way: Way): Way {
  const all = way.vowels.map((vowel, index) => {
    const part = starts.findIndex((start, i) => vowel >= start && vowel < (ends[i] ?? 0));
    const first = index === 0 || (way.vowels[index - 1] ?? 0) < (starts[part] ?? 0);
    if (first) return starts[part] ?? 0;
    const own = way.starts[index] ?? vowel;
    return own > (starts[part] ?? 0) && own > (way.vowels[index - 1] ?? 0) ? own : vowel;
  });
  return { ...way, starts: all, cost: 0 };
}

/** The teacher's marks for the syllables of the way that they chose. */
export function marksOf(typed: TypedWord, way: Way): readonly GivenMark[] {
  return way.starts.flatMap((start): GivenMark[] => {
    const mark = typed.marks.find(({ at }) => at === start);
    const empties = (mark?.empties ?? []).map((sound) => ({ kind: 'empty', sound }) as const);
    return [...empties, { kind: mark?.beat === true ? 'on' : 'off' }];
  });
}
