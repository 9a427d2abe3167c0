/**
 * A font with only the letters that a document uses, small enough to travel inside an SVG or HTML file.
 *
 * Source: OpenType specification 1.9. The outlines are those of the font, without the instructions that fit them to
 * coarse screens; glyphs are numbered anew, in the order of their letters.
 */
import type { Typeface } from './typeface.ts';

/** Bits of a compound glyph's parts: OpenType, table glyf. */
const WORDS = 0x0001;
const SCALE = 0x0008;
const MORE = 0x0020;
const SCALE_XY = 0x0040;
const SCALE_TWO_BY_TWO = 0x0080;
const INSTRUCTIONS = 0x0100;

/**
 * The font cut down to the letters of `text` (below U+10000) and what they are made of.
 *
 * Same font, same set of letters and same name: same bytes.
 *
 * @param name what the font calls itself, in ASCII letters, digits and hyphens.
 */
export function subsetFont(face: Typeface, text: string, name: string): Uint8Array {
  const letters = [...new Set(Array.from(text, (letter) => letter.codePointAt(0) ?? 0))]
    .filter((codePoint) => codePoint < 0x10000 && face.glyphOf(codePoint) !== 0)
    .sort((a, b) => a - b);
  const numbers = new Map<number, number>([[0, 0]]);
  const numberOf = (glyph: number): number => {
    const known = numbers.get(glyph);
    if (known !== undefined) return known;
    numbers.set(glyph, numbers.size);
    return numbers.size - 1;
  };
  const mapped = letters.map((codePoint) => [codePoint, numberOf(face.glyphOf(codePoint))] as const);
  const outlines: Uint8Array[] = [];
  // parts of compound glyphs join the list while it is walked
  for (const glyph of numbers.keys()) outlines.push(outlineWithout(face, glyph, numberOf));

  const offsets = [0];
  for (const outline of outlines) offsets.push((offsets.at(-1) ?? 0) + outline.length);
  return assemble([
    ['OS/2', copy(face, 'OS/2')],
    ['cmap', letterTable(mapped)],
    ['glyf', joined(outlines)],
    [
      'head',
      patched(copy(face, 'head'), [
        [8, 0],
        [10, 0],
        [50, 1],
      ]),
    ],
    ['hhea', patched(copy(face, 'hhea'), [[34, numbers.size]])],
    ['hmtx', widths(face, [...numbers.keys()])],
    ['loca', words32(offsets)],
    [
      'maxp',
      patched(copy(face, 'maxp'), [
        [4, numbers.size],
        [26, 0],
      ]),
    ],
    ['name', nameTable(name)],
    ['post', new Uint8Array([0, 3, ...new Array<number>(30).fill(0)])],
  ]);
}

/** A glyph's outline, its instructions taken out, its parts renumbered, padded to a multiple of four. */
function outlineWithout(face: Typeface, glyph: number, numberOf: (part: number) => number): Uint8Array {
  const { start, end } = face.outlineOf(glyph);
  if (end <= start) return new Uint8Array(0);
  const source = new Uint8Array(face.bytes.subarray(start, end));
  const view = new DataView(source.buffer);
  const contours = view.getInt16(0);
  if (contours < 0) return padded(compoundWithout(source, view, numberOf));
  const instructionsAt = 10 + 2 * contours;
  const after = instructionsAt + 2 + view.getUint16(instructionsAt);
  const plain = new Uint8Array(source.length - (after - instructionsAt - 2));
  plain.set(source.subarray(0, instructionsAt));
  plain.set(source.subarray(after), instructionsAt + 2);
  return padded(plain);
}

function compoundWithout(source: Uint8Array, view: DataView, numberOf: (part: number) => number): Uint8Array {
  let at = 10;
  for (;;) {
    const flags = view.getUint16(at);
    view.setUint16(at, flags & ~INSTRUCTIONS);
    view.setUint16(at + 2, numberOf(view.getUint16(at + 2)));
    at += 4 + ((flags & WORDS) !== 0 ? 4 : 2);
    if ((flags & SCALE) !== 0) at += 2;
    else if ((flags & SCALE_XY) !== 0) at += 4;
    else if ((flags & SCALE_TWO_BY_TWO) !== 0) at += 8;
    if ((flags & MORE) === 0) return source.subarray(0, at);
  }
}

/** cmap with one table, format 4, platform 3 (Unicode): one segment a letter, then the closing one. */
function letterTable(mapped: readonly (readonly [codePoint: number, glyph: number])[]): Uint8Array {
  const segments = [...mapped, [0xffff, 0] as const];
  const count = segments.length;
  const power = 2 ** Math.floor(Math.log2(count));
  const length = 16 + 8 * count;
  const header = [0, 1, 3, 1, 0, 12];
  const table = [4, length, 0, 2 * count, 2 * power, Math.log2(power), 2 * (count - power)];
  const ends = segments.map(([codePoint]) => codePoint);
  const deltas = segments.map(([codePoint, glyph]) =>
    codePoint === 0xffff ? 1 : (glyph - codePoint) & 0xffff,
  );
  return words16([...header, ...table, ...ends, 0, ...ends, ...deltas, ...segments.map(() => 0)]);
}

/** The names that readers of fonts ask for: family, style, full name and PostScript name; platform 3, English. */
function nameTable(name: string): Uint8Array {
  const records = [
    [1, name],
    [2, 'Regular'],
    [4, name],
    [6, name],
  ] as const;
  const letters = records.map(([, text]) => Array.from(text, (letter) => letter.charCodeAt(0)));
  let offset = 0;
  const directory = records.flatMap(([id], i) => {
    const length = 2 * (letters[i]?.length ?? 0);
    offset += length;
    return [3, 1, 0x409, id, length, offset - length];
  });
  return words16([0, records.length, 6 + 2 * directory.length, ...directory, ...letters.flat()]);
}

function widths(face: Typeface, glyphs: readonly number[]): Uint8Array {
  return words16(
    glyphs.flatMap((glyph) => [face.advanceOf(glyph), (face.boundsOf(glyph)?.xMin ?? 0) & 0xffff]),
  );
}

/** The whole font file, tables in order of their names. */
function assemble(tables: readonly (readonly [tag: string, bytes: Uint8Array])[]): Uint8Array {
  const power = 2 ** Math.floor(Math.log2(tables.length));
  const header = words16([1, 0, tables.length, 16 * power, Math.log2(power), 16 * (tables.length - power)]);
  let offset = 12 + 16 * tables.length;
  const directory = tables.map(([tag, bytes]) => {
    const entry = new Uint8Array(16);
    entry.set(Array.from(tag, (letter) => letter.charCodeAt(0)));
    entry.set(words32([sumOf(bytes), offset, bytes.length]), 4);
    offset += padded(bytes).length;
    return entry;
  });
  return joined([header, ...directory, ...tables.map(([, bytes]) => padded(bytes))]);
}

/** OpenType's checksum: the sum of all 32-bit words. */
function sumOf(bytes: Uint8Array): number {
  const whole = padded(bytes);
  const view = new DataView(whole.buffer, whole.byteOffset, whole.byteLength);
  let sum = 0;
  for (let at = 0; at < whole.length; at += 4) sum = (sum + view.getUint32(at)) >>> 0;
  return sum;
}

function copy(face: Typeface, tag: string): Uint8Array {
  const entry = face.table(tag);
  return new Uint8Array(entry === null ? [] : face.bytes.subarray(entry.offset, entry.offset + entry.length));
}

/** The table with some of its 16-bit words replaced. */
function patched(table: Uint8Array, values: readonly (readonly [at: number, value: number])[]): Uint8Array {
  const view = new DataView(table.buffer, table.byteOffset, table.byteLength);
  for (const [at, value] of values) if (at + 2 <= table.length) view.setUint16(at, value);
  return table;
}

function padded(bytes: Uint8Array): Uint8Array {
  if (bytes.length % 4 === 0) return bytes;
  const whole = new Uint8Array(bytes.length + 4 - (bytes.length % 4));
  whole.set(bytes);
  return whole;
}

function words16(values: readonly number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(2 * values.length));
  values.forEach((value, i) => {
    view.setUint16(2 * i, value);
  });
  return new Uint8Array(view.buffer);
}

function words32(values: readonly number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(4 * values.length));
  values.forEach((value, i) => {
    view.setUint32(4 * i, value);
  });
  return new Uint8Array(view.buffer);
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
