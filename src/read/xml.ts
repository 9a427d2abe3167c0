/**
 * A small XML reader: text -> elements with their attributes, children and text. Declarations, comments and processing
 * instructions are passed over; entities of a document's own are refused, so nothing can grow while it is read.
 */
import { failed, made, type Outcome } from '../problem.ts';

/** An element. `text` is all its direct text, entities resolved; `start` its UTF-16 offset in the file. */
export interface XmlNode {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlNode[];
  readonly text: string;
  readonly start: number;
}

interface OpenNode extends XmlNode {
  readonly children: XmlNode[];
  text: string;
}

const TOKEN =
  /<!--[\s\S]*?-->|<\?[\s\S]*?\?>|<!\[CDATA\[(?<raw>[\s\S]*?)\]\]>|<!DOCTYPE(?:[^>[]|\[[\s\S]*?\])*>|<\/(?<close>[^\s<>/]+)\s*>|<(?<open>[^\s<>/!?]+)(?<attributes>(?:\s+[^\s=<>"'/]+\s*=\s*(?:"[^"<]*"|'[^'<]*'))*)\s*(?<empty>\/?)>|(?<text>[^<]+)/y;

/** Read a document. Problem: `musicxml` at the first place that is not XML. */
export function readXml(source: string): Outcome<XmlNode> {
  const stack: OpenNode[] = [];
  let root: XmlNode | null = null;
  let at = source.startsWith('\uFEFF') ? 1 : 0;
  const token = new RegExp(TOKEN);
  while (at < source.length) {
    token.lastIndex = at;
    const match = token.exec(source);
    if (match === null) return notXml(at, 'A tag is not complete here.');
    const { raw, close, open, attributes = '', empty, text } = match.groups ?? {};
    const parent = stack.at(-1);
    if (open !== undefined) {
      const read = readAttributes(attributes);
      if (read === null)
        return notXml(at, `The attributes of <${open}> hold a character reference that is not known.`);
      const node: OpenNode = { name: open, attributes: read, children: [], text: '', start: at };
      if (parent === undefined && root !== null)
        return notXml(at, `A second root element, <${open}>, stands here.`);
      if (parent === undefined) root = node;
      else parent.children.push(node);
      if (empty === '') stack.push(node);
    } else if (close !== undefined) {
      if (parent?.name !== close) {
        return notXml(
          at,
          `</${close}> closes here, but ${parent === undefined ? 'nothing' : `<${parent.name}>`} is open.`,
        );
      }
      stack.pop();
    } else if (raw !== undefined || text !== undefined) {
      const plain = raw ?? resolve(text ?? '');
      if (plain === null) return notXml(at, 'A character reference (&...;) here is not known.');
      if (parent !== undefined) parent.text += plain;
      else if (plain.trim() !== '') return notXml(at, 'Text stands here outside of any element.');
    }
    at += match[0].length;
  }
  const open = stack.at(-1);
  if (open !== undefined) return notXml(open.start, `<${open.name}> is not closed.`);
  return root === null ? notXml(0, 'There is no element in this file.') : made(root);
}

function notXml(start: number, message: string): Outcome<never> {
  return failed({ code: 'musicxml', severity: 'error', message, span: { start, end: start + 1 } });
}

function readAttributes(text: string): Readonly<Record<string, string>> | null {
  const attributes: Record<string, string> = {};
  for (const [, name = '', double, single] of text.matchAll(/([^\s=]+)\s*=\s*(?:"([^"]*)"|'([^']*)')/g)) {
    const value = resolve(double ?? single ?? '');
    if (value === null) return null;
    attributes[name] = value;
  }
  return attributes;
}

const NAMED: Readonly<Record<string, string>> = { lt: '<', gt: '>', amp: '&', quot: '"', apos: "'" };

/** Character references replaced; null when one is not known. */
function resolve(text: string): string | null {
  if (!text.includes('&')) return text;
  let known = true;
  const plain = text.replace(
    /&(?:#x([0-9a-f]{1,6})|#(\d{1,7})|(\w+));|&/gi,
    (whole, hex?: string, decimal?: string, name?: string) => {
      const code = hex !== undefined ? parseInt(hex, 16) : decimal !== undefined ? Number(decimal) : -1;
      const character = code >= 0 && code <= 0x10ffff ? String.fromCodePoint(code) : NAMED[name ?? ''];
      if (character === undefined) known = false;
      return character ?? whole;
    },
  );
  return known ? plain : null;
}

/** The first child of this name, or null. */
export function child(node: XmlNode, name: string): XmlNode | null {
  return node.children.find((each) => each.name === name) ?? null;
}

/** All children of this name. */
export function childrenOf(node: XmlNode, name: string): readonly XmlNode[] {
  return node.children.filter((each) => each.name === name);
}

/** The trimmed text at the end of a path of child names, or null. */
export function textAt(node: XmlNode, ...path: readonly string[]): string | null {
  let found: XmlNode | null = node;
  for (const name of path) found = found === null ? null : child(found, name);
  return found === null ? null : found.text.trim();
}
