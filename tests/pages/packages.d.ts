declare module 'fontkit' {
  interface Glyph {
    readonly id: number;
    readonly advanceWidth: number;
    readonly bbox: {
      readonly minX: number;
      readonly minY: number;
      readonly maxX: number;
      readonly maxY: number;
    };
    readonly path: { toSVG(): string };
  }
  export interface Font {
    readonly numGlyphs: number;
    readonly postscriptName: string;
    glyphForCodePoint(codePoint: number): Glyph;
    hasGlyphForCodePoint(codePoint: number): boolean;
  }
  export function create(bytes: Uint8Array): Font;
}
