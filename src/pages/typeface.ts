/**
 * A TrueType font read as far as layout needs it: which glyph a letter has, how wide it is, and where its ink lies.
 * Tables are read where they stand; nothing is copied, so opening a font costs next to nothing.
 *
 * Source: OpenType specification 1.9, tables head, hhea, hmtx, maxp, cmap (formats 4 and 12), loca and glyf.
 */

/** Ink of a glyph in font units, from the baseline up. */
export interface GlyphBounds {
  readonly xMin: number;
  readonly yMin: number;
  readonly xMax: number;
  readonly yMax: number;
}

export interface Typeface {
  readonly bytes: Uint8Array;
  readonly unitsPerEm: number;
  /** Number of the glyph of a code point; 0 when the font has none. */
  readonly glyphOf: (codePoint: number) => number;
  /** Advance width in font units. */
  readonly advanceOf: (glyph: number) => number;
  /** Null for a glyph without ink, such as the space. */
  readonly boundsOf: (glyph: number) => GlyphBounds | null;
  /** Where the glyph's outline stands in `bytes`; `end` equals `start` when it has none. */
  readonly outlineOf: (glyph: number) => { readonly start: number; readonly end: number };
  /** Offset and length of a table, or null when the font has none of that name. */
  readonly table: (tag: string) => { readonly offset: number; readonly length: number } | null;
}

/**
 * Open a TrueType font.
 * @throws RangeError when the bytes are no TrueType font with outlines and a Unicode table of letters.
 */
export function openTypeface(bytes: Uint8Array): Typeface {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const tables = readDirectory(view);
  const at = (tag: string): number => {
    const entry = tables.get(tag);
    if (entry === undefined) throw new RangeError(`The font has no table "${tag}".`);
    return entry.offset;
  };
  const head = at('head');
  const hmtx = at('hmtx');
  const loca = at('loca');
  const glyf = at('glyf');
  const metrics = view.getUint16(at('hhea') + 34);
  const glyphs = view.getUint16(at('maxp') + 4);
  const longOffsets = view.getInt16(head + 50) === 1;
  const offset = (glyph: number): number =>
    glyf + (longOffsets ? view.getUint32(loca + 4 * glyph) : 2 * view.getUint16(loca + 2 * glyph));
  const outlineOf = (glyph: number): { start: number; end: number } => {
    if (glyph < 0 || glyph >= glyphs) return { start: glyf, end: glyf };
    return { start: offset(glyph), end: offset(glyph + 1) };
  };
  return {
    bytes,
    unitsPerEm: view.getUint16(head + 18),
    glyphOf: glyphFinder(view, at('cmap')),
    advanceOf: (glyph) => view.getUint16(hmtx + 4 * Math.min(glyph, metrics - 1)),
    boundsOf: (glyph) => {
      const { start, end } = outlineOf(glyph);
      if (end <= start) return null;
      return {
        xMin: view.getInt16(start + 2),
        yMin: view.getInt16(start + 4),
        xMax: view.getInt16(start + 6),
        yMax: view.getInt16(start + 8),
      };
    },
    outlineOf,
    table: (tag) => tables.get(tag) ?? null,
  };
}

function readDirectory(view: DataView): ReadonlyMap<string, { offset: number; length: number }> {
  const version = view.byteLength > 12 ? view.getUint32(0) : 0;
  if (version !== 0x00010000 && version !== 0x74727565) throw new RangeError('This is no TrueType font.');
  const tables = new Map<string, { offset: number; length: number }>();
  for (let i = 0; i < view.getUint16(4); i++) {
    const entry = 12 + 16 * i;
    const tag = String.fromCharCode(...[0, 1, 2, 3].map((k) => view.getUint8(entry + k)));
    tables.set(tag, { offset: view.getUint32(entry + 8), length: view.getUint32(entry + 12) });
  }
  return tables;
}

/** The letter table of the font: format 12 where there is one, else format 4. */
function glyphFinder(view: DataView, cmap: number): (codePoint: number) => number {
  const subtables = Array.from({ length: view.getUint16(cmap + 2) }, (_, i) => {
    const start = cmap + view.getUint32(cmap + 4 + 8 * i + 4);
    return { start, format: view.getUint16(start), platform: view.getUint16(cmap + 4 + 8 * i) };
  }).filter(({ platform }) => platform === 0 || platform === 3);
  const wide = subtables.find(({ format }) => format === 12);
  if (wide !== undefined) return (codePoint) => glyphInGroups(view, wide.start, codePoint);
  const plain = subtables.find(({ format }) => format === 4);
  if (plain === undefined) throw new RangeError('The font has no Unicode table of letters.');
  return (codePoint) => glyphInSegments(view, plain.start, codePoint);
}

/** cmap format 12: groups of code points in rising order. */
function glyphInGroups(view: DataView, start: number, codePoint: number): number {
  let low = 0;
  let high = view.getUint32(start + 12) - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const group = start + 16 + 12 * middle;
    const first = view.getUint32(group);
    if (codePoint < first) high = middle - 1;
    else if (codePoint > view.getUint32(group + 4)) low = middle + 1;
    else return view.getUint32(group + 8) + codePoint - first;
  }
  return 0;
}

/** cmap format 4: segments of 16-bit code points in rising order. */
function glyphInSegments(view: DataView, start: number, codePoint: number): number {
  if (codePoint > 0xffff) return 0;
  const twice = view.getUint16(start + 6);
  for (let i = 0; i < twice; i += 2) {
    if (view.getUint16(start + 14 + i) < codePoint) continue;
    const first = view.getUint16(start + 16 + twice + i);
    if (codePoint < first) return 0;
    const delta = view.getUint16(start + 16 + 2 * twice + i);
    const rangeAt = start + 16 + 3 * twice + i;
    const range = view.getUint16(rangeAt);
    if (range === 0) return (codePoint + delta) & 0xffff;
    const glyph = view.getUint16(rangeAt + range + 2 * (codePoint - first));
    return glyph === 0 ? 0 : (glyph + delta) & 0xffff;
  }
  return 0;
}
