/** The parts of the optional packages that pages use; none of them brings type declarations of its own. */

declare module 'pdfkit' {
  /** A node of the document's structure tree. */
  interface StructureElement {
    add(child: StructureElement | (() => void)): StructureElement;
    end(): void;
  }

  interface Glyph {
    readonly advanceWidth: number;
  }

  /** A font in use; measures in thousandths of its size. */
  interface EmbeddedFont {
    /** What pages call it: `F1`. */
    readonly id: string;
    readonly font: { glyphForCodePoint(codePoint: number): Glyph };
    /** From font units to thousandths. */
    readonly scale: number;
    layout: (text: string) => {
      readonly glyphs: readonly Glyph[];
      readonly positions: readonly { readonly xAdvance: number }[];
    };
    /** Glyphs as four hexadecimal digits each; from then on they are part of the font in the file. */
    encode(text: string): readonly [hex: readonly string[], positions: unknown];
    /** The font's object in the file. */
    ref(): unknown;
  }

  interface Document {
    /** The page begun last. */
    readonly page: { readonly fonts: Record<string, unknown> };
    /** The font chosen last. */
    readonly _font: EmbeddedFont;
    readonly info: Record<string, unknown>;
    readonly outline: { addItem(title: string, options?: { expanded?: boolean }): unknown };
    /** Writes what the file says about itself; called at the end. */
    _addInfo: () => void;
    appendXML(xml: string): void;
    on(event: 'data', listener: (chunk: Uint8Array) => void): this;
    on(event: 'end', listener: () => void): this;
    on(event: 'error', listener: (error: Error) => void): this;
    addPage(options: { size: [number, number]; margin: number }): this;
    registerFont(name: string, source: Uint8Array): this;
    font(name: string): this;
    fillColor(colour: string): this;
    strokeColor(colour: string): this;
    /** Operators for the page's content, as they stand. */
    addContent(operators: string): this;
    scale(x: number, y: number): this;
    lineJoin(join: 'miter' | 'round'): this;
    goTo(
      x: number,
      y: number,
      width: number,
      height: number,
      name: string,
      options?: Record<string, unknown>,
    ): this;
    addNamedDestination(name: string): void;
    struct(type: string, options?: { alt?: string; title?: string }): StructureElement;
    addStructure(element: StructureElement): this;
    markContent(tag: string, options?: { type?: string }): this;
    endMarkedContent(): this;
    end(): void;
  }

  const PDFDocument: new (options: Record<string, unknown>) => Document;
  export type { Document, EmbeddedFont, StructureElement };
  export { PDFDocument as default };
}

declare module 'verovio/wasm' {
  const createVerovioModule: () => Promise<unknown>;
  export { createVerovioModule as default };
}

declare module 'verovio/esm' {
  export const LOG_OFF: number;
  export function enableLog(level: number, module: unknown): void;
  export class VerovioToolkit {
    constructor(module: unknown);
    setOptions(options: Record<string, unknown>): void;
    resetXmlIdSeed(seed: number): void;
    /** False or 0 when the data cannot be read. */
    loadData(data: string): boolean;
    getPageCount(): number;
    renderToSVG(page: number): string;
    getLog(): string;
    getVersion(): string;
  }
}
