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

  interface GlyphPosition {
    readonly xAdvance: number;
    readonly yAdvance: number;
    readonly xOffset: number;
    readonly yOffset: number;
    readonly advanceWidth: number;
  }

  /** A font in use; measures in thousandths of its size. */
  interface EmbeddedFont {
    readonly font: { glyphForCodePoint(codePoint: number): Glyph };
    /** From font units to thousandths. */
    readonly scale: number;
    layout: (text: string) => {
      readonly glyphs: readonly Glyph[];
      readonly positions: readonly GlyphPosition[];
      readonly advanceWidth: number;
    };
  }

  interface Document {
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
    fontSize(size: number): this;
    fillColor(colour: string): this;
    strokeColor(colour: string): this;
    text(text: string, x: number, y: number, options: Record<string, unknown>): this;
    save(): this;
    restore(): this;
    translate(x: number, y: number): this;
    scale(x: number, y: number): this;
    rotate(degrees: number, options: { origin: [number, number] }): this;
    moveTo(x: number, y: number): this;
    lineTo(x: number, y: number): this;
    rect(x: number, y: number, width: number, height: number): this;
    ellipse(x: number, y: number, radiusX: number, radiusY: number): this;
    path(outline: string): this;
    fill(): this;
    stroke(): this;
    fillAndStroke(): this;
    lineWidth(width: number): this;
    lineCap(cap: 'butt' | 'round'): this;
    lineJoin(join: 'miter' | 'round'): this;
    dash(length: number, options: { space: number }): this;
    undash(): this;
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
