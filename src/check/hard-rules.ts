/**
 * The rules of a rung that never bend, asked one tone or one step at a time. Written apart from the search, so that
 * the one checks the other.
 */
import { toneSemitones, type Tone } from '../pitch.ts';
import type { Rung } from '../rung.ts';

/** Where a sound stands in its phrase. */
export interface Standing {
  readonly first: boolean;
  readonly last: boolean;
  /** The phrase is the last of its strophe. */
  readonly closes: boolean;
}

/** A rule broken by a tone where it stands; null when it may stand there. */
export function standingFault(rung: Rung, tone: Tone, { first, last, closes }: Standing): string | null {
  const rule = rung.rules.find((each) => each.tone === tone);
  if (rule === undefined) return `${tone} is not on ${rung.name} (${rung.tones.join(' ')})`;
  const atTheClose = last && closes;
  if (atTheClose && !rung.closes.includes(tone)) {
    return `the strophe ends on ${tone}; on ${rung.name} it closes on ${rung.closes.join(' or ')}`;
  }
  if (!atTheClose && rung.closesOnly && rung.closes.includes(tone)) {
    return `${tone} sounds before the last close, for which ${rung.name} keeps it`;
  }
  if (last && !closes && rule.open === null) return `a phrase ends on ${tone}`;
  if (first && !last && rule.start === null) return `a phrase begins on ${tone}`;
  return null;
}

/** A rule broken by the step from one tone of a phrase to the next; null when it may be taken. */
export function stepFault(rung: Rung, from: Tone, to: Tone, { last, closes }: Standing): string | null {
  if (from === to) return null;
  const wayOut = rung.rules.find((each) => each.tone === from)?.to ?? null;
  const wayIn = rung.rules.find((each) => each.tone === to)?.from ?? null;
  if (wayOut !== null && !wayOut.includes(to))
    return `${from} goes to ${to}; it goes to ${wayOut.join(' or ')}`;
  if (wayIn !== null && !wayIn.includes(from))
    return `${to} comes from ${from}; it comes from ${wayIn.join(' or ')}`;
  if (last && closes && rung.closeFrom !== null && !rung.closeFrom.includes(from)) {
    return `the close comes from ${from}; it comes from ${rung.closeFrom.join(' or ')}`;
  }
  const size = Math.abs(toneSemitones(to) - toneSemitones(from));
  if (size > rung.widestLeap) return `a leap of ${String(size)} semitones from ${from} to ${to}`;
  // The augmented fourth and the sevenths: intervals that young singers do not find (common practice).
  if ([6, 10, 11].includes(size)) return `the leap from ${from} to ${to} is hard to find`;
  return null;
}
