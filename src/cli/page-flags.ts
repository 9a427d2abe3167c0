/**
 * What was typed for `pages` -> what it means; everything is checked before anything is read.
 */
import {
  inWords,
  nearest,
  PAGE_KINDS,
  type HideWishes,
  type PageKind,
  type PageOptions,
  type Problem,
} from '../index.ts';
import type { Flag, Given } from './command.ts';
import { usageProblem } from './report.ts';

export const PAGE_FLAGS: readonly Flag[] = [
  { flags: '--page <kinds>', about: `${PAGE_KINDS.join(', ')}; several with commas (default: song)` },
  { flags: '--paper <size>', about: 'a4 or letter (default: a4)' },
  { flags: '--landscape', about: 'the long side across' },
  { flags: '--margin <mm>', about: 'margin in millimetres, or top,right,bottom,left (default: 15,15,12,15)' },
  { flags: '--text-size <points>', about: 'size of the words (default: as large as suits the page)' },
  { flags: '--title <text>', about: "title of the booklet, or of the only song (default: the song's own)" },
  { flags: '--class <text>', about: 'class, printed at the head' },
  { flags: '--date <text>', about: 'date, printed as you write it (default: none)' },
  {
    flags: '--language <code>',
    about: 'language of the words, for reading aloud, such as en or cy (default: en)',
  },
  { flags: '--letters', about: 'song: solfa letters under the words' },
  { flags: '--staff', about: 'ladder: the tones on a staff beside it' },
  {
    flags: '--hide <part>',
    about: 'fill, dictation: tones, rhythm or words (default: the new tone of the rung)',
  },
  { flags: '--bars <numbers>', about: 'fill, dictation: hide in these bars only, such as 3-4 or 1,3' },
  { flags: '--every <number>', about: 'fill: hide every so many letters, words or bars' },
  { flags: '--versions <number>', about: 'fill, dictation: so many different sheets (default: 1)' },
];

const HIDDEN_PARTS: readonly NonNullable<HideWishes['part']>[] = ['tones', 'rhythm', 'words'];
const MM_PER_POINT = 25.4 / 72;
const MOST_VERSIONS = 40;
/** A margin that leaves no room for a page is a slip. */
const MOST_MARGIN_MM = 60;

/** All that the flags say, or every problem that they have. `seed` chooses what is hidden. */
export function pageOptions(flags: Given['flags'], seed: number): PageOptions | readonly Problem[] {
  const problems: Problem[] = [];
  const ask = <T>(name: string, usual: T, read: (text: string) => T | Problem): T => {
    const text = flags[camel(name)];
    if (typeof text !== 'string') return usual;
    const value = read(text);
    if (!isProblem(value)) return value;
    problems.push(value);
    return usual;
  };
  const textOf = (name: string): string | null => ask<string | null>(name, null, (text) => text);
  const options: PageOptions = {
    kinds: ask<readonly PageKind[]>('page', ['song'], readKinds),
    paper: ask<PageOptions['paper']>('paper', 'a4', (text) => oneOf('paper', text, ['a4', 'letter'])),
    landscape: flags['landscape'] === true,
    margins: ask('margin', { topMm: 15, rightMm: 15, bottomMm: 12, leftMm: 15 }, readMargins),
    wordSizeMm: ask<number | null>('text-size', null, (text) => {
      const points = numberIn('text-size', text, 8, 96);
      return isProblem(points) ? points : points * MM_PER_POINT;
    }),
    title: textOf('title'),
    className: textOf('class'),
    date: textOf('date'),
    language: ask('language', 'en', readLanguage),
    hide: {
      part: ask<HideWishes['part']>('hide', null, (text) => oneOf('hide', text, HIDDEN_PARTS)),
      bars: ask<HideWishes['bars']>('bars', null, readBars),
      every: ask<number | null>('every', null, (text) => numberIn('every', text, 2, 100)),
      seed,
    },
    versions: ask('versions', 1, (text) => numberIn('versions', text, 1, MOST_VERSIONS)),
    letters: flags['letters'] === true,
    staff: flags['staff'] === true,
  };
  return problems.length > 0 ? problems : options;
}

/** `text-size` as the parser calls it: `textSize`. */
function camel(name: string): string {
  return name.replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase());
}

function isProblem(value: unknown): value is Problem {
  return typeof value === 'object' && value !== null && 'severity' in value;
}

function oneOf<T extends string>(name: string, text: string, names: readonly T[]): T | Problem {
  const found = names.find((each) => each === text.trim().toLowerCase());
  if (found !== undefined) return found;
  const near = nearest(text.trim(), names);
  const hint = near === null ? undefined : `Did you mean ${near}?`;
  return usageProblem(
    `--${name} ${text}: there is no "${text.trim()}". It is one of ${inWords(names)}.`,
    hint,
  );
}

function readKinds(text: string): readonly PageKind[] | Problem {
  const chosen = new Set<PageKind>();
  for (const part of text.split(',')) {
    if (part.trim() === 'all') {
      for (const kind of PAGE_KINDS) chosen.add(kind);
      continue;
    }
    const kind = oneOf('page', part, PAGE_KINDS);
    if (typeof kind !== 'string') return kind;
    chosen.add(kind);
  }
  return [...chosen];
}

function numberIn(name: string, text: string, least: number, most: number): number | Problem {
  const value = /^\s*\d{1,6}\s*$/.test(text) ? Number(text) : NaN;
  if (value >= least && value <= most) return value;
  return usageProblem(
    `--${name} ${text}: a whole number from ${String(least)} to ${String(most)} is wanted.`,
  );
}

function readMargins(text: string): PageOptions['margins'] | Problem {
  const numbers = text.split(',').map((part) => (/^\s*\d+(\.\d+)?\s*$/.test(part) ? Number(part) : NaN));
  const fit = numbers.every((value) => value >= 0 && value <= MOST_MARGIN_MM);
  const [top = 0, right = top, bottom = top, left = right] = numbers;
  if (fit && (numbers.length === 1 || numbers.length === 4)) {
    return { topMm: top, rightMm: right, bottomMm: bottom, leftMm: left };
  }
  const most = String(MOST_MARGIN_MM);
  return usageProblem(
    `--margin ${text}: one number of millimetres, or four as top,right,bottom,left, from 0 to ${most}.`,
  );
}

function readBars(text: string): readonly number[] | Problem {
  const bars = new Set<number>();
  for (const part of text.split(',')) {
    const match = /^\s*(\d{1,3})(?:\s*-\s*(\d{1,3}))?\s*$/.exec(part);
    const first = Number(match?.[1] ?? NaN);
    const last = Number(match?.[2] ?? first);
    if (!(first <= last)) {
      return usageProblem(`--bars ${text}: bars are numbers from 1 (0 is the upbeat), such as 3-4 or 1,3.`);
    }
    for (let bar = first; bar <= last; bar++) bars.add(bar);
  }
  return [...bars].sort((a, b) => a - b);
}

function readLanguage(text: string): string | Problem {
  if (/^[a-z]{2,8}(-[a-z\d]{1,8})*$/i.test(text.trim())) return text.trim();
  return usageProblem(`--language ${text}: a language code is wanted, such as en, en-GB or cy.`);
}
