/**
 * A small XML writer: elements as records, then text with two spaces of indentation a level.
 */

/** An element: a name, attributes in order, and either text or child elements. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly content: string | readonly XmlElement[];
}

/** One empty record for all elements without attributes, so that the writer can pass them by. */
export const NO_ATTRIBUTES: Readonly<Record<string, string>> = {};

/**
 * Make an element.
 *
 * @example element('pitch', {}, [element('step', {}, 'A')])
 */
export function element(
  name: string,
  attributes: Readonly<Record<string, string>> = NO_ATTRIBUTES,
  content: string | readonly XmlElement[] = '',
): XmlElement {
  return { name, attributes, content };
}

/** An element as lines of text, each ended by a newline. Text content is never broken or padded. */
export function xmlText(root: XmlElement): string {
  return elementText(root, '');
}

function elementText(node: XmlElement, indent: string): string {
  const { name, attributes, content } = node;
  let text = `${indent}<${name}`;
  if (attributes !== NO_ATTRIBUTES) {
    for (const key of Object.keys(attributes)) text += ` ${key}="${escapeAttribute(attributes[key] ?? '')}"`;
  }
  if (content.length === 0) return `${text}/>\n`;
  if (typeof content === 'string') return `${text}>${escapeText(content)}</${name}>\n`;
  text += '>\n';
  const inner = `${indent}  `;
  for (const child of content) text += elementText(child, inner);
  return `${text}${indent}</${name}>\n`;
}

/**
 * A text with markup characters escaped; what XML 1.0 cannot hold is left out (control characters) or replaced by
 * U+FFFD (half surrogate pairs).
 */
export function escapeText(text: string): string {
  if (!/[^\w .,'!?-]/.test(text)) return text;
  return text
    .toWellFormed()
    .replace(UNWRITABLE, '')
    .replace(/[&<>\r]/g, (character) => ESCAPES[character] ?? '');
}

/** As `escapeText`; quotes and white space are escaped too, since readers fold it in attributes. */
export function escapeAttribute(text: string): string {
  return escapeText(text).replace(/["\n\t]/g, (character) => ESCAPES[character] ?? '');
}

const UNWRITABLE = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;
const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  '\n': '&#10;',
  '\r': '&#13;',
  '\t': '&#9;',
};
