/**
 * Expected trouble as values. Stages return problems; only the command line prints them.
 */
import type { Span } from './verse.ts';

/** `error`: not made. `warning`: made, but something asked for was not honoured or may not suit. `note`: for the teacher to know. */
export type Severity = 'error' | 'warning' | 'note';

/** Every code there is; each has an entry in DEVELOPERS.md. */
export type ProblemCode = (typeof PROBLEM_CODES)[number];

export const PROBLEM_CODES = [
  // at the command line
  'bad-usage',
  'missing-file',
  'unreadable-file',
  'no-rhymes',
  'not-written',
  // reading the text
  'nothing-to-sing',
  'not-text',
  'line-too-long',
  'front-matter',
  'unknown-option',
  'bad-value',
  'bad-beat-mark',
  'words-mismatch',
  // placing and rhythm
  'no-placement',
  'beats-contradict',
  'close-call',
  'bar-completed',
  'by-ear-only',
  // tunes
  'unknown-rung',
  'unknown-key',
  'out-of-range',
  'new-tone-missing',
  'no-melody',
  'few-takes',
  'given-tones',
  // scores and songs coming back
  'not-a-score',
  'score-label',
  'score-rows',
  'bar-lines-differ',
  'rhythm-name',
  'note-value',
  'bar-length',
  'upbeat-length',
  'tone-name',
  'tone-octave',
  'outside-tones',
  'tones-count',
  'tone-not-set',
  'broken-tie',
  'broken-slur',
  'syllables-count',
  'broken-word',
  'not-a-song',
  'musicxml',
  'left-out',
  'unused-wish',
  // practice and parts
  'bad-plan',
  'drone-changed',
  'parts-clash',
  'no-part',
  // pages
  'missing-package',
  'missing-letter',
  'nothing-to-hide',
  'few-versions',
] as const;

export interface Problem {
  readonly code: ProblemCode;
  readonly severity: Severity;
  /** What was seen, where, what is accepted, what to do; present tense; no blame. */
  readonly message: string;
  /** Number of the line of the rhyme, from 1, when the problem belongs to one. */
  readonly line?: number;
  /** Where in the text as typed. */
  readonly span?: Span;
  /** What to try. */
  readonly hint?: string;
}

/** A result with its problems. `ok: false` has at least one problem of severity `error`. */
export type Outcome<T> =
  | { readonly ok: true; readonly value: T; readonly problems: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[] };

export function made<T>(value: T, problems: readonly Problem[] = []): Outcome<T> {
  return { ok: true, value, problems };
}

export function failed(...problems: readonly Problem[]): Outcome<never> {
  return { ok: false, problems };
}

/** Go on to the next stage when this one went well; problems add up. */
export function andThen<A, B>(outcome: Outcome<A>, next: (value: A) => Outcome<B>): Outcome<B> {
  if (!outcome.ok) return outcome;
  const after = next(outcome.value);
  return { ...after, problems: [...outcome.problems, ...after.problems] };
}
