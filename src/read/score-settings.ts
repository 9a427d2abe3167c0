/**
 * The settings at the top of a score, as YAML gave them (unknown) -> what a song needs beside its notes.
 */
import { isTone, pitchName, readPitch, type Pitch, type Tone } from '../pitch.ts';
import { PROBLEM_CODES, type Problem, type Severity } from '../problem.ts';
import { DEFAULT_NAMES, findRhythmNames, rhythmFamilyNames, type RhythmNames } from '../rhythm-names.ts';
import { nearest } from '../suggest.ts';
import { METRES, type Metre, type MetreName } from '../time.ts';
import type { Span } from '../verse.ts';

/** Front matter as plain values, with the place of each value in the text as typed where that is known. */
export interface Matter {
  readonly values: Readonly<Record<string, unknown>>;
  readonly spans: Readonly<Record<string, Span>>;
}

/** What a score says of itself. */
export interface ScoreSettings {
  readonly title: string;
  readonly rung: string;
  /** Null when not said: then the tones are those of the notes. */
  readonly tones: readonly Tone[] | null;
  readonly newTone: Tone | null;
  readonly home: Tone;
  readonly doPitch: Pitch;
  readonly metre: Metre;
  readonly tempoBpm: number;
  readonly seed: number;
  readonly take: number;
  readonly names: RhythmNames;
  readonly problems: readonly Problem[];
}

const KEYS = [
  'score', 'title', 'rung', 'tones', 'new', 'home', 'do', 'metre', 'tempo', 'seed', 'take', 'names', 'problems', 'source',
] as const; // prettier-ignore
type Key = (typeof KEYS)[number];

/** True when the front matter marks a score, not a rhyme: it has the key `score`. */
export function isScoreMatter(values: Readonly<Record<string, unknown>>): boolean {
  return 'score' in values;
}

/**
 * Check the settings of a score; null when something is wrong, with a problem for each fault.
 *
 * Only `score` and `metre` must be there. Left out, the title is `Untitled`, the rung `own`, home `d`, do `D4`, tempo
 * 112, seed and take 1, names `ta-ti`. Problems: `not-a-score`, `unknown-option`, `bad-value`.
 */
export function readSettings(
  matter: Matter,
  families: readonly RhythmNames[],
  problems: Problem[],
): ScoreSettings | null {
  const before = problems.length;
  const { values } = matter;
  const add = (
    code: 'not-a-score' | 'unknown-option' | 'bad-value',
    key: string,
    message: string,
    hint?: string,
  ) => {
    const span = matter.spans[key];
    problems.push({
      code,
      severity: 'error',
      message,
      ...(span === undefined ? {} : { span }),
      ...(hint === undefined ? {} : { hint }),
    });
  };
  if (!/^(?:chantwright )?1$/.test(textOf(values['score']) ?? '')) {
    const message = `The score form "${textOf(values['score']) ?? ''}" is not known here.`;
    add('not-a-score', 'score', message, 'This program reads score: chantwright 1');
  }
  for (const key of Object.keys(values)) {
    if (KEYS.some((known) => known === key)) continue;
    const near = nearest(key, KEYS);
    const message = `A score has no setting "${key}". Its settings are ${KEYS.join(', ')}.`;
    add('unknown-option', key, message, near === null ? undefined : `Did you mean ${near}?`);
  }
  const take = <T>(key: Key, usual: T, read: (text: string) => T | null, accepted: string): T => {
    if (values[key] === undefined || values[key] === null) return usual;
    const text = textOf(values[key]);
    const value = text === null ? null : read(text);
    if (value !== null) return value;
    add('bad-value', key, `"${text ?? 'this'}" is no ${key} here; ${accepted}.`);
    return usual;
  };
  const toneList = (text: string): readonly Tone[] | null => {
    const tones = text.trim().split(/\s+/);
    return tones.every(isTone) ? tones : null;
  };
  const tone = (text: string): Tone | null => (isTone(text) ? text : null);
  const oneTone = "it is one solfa letter, such as d, l, or d'";
  const whole = (least: number) => (text: string) =>
    /^\d{1,15}$/.test(text) && Number(text) >= least ? Number(text) : null;
  const settings: ScoreSettings = {
    title: take('title', 'Untitled', (text) => text, 'it is text'),
    rung: take('rung', 'own', (text) => text, 'it is the name of a rung'),
    tones: take('tones', null, toneList, 'they are solfa letters divided by spaces, such as m s l'),
    newTone: take('new', null, tone, oneTone),
    home: take('home', 'd', tone, oneTone),
    doPitch: take('do', DO_USUAL, readPitch, 'it is a pitch with its octave, such as D4, Bb3 or F#4'),
    metre: take('metre', METRES['2/4'], metreOf, `metres are ${Object.keys(METRES).join(', ')}`),
    tempoBpm: take('tempo', 112, tempoOf, 'it is beats a minute, from 20 to 400'),
    seed: take('seed', 1, whole(0), 'it is a whole number'),
    take: take('take', 1, whole(1), 'it is a whole number from 1'),
    names: take(
      'names',
      DEFAULT_FAMILY,
      (name) => familyOf(name, families),
      `families are ${namesOf(families)}`,
    ),
    problems: problemsOf(values['problems']),
  };
  if (values['metre'] === undefined) {
    const message = 'The score does not say its metre, so its bars cannot be checked.';
    add('bad-value', 'score', message, 'Write a line such as metre: 2/4 among the settings at its top.');
  }
  return problems.length > before ? null : settings;
}

const DO_USUAL: Pitch = { letter: 'D', alter: 0, octave: 4 };
const DEFAULT_FAMILY: RhythmNames = findRhythmNames(DEFAULT_NAMES) ?? {
  kind: 'place',
  name: 'none',
  places: { simple: [], compound: [] },
};

function textOf(value: unknown): string | null {
  if (typeof value === 'string') return value;
  return typeof value === 'number' || typeof value === 'boolean' ? String(value) : null;
}

function metreOf(text: string): Metre | null {
  return text in METRES ? METRES[text as MetreName] : null;
}

function tempoOf(text: string): number | null {
  const tempo = Number(text);
  return tempo >= 20 && tempo <= 400 ? tempo : null;
}

function familyOf(name: string, families: readonly RhythmNames[]): RhythmNames | null {
  return families.find((family) => family.name === name) ?? findRhythmNames(name);
}

function namesOf(families: readonly RhythmNames[]): string {
  return [...new Set([...rhythmFamilyNames(), ...families.map((family) => family.name)])].join(', ');
}

/** Problems that travel with a song; what is not one is passed over, for it changes no note. */
export function problemsOf(value: unknown): readonly Problem[] {
  if (!Array.isArray(value)) return [];
  return value.flatMap((each: unknown): readonly Problem[] => {
    if (typeof each !== 'object' || each === null) return [];
    const { code, severity, message, line } = each as Readonly<Record<string, unknown>>;
    const known = PROBLEM_CODES.find((name) => name === code);
    const grave = SEVERITIES.find((name) => name === severity);
    if (known === undefined || grave === undefined || typeof message !== 'string') return [];
    return [{ code: known, severity: grave, message, ...(typeof line === 'number' ? { line } : {}) }];
  });
}

const SEVERITIES: readonly Severity[] = ['error', 'warning', 'note'];

/** The pitch of do as a song keeps it. */
export function doName(settings: ScoreSettings): string {
  return pitchName(settings.doPitch);
}
