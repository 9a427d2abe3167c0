/**
 * The rhyme file's front matter and the flags (unknown) -> Options. Everything is checked here, once; the stages
 * trust what they get. The only file that names yaml, which is loaded when there is front matter to read.
 */
import type { Node, Pair, ParsedNode } from 'yaml';
import type { Pitch } from './pitch.ts';
import { failed, made, type Outcome, type Problem } from './problem.ts';
import type { Rung } from './rung.ts';
import type { RhythmRung } from './setting/rhythm-ladder.ts';
import { RUNGS } from './setting/rungs.ts';
import { nearest } from './suggest.ts';
import type { Metre } from './time.ts';
import type { Span } from './verse.ts';
import { inWords, WISH_NAMES, WISH_READERS, type Takes, type TextWishName, type Wishes } from './wishes.ts';

/** All that the stages need to know, names resolved to values, nothing left open but by `null`. */
export interface Options {
  /** Null: the first line of the rhyme. */
  readonly title: string | null;
  readonly source: string | null;
  /** Null: the rung's usual do that fits. */
  readonly do: Pitch | null;
  /** Felt beats a minute; null: what is usual for the voices. */
  readonly tempoBpm: number | null;
  /** Null: worked out from the words. */
  readonly metre: Metre | null;
  /** Beats of every line; null: worked out from the words. */
  readonly beats: number | null;
  readonly words: Readonly<Record<string, string>>;
  /** At least one. */
  readonly rungs: readonly Rung[];
  /** Rhythms that the class can read, easiest first; null when not said. */
  readonly rhythms: readonly RhythmRung[] | null;
  readonly seed: number;
  readonly takes: Takes;
  readonly slur: boolean;
}

/** A rhyme file taken apart. */
export interface RhymeFile {
  /** The lines between the `---` lines, as typed; null when there are none. */
  readonly matter: string | null;
  readonly wishes: Wishes;
  /** The rhyme itself. */
  readonly body: string;
  /** Where the body begins in the text as typed. */
  readonly offset: number;
}

/**
 * Wishes settled: what is asked for now goes before what the file says, and that before what is usual.
 *
 * Usual are the first rung of the ladder, so that a song never has a tone that the class may not know yet; seed 1;
 * take 1; slurs.
 */
export function settle(asked: Wishes, written: Wishes): Options {
  const wishes: Wishes = { ...written, ...asked };
  return {
    title: wishes.title ?? null,
    source: wishes.source ?? null,
    do: wishes.do ?? null,
    tempoBpm: wishes.tempo ?? null,
    metre: wishes.metre ?? null,
    beats: wishes.beats ?? null,
    words: wishes.words ?? {},
    rungs: wishes.rung ?? RUNGS.slice(0, 1),
    rhythms: wishes.rhythms ?? null,
    seed: wishes.seed ?? 1,
    takes: wishes.take ?? { first: 1, last: 1 },
    slur: wishes.slur ?? true,
  };
}

/**
 * Read one wish from its text. Spans of problems count from `base`, where the text stands in what was typed.
 * Problems: `bad-value`, `unknown-rung`, `unknown-key`.
 *
 * @example readWish('tempo', '104', 0) // => { ok: true, value: { tempo: 104 }, problems: [] }
 */
export function readWish(name: TextWishName, text: string, base: number): Outcome<Wishes> {
  const reading = WISH_READERS[name](text);
  if (reading.ok) return made({ [name]: reading.value });
  const part = reading.part ?? { start: 0, end: text.length };
  return failed({
    code: reading.code,
    severity: 'error',
    message: reading.message,
    span: { start: base + part.start, end: base + part.end },
    ...(reading.hint === undefined ? {} : { hint: reading.hint }),
  });
}

/**
 * Take a rhyme file apart and read its front matter. Without front matter nothing is loaded.
 *
 * Problems: `front-matter` where it is not closed or not YAML, `unknown-option` for a key that nobody knows,
 * `bad-value`, `unknown-rung` and `unknown-key` for values; all at once, each with its span in the text as typed.
 */
export async function readRhymeFile(text: string): Promise<Outcome<RhymeFile>> {
  const opening = /^\uFEFF?---[ \t]*(?:\r\n|\n|\r)/.exec(text);
  if (opening === null) return made({ matter: null, wishes: {}, body: text, offset: 0 });
  const start = opening[0].length;
  const closing = /^(?:---|\.\.\.)[ \t]*$(?:\r\n|\n|\r)?/m.exec(text.slice(start));
  if (closing === null) {
    const message =
      'The settings that this line opens are not closed. Write a second line of --- after them.';
    return failed({ code: 'front-matter', severity: 'error', message, span: { start: 0, end: start } });
  }
  const matter = text.slice(start, start + closing.index);
  const offset = start + closing.index + closing[0].length;
  const wishes = await readMatter(matter, start);
  if (!wishes.ok) return wishes;
  return made({ matter, wishes: wishes.value, body: text.slice(offset), offset });
}

/**
 * Front matter as text with some keys set: what was there stays as typed, comments too. `''` when there is nothing.
 *
 * @param matter as in `RhymeFile`.
 * @example await matterWith(null, { metre: '6/8' }) // => '---\nmetre: 6/8\n---\n'
 */
export async function matterWith(
  matter: string | null,
  set: Readonly<Record<string, string>>,
): Promise<string> {
  if (Object.keys(set).length === 0) return matter === null ? '' : `---\n${matter}---\n`;
  const { parseDocument, isMap } = await import('yaml');
  const document = parseDocument(matter ?? '', { prettyErrors: false, logLevel: 'silent' });
  if (!isMap(document.contents)) document.contents = document.createNode({}) as never;
  for (const [key, value] of Object.entries(set)) document.set(key, value);
  return `---\n${document.toString()}---\n`;
}

/** The faults of YAML that people make, in plain words, by the parser's code. */
const YAML_FAULTS: Readonly<Record<string, string>> = {
  BLOCK_AS_IMPLICIT_KEY:
    'This value cannot be read because of its colon. Put it between quotes: title: "Bee: a song"',
  DUPLICATE_KEY: 'This setting is there twice. Keep one of the two.',
  TAB_AS_INDENT: 'This line begins with a tab. Use spaces.',
  MISSING_CHAR: 'This cannot be read: a quote or a bracket is opened and not closed, or a colon is missing.',
  BAD_INDENT:
    'This cannot be read: the line is indented otherwise than its neighbours, or a bracket is not closed.',
  MULTILINE_IMPLICIT_KEY:
    'This cannot be read: each setting is a name, a colon, a space and a value: tempo: 104',
};

/** YAML -> Wishes; spans count from `base`. */
async function readMatter(matter: string, base: number): Promise<Outcome<Wishes>> {
  const { parseDocument, isMap } = await import('yaml');
  const document = parseDocument(matter, { prettyErrors: false, logLevel: 'silent' });
  if (document.errors.length > 0) return failed(...yamlProblems(document.errors, matter, base));
  const contents: Node | null = document.contents;
  if (contents === null) return made({});
  if (!isMap(contents)) {
    const message = 'The settings are lines of a name, a colon, a space and a value, such as tempo: 104.';
    return failed(matterProblem(message, spanOf(contents, base)));
  }
  const outcomes = contents.items.map((pair) => readPair(pair as Pair<ParsedNode, ParsedNode | null>, base));
  const problems = outcomes.flatMap((outcome) => outcome.problems);
  if (outcomes.some((outcome) => !outcome.ok)) return failed(...problems);
  return made(
    Object.assign({}, ...outcomes.map((outcome) => (outcome.ok ? outcome.value : {}))) as Wishes,
    problems,
  );
}

/**
 * Any YAML text (JSON is YAML too) as plain values, for whoever checks them. Problems: `front-matter`, with their spans.
 */
export async function readYaml(text: string): Promise<Outcome<unknown>> {
  const { parseDocument } = await import('yaml');
  const document = parseDocument(text.replace(/^\uFEFF/, ' '), { prettyErrors: false, logLevel: 'silent' });
  if (document.errors.length > 0) return failed(...yamlProblems(document.errors, text, 0));
  try {
    return made(document.toJS({ maxAliasCount: 100 }) as unknown);
  } catch {
    const message = 'This refers to other parts of itself too often, or to one that is not there.';
    return failed(matterProblem(message, { start: 0, end: text.length }));
  }
}

/** What the parser objects to, in plain words. */
function yamlProblems(
  errors: readonly {
    readonly code: string;
    readonly message: string;
    readonly pos: readonly [number, number];
  }[],
  text: string,
  base: number,
): readonly Problem[] {
  const last = Math.max(0, text.trimEnd().length - 1);
  return errors.map(({ code, message, pos }) => {
    const start = base + Math.min(pos[0], last);
    const span = { start, end: Math.max(start + 1, base + Math.min(pos[1], last + 1)) };
    return matterProblem(YAML_FAULTS[code] ?? `The settings cannot be read here: ${message}.`, span);
  });
}

function readPair({ key, value }: Pair<ParsedNode, ParsedNode | null>, base: number): Outcome<Wishes> {
  const name = textOf(key) ?? '';
  const known = WISH_NAMES.find((each) => each === name);
  if (name === 'score') {
    const message = 'This is a score, a song that is made already. Give the rhyme that it was made from.';
    return failed(matterProblem(message, spanOf(key, base)));
  }
  if (known === undefined) {
    const near = nearest(name, WISH_NAMES);
    return failed({
      code: 'unknown-option',
      severity: 'error',
      message: `There is no setting "${name}". Settings are ${inWords(WISH_NAMES)}.`,
      span: spanOf(key, base),
      ...(near === null ? {} : { hint: `Did you mean ${near}?` }),
    });
  }
  if (known === 'words') return readWords(value, spanOf(value ?? key, base), base);
  const text = value === null ? '' : textOf(value);
  if (value === null || text === '') {
    return failed(
      badValue(
        `${known} has no value here. Write one behind the colon, or leave the line out.`,
        spanOf(key, base),
      ),
    );
  }
  if (text === null)
    return failed(badValue(`${known} is one value on its line; this is more.`, spanOf(value, base)));
  return readWish(known, text, spanOf(value, base).start + (isQuoted(value) ? 1 : 0));
}

/** The map of `words:`: each word with its syllables. */
function readWords(value: ParsedNode | null, span: Span, base: number): Outcome<Wishes> {
  const example = 'words is a list, one word a line, indented, each with its syllables: banbury: BAN-bu-ry';
  if (value === null || !('items' in value)) return failed(badValue(`${example}.`, span));
  const words: Record<string, string> = {};
  const problems: Problem[] = [];
  for (const item of value.items) {
    const word = 'key' in item ? textOf(item.key as ParsedNode) : null;
    const syllables = 'key' in item && item.value !== null ? textOf(item.value as ParsedNode) : null;
    if (word === null || word === '' || syllables === null || syllables === '') {
      const node = ('key' in item ? item.key : item) as ParsedNode;
      problems.push(badValue(`${example}.`, spanOf(node, base)));
    } else {
      words[word] = syllables;
    }
  }
  return problems.length > 0 ? failed(...problems) : made({ words });
}

/** A scalar as typed (`6/8`, `007`, `no`), whatever YAML makes of it; a list in brackets with commas; else null. */
function textOf(node: ParsedNode): string | null {
  if ('items' in node) {
    const parts = node.items.map((item) => ('key' in item ? null : textOf(item)));
    return node.flow === true && !parts.includes(null) ? parts.join(',') : null;
  }
  if (!('value' in node)) return null;
  return node.type === 'PLAIN' ? node.source : String(node.value);
}

function isQuoted(node: ParsedNode): boolean {
  return 'type' in node && (node.type === 'QUOTE_DOUBLE' || node.type === 'QUOTE_SINGLE');
}

function spanOf(node: Node, base: number): Span {
  const [start, end] = node.range ?? [0, 0];
  return { start: base + start, end: base + Math.max(end, start + 1) };
}

function matterProblem(message: string, span: Span): Problem {
  return { code: 'front-matter', severity: 'error', message, span };
}

function badValue(message: string, span: Span): Problem {
  return { code: 'bad-value', severity: 'error', message, span };
}
