/**
 * Fonts read by us and by fontkit, a general-purpose library (npm), which pdfkit brings.
 */
import { create, type Font } from 'fontkit';
import { describe, expect, test } from 'vitest';
import { FACE_NAMES } from '../../src/pages/page.ts';
import { subsetFont } from '../../src/pages/subset-font.ts';
import { openTypeface } from '../../src/pages/typeface.ts';
import { faces, FONT_FILES, fontBytes, setter } from './fonts.ts';

/** The letters named in the trade's worst rhymes, and some of every block that the fonts have. */
const LETTERS = 'Hickory dickory, “dock” ’tis é ñ ő Ű ß æ ø ł č ğ ı – — … ¿¡ ŵ ŷ 0123456789 &@#%';

function font(name: (typeof FACE_NAMES)[number]): Font {
  return create(Buffer.from(fontBytes(FONT_FILES[name])));
}

describe.each(FACE_NAMES)('%s', (name) => {
  const ours = faces[name];
  const theirs = font(name);

  test('has the glyphs, widths and ink that fontkit finds', () => {
    for (const letter of LETTERS) {
      const codePoint = letter.codePointAt(0) ?? 0;
      const glyph = theirs.glyphForCodePoint(codePoint);
      expect(ours.glyphOf(codePoint), letter).toBe(glyph.id);
      expect(ours.advanceOf(ours.glyphOf(codePoint)), letter).toBe(glyph.advanceWidth);
      const ink = ours.boundsOf(ours.glyphOf(codePoint));
      // the library measures the curve itself, the font states its box: they differ by rounding only
      if (ink !== null) expect(Math.abs(ink.yMax - glyph.bbox.maxY), letter).toBeLessThanOrEqual(1);
    }
  });

  test('cut down to some letters still draws them as before, to another reader', () => {
    const subset = create(Buffer.from(subsetFont(ours, LETTERS, 'page-test')));
    expect(subset.numGlyphs).toBeLessThan(200);
    expect(subset.postscriptName).toBe('page-test');
    for (const letter of LETTERS) {
      const codePoint = letter.codePointAt(0) ?? 0;
      const [before, after] = [theirs.glyphForCodePoint(codePoint), subset.glyphForCodePoint(codePoint)];
      expect(after.advanceWidth, letter).toBe(before.advanceWidth);
      expect(after.path.toSVG(), letter).toBe(before.path.toSVG());
    }
    expect(subset.hasGlyphForCodePoint(0x416)).toBe(false);
  });

  test('is cut down to the same bytes every time', () => {
    expect(subsetFont(ours, 'abc', 'x')).toEqual(subsetFont(ours, 'cbaabc', 'x'));
  });
});

test('what is no font is refused', () => {
  expect(() => openTypeface(new Uint8Array(64))).toThrow(RangeError);
});

describe('text', () => {
  test('takes a letter that its face lacks from another one', () => {
    const shapes = setter.text('B♭ major', { xMm: 0, baselineMm: 10, face: 'book', sizeMm: 5 });
    expect(shapes.map(({ face, text }) => [face, text])).toEqual([
      ['book', 'B'],
      ['reader', '♭'],
      ['book', ' major'],
    ]);
    expect(shapes[1]?.xMm).toBeCloseTo(shapes[0]?.widthMm ?? 0);
  });

  test('names the letters that no face has', () => {
    expect(setter.missing('歌 a 歌')).toEqual(['歌']);
  });

  test('stands where it is told to', () => {
    const place = { xMm: 50, baselineMm: 10, face: 'reader', sizeMm: 5 } as const;
    const width = setter.width('so', 'reader', 5);
    expect(setter.text('so', place)[0]?.xMm).toBe(50);
    expect(setter.text('so', { ...place, align: 'centre' })[0]?.xMm).toBeCloseTo(50 - width / 2);
    expect(setter.text('so', { ...place, align: 'right' })[0]?.xMm).toBeCloseTo(50 - width);
  });
});
