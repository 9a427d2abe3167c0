/**
 * Placement -> plain words: for each line its beats, what it paid for them, the best other way, and what decided
 * between the two. Nothing is worked out again; the ledgers say it all.
 */
import type { Charge, PlacedLine, Placement } from '../placement.ts';
import { notationOf } from './notation.ts';
import { RULE_WORDS } from './rule-words.data.ts';

/** The whole rhyme explained, a blank line between lines; ends with a line end. */
export function explainPlacement(placement: Placement): string {
  const counted =
    placement.beatClass === 'simple'
      ? 'Simple time: each beat divides in two.'
      : 'Compound time: each beat divides in three.';
  const lines = placement.lines.map((line) => explainLine(line, placement.ticksPerBeat));
  return [counted, ...lines].map((part) => `${part}\n`).join('\n');
}

/** One line explained. Costs are in hundredths of a natural logarithm: 69 dearer is half as likely. */
export function explainLine(placed: PlacedLine, ticksPerBeat: number): string {
  const head = `${String(placed.line.number)}  ${notationOf(placed, ticksPerBeat)}`;
  if (placed.given) return `${head}\n   The beats are as given.`;
  const paid = byRule(placed.ledger).slice(0, SHOWN).map(entryWords(placed));
  const rows = [head, `   It paid ${String(placed.cost)}, most of all for: ${paid.join('; ')}.`];
  if (placed.runnerUp === null) return [...rows, '   There is no other way to place it.'].join('\n');
  const { notation, cost, ledger } = placed.runnerUp;
  const saved = new Map(byRule(placed.ledger).map((entry) => [entry.rule, entry.cost]));
  const dearer = byRule(ledger)
    .map((entry) => ({ ...entry, cost: entry.cost - (saved.get(entry.rule) ?? 0), syllables: [] }))
    .filter((entry) => entry.cost > 0)
    .sort((a, b) => b.cost - a.cost)
    .slice(0, SHOWN)
    .map(entryWords(placed));
  rows.push(`   The next best is ${String(cost - placed.cost)} dearer: ${notation}`);
  if (dearer.length > 0) rows.push(`   It would pay more for: ${dearer.join('; ')}.`);
  return rows.join('\n');
}

const SHOWN = 4;

interface Entry {
  readonly rule: string;
  readonly cost: number;
  readonly syllables: readonly number[];
}

/** Charges summed by rule, dearest first. */
function byRule(ledger: readonly Charge[]): readonly Entry[] {
  const sums = new Map<string, Entry>();
  for (const { rule, cost, syllable } of ledger) {
    const before = sums.get(rule) ?? { rule, cost: 0, syllables: [] };
    const syllables = syllable === null ? before.syllables : [...before.syllables, syllable];
    sums.set(rule, { rule, cost: before.cost + cost, syllables });
  }
  return [...sums.values()].sort((a, b) => b.cost - a.cost);
}

/** `a weak syllable on a beat (in, preposition) 36`. */
function entryWords(placed: PlacedLine): (entry: Entry) => string {
  return ({ rule, cost, syllables }) => {
    const named = SYLLABLE_RULES.has(rule)
      ? syllables.map((at) => {
          const syllable = placed.syllables[at]?.syllable;
          return syllable === undefined ? '' : `${syllable.text.trim()}: ${syllable.reason}`;
        })
      : [];
    const where = named.length > 0 ? ` (${named.join(', ')})` : '';
    return `${RULE_WORDS[rule] ?? rule}${where} ${String(cost)}`;
  };
}

/** Rules that are about the syllable itself, so its word and its reason say more. */
const SYLLABLE_RULES: ReadonlySet<string> = new Set([
  'weak-on-beat',
  'strong-off-beat',
  'inverted-in-word',
  'inverted-in-phrase',
  'weak-last-beat',
]);
