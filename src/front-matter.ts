/**
 * Front matter and other YAML -> settings with the place of each in the text as typed. The only file that names
 * yaml, which is loaded when there is some to read; nothing here knows what the settings mean.
 */
import type { Document, Node, Pair, ParsedNode } from 'yaml';
import { failed, made, type Outcome, type Problem } from './problem.ts';
import type { Span } from './verse.ts';

/** A text with its front matter cut off. */
export interface DividedText {
  /** The lines between the `---` lines, as typed; null when there are none. */
  readonly matter: string | null;
  /** Where the matter begins in the text as typed. */
  readonly start: number;
  /** What follows. */
  readonly body: string;
  /** Where the body begins in the text as typed. */
  readonly offset: number;
}

/** One `name: value`. */
export interface Entry {
  readonly name: string;
  readonly nameSpan: Span;
  /** Null when nothing stands behind the colon. */
  readonly value: EntryValue | null;
}

export interface EntryValue {
  /** A scalar as typed (`6/8`, `007`, `no`), whatever YAML makes of it; a list in brackets with commas; else null. */
  readonly text: string | null;
  readonly span: Span;
  /** Where the text begins: behind the quotation mark where there is one. */
  readonly textStart: number;
  /** The entries of a map or the items of a list, each item with the name ''; else null. */
  readonly entries: readonly Entry[] | null;
  /** The value as plain data. */
  readonly plain: unknown;
}

/** Cut a text at its front matter. Problem: `front-matter` where it is opened and not closed. */
export function divideText(text: string): Outcome<DividedText> {
  const opening = /^\uFEFF?---[ \t]*(?:\r\n|\n|\r)/.exec(text);
  if (opening === null) return made({ matter: null, start: 0, body: text, offset: 0 });
  const start = opening[0].length;
  const closing = /^(?:---|\.\.\.)[ \t]*$(?:\r\n|\n|\r)?/m.exec(text.slice(start));
  if (closing === null) {
    const message =
      'The settings that this line opens are not closed. Write a second line of --- after them.';
    return failed(matterProblem(message, { start: 0, end: start }));
  }
  const matter = text.slice(start, start + closing.index);
  const offset = start + closing.index + closing[0].length;
  return made({ matter, start, body: text.slice(offset), offset });
}

/** Front matter -> its entries in order; spans count from `base`. Problems: `front-matter`. */
export async function readEntries(matter: string, base: number): Promise<Outcome<readonly Entry[]>> {
  const { parseDocument, isMap } = await import('yaml');
  const document = parseDocument(matter, { prettyErrors: false, logLevel: 'silent' });
  if (document.errors.length > 0) return failed(...yamlProblems(document.errors, matter, base));
  const contents: Node | null = document.contents;
  if (contents === null) return made([]);
  if (!isMap(contents)) {
    const message = 'The settings are lines of a name, a colon, a space and a value, such as tempo: 104.';
    return failed(matterProblem(message, spanOf(contents, base)));
  }
  return made(
    contents.items.map((pair) => entryOf(pair as Pair<ParsedNode, ParsedNode | null>, document, base)),
  );
}

/** Any YAML as plain values, with the way to the place of each. */
export interface PlacedYaml {
  readonly value: unknown;
  /** The place of what a path of keys and indexes leads to, or of as much of the path as is there. */
  readonly spanAt: (path: readonly (string | number)[]) => Span;
}

/** Any YAML text (JSON is YAML too), for whoever checks its values. Problems: `front-matter`, with their spans. */
export async function readYaml(text: string): Promise<Outcome<PlacedYaml>> {
  const { parseDocument } = await import('yaml');
  const document = parseDocument(text.replace(/^\uFEFF/, ' '), { prettyErrors: false, logLevel: 'silent' });
  if (document.errors.length > 0) return failed(...yamlProblems(document.errors, text, 0));
  const whole = { start: 0, end: Math.max(1, text.length) };
  try {
    const value = document.toJS({ maxAliasCount: 100 }) as unknown;
    return made({ value, spanAt: (path) => placeAt(document, path, whole) });
  } catch {
    const message = 'This refers to other parts of itself too often, or to one that is not there.';
    return failed(matterProblem(message, whole));
  }
}

/**
 * Front matter as text with some keys set: what was there stays as typed, comments too. `''` when there is nothing.
 *
 * @param matter as in `DividedText`.
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

function entryOf(
  { key, value }: Pair<ParsedNode, ParsedNode | null>,
  document: Document,
  base: number,
): Entry {
  return {
    name: textOf(key) ?? '',
    nameSpan: spanOf(key, base),
    value: value === null ? null : valueOf(value, document, base),
  };
}

function valueOf(node: ParsedNode, document: Document, base: number): EntryValue {
  const span = spanOf(node, base);
  const items: readonly unknown[] | null = 'items' in node ? node.items : null;
  return {
    text: textOf(node),
    span,
    textStart: span.start + (isQuoted(node) ? 1 : 0),
    entries: items?.map((item) => itemEntry(item, document, base)) ?? null,
    plain: plainOf(node, document),
  };
}

function itemEntry(item: unknown, document: Document, base: number): Entry {
  if (typeof item === 'object' && item !== null && 'key' in item)
    return entryOf(item as Pair<ParsedNode, ParsedNode | null>, document, base);
  const node = item as ParsedNode;
  return { name: '', nameSpan: spanOf(node, base), value: valueOf(node, document, base) };
}

/** Null for an alias that leads nowhere or everywhere. */
function plainOf(node: ParsedNode, document: Document): unknown {
  try {
    return node.toJS(document, { maxAliasCount: 100 });
  } catch {
    return null;
  }
}

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

/** The deepest node on the path that has a place of its own. */
function placeAt(document: Document, path: readonly (string | number)[], whole: Span): Span {
  for (let length = path.length; length > 0; length--) {
    const node = document.getIn(path.slice(0, length), true) as Node | undefined;
    if (hasPlace(node)) return spanOf(node, 0);
    const key = keyNode(document, path.slice(0, length));
    if (key !== null) return spanOf(key, 0);
  }
  return hasPlace(document.contents) ? spanOf(document.contents, 0) : whole;
}

function hasPlace(node: Node | null | undefined): node is Node {
  return Array.isArray(node?.range);
}

/** The key of a map's entry that has no value. */
function keyNode(document: Document, path: readonly (string | number)[]): Node | null {
  const parent: unknown = path.length === 1 ? document.contents : document.getIn(path.slice(0, -1), true);
  if (typeof parent !== 'object' || parent === null || !('items' in parent)) return null;
  const pairs = parent.items as readonly { readonly key?: Node & { readonly value?: unknown } }[];
  return pairs.find((pair) => String(pair.key?.value) === String(path.at(-1)))?.key ?? null;
}

function spanOf(node: Node, base: number): Span {
  const [start, end] = node.range ?? [0, 0];
  return { start: base + start, end: base + Math.max(end, start + 1) };
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
    const at = Math.min(pos[0], last);
    const span = { start: base + at, end: Math.max(base + at + 1, base + Math.min(pos[1], last + 1)) };
    const words =
      code === 'BLOCK_AS_IMPLICIT_KEY' && text.charAt(at) === '?'
        ? 'A value that begins with ? stands between quotes: "? ? s m"'
        : (YAML_FAULTS[code] ?? `The settings cannot be read here: ${message}.`);
    return matterProblem(words, span);
  });
}

/** A problem with the settings as such. */
export function matterProblem(message: string, span: Span): Problem {
  return { code: 'front-matter', severity: 'error', message, span };
}
