/**
 * Pages -> PDF by pdfkit, which is loaded here and nowhere else. Text stays text: it can be searched, copied and read
 * aloud, in the order of the page's groups. No clock: the same pages give the same bytes.
 */
import type { Document, EmbeddedFont, StructureElement } from 'pdfkit';
import type { Faces } from './faces.ts';
import { escapeMarkup } from './markup.ts';
import { FACE_NAMES, type FaceName, type Group, type GroupRole, type Page, type PageSet } from './page.ts';
import { contentWriter, type ContentWriter, type EncodeText } from './pdf-content.ts';
import { subsetFont } from './subset-font.ts';

const POINTS_PER_MM = 72 / 25.4;

/** Standard structure types of ISO 32000-1, 14.8.4. */
const STRUCTURE: Readonly<Record<GroupRole, string>> = {
  title: 'H1',
  heading: 'H2',
  paragraph: 'P',
  'contents-entry': 'TOCI',
  figure: 'Figure',
  blank: 'Figure',
  decoration: 'Artifact',
};

/**
 * Write all pages as one PDF 1.7 file, tagged, with its title and language, fonts embedded as far as they are used.
 *
 * The file carries no date: a date is nothing that the pages need, and a clock would change the bytes.
 */
export async function writePdf(set: PageSet, faces: Faces): Promise<Uint8Array> {
  const { default: PDFDocument } = await import('pdfkit');
  const pdf = new PDFDocument({
    pdfVersion: '1.7',
    autoFirstPage: false,
    tagged: true,
    displayTitle: true,
    lang: set.language,
    info: { Title: set.title, Creator: 'Chantwright', Producer: 'pdfkit', CreationDate: new Date(0) },
  });
  // pdfkit numbers the file by a date and would write it; the number is made by now
  delete pdf.info['CreationDate'];
  // its metadata has no way to go without a date, nor with an ampersand in the title
  pdf._addInfo = () => {
    pdf.appendXML(metadata(set));
  };
  const whole = collect(pdf);
  const write = contentWriter(encoderOf(pdf, set, faces));
  const root = pdf.struct('Document', { title: set.title });
  pdf.addStructure(root);
  set.pages.forEach((page, index) => {
    drawPage(pdf, root, page, { index, entries: set.outline.filter((entry) => entry.page === index), write });
  });
  root.end();
  pdf.end();
  return whole;
}

/** What the fonts are called in the file, which says where they come from. */
const FONT_NAMES: Readonly<Record<FaceName, string>> = {
  book: 'Tinos',
  'book-bold': 'Tinos-Bold',
  'book-italic': 'Tinos-Italic',
  reader: 'Andika',
  'reader-bold': 'Andika-Bold',
};

/** Every letter that is set in a face. */
function lettersIn(set: PageSet, name: FaceName): string {
  const letters = new Set<string>();
  for (const { groups } of set.pages) {
    for (const { shapes } of groups) {
      for (const shape of shapes) {
        if (shape.kind === 'text' && shape.face === name)
          for (const letter of shape.text) letters.add(letter);
      }
    }
  }
  return [...letters].join('');
}

/**
 * Gives texts as glyph numbers of the embedded fonts, and notes which fonts a page uses. Letters stand side by side by
 * their own widths, as the layout measured them: no kerning, no ligatures.
 */
function encoderOf(pdf: Document, set: PageSet, faces: Faces): EncodeText {
  const fonts = new Map<FaceName, EmbeddedFont>();
  for (const name of FACE_NAMES) {
    const letters = lettersIn(set, name);
    if (letters === '') continue;
    // a whole font would be read through, table by table, for a few dozen letters
    pdf.registerFont(name, subsetFont(faces[name], letters, FONT_NAMES[name])).font(name);
    fonts.set(name, setPlainly(pdf._font));
  }
  return (face, text) => {
    const font = fonts.get(face);
    if (font === undefined) throw new RangeError(`The face ${face} is not in this document.`);
    pdf.page.fonts[font.id] ??= font.ref();
    return { font: font.id, hex: font.encode(text)[0].join('') };
  };
}

/** Spares the search through the font's rules for every word, most of the time that a page would take. */
function setPlainly(embedded: EmbeddedFont): EmbeddedFont {
  const { font, scale } = embedded;
  embedded.layout = (text) => {
    const glyphs = Array.from(text, (letter) => font.glyphForCodePoint(letter.codePointAt(0) ?? 0));
    const positions = glyphs.map(({ advanceWidth }) => ({ xAdvance: advanceWidth * scale }));
    return { glyphs, positions };
  };
  return embedded;
}

/** Title, language and maker as XMP (ISO 16684-1), which readers that show no page go by. */
function metadata({ title, language }: PageSet): string {
  const [dc, xmp] = ['http://purl.org/dc/elements/1.1/', 'http://ns.adobe.com/xap/1.0/'];
  return [
    `<rdf:Description rdf:about="" xmlns:dc="${dc}" xmlns:xmp="${xmp}">`,
    `<dc:title><rdf:Alt><rdf:li xml:lang="x-default">${escapeMarkup(title)}</rdf:li></rdf:Alt></dc:title>`,
    `<dc:language><rdf:Bag><rdf:li>${escapeMarkup(language)}</rdf:li></rdf:Bag></dc:language>`,
    '<xmp:CreatorTool>Chantwright</xmp:CreatorTool>',
    '</rdf:Description>',
  ].join('\n');
}

function collect(pdf: Document): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  return new Promise((resolve, reject) => {
    pdf.on('data', (chunk) => chunks.push(chunk));
    pdf.on('error', reject);
    pdf.on('end', () => {
      const bytes = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
      let at = 0;
      for (const chunk of chunks) {
        bytes.set(chunk, at);
        at += chunk.length;
      }
      resolve(bytes);
    });
  });
}

interface PlaceInSet {
  /** From 0. */
  readonly index: number;
  readonly entries: PageSet['outline'];
  readonly write: ContentWriter;
}

function drawPage(pdf: Document, root: StructureElement, page: Page, place: PlaceInSet): void {
  pdf.addPage({ size: [page.widthMm * POINTS_PER_MM, page.heightMm * POINTS_PER_MM], margin: 0 });
  pdf.addNamedDestination(`page-${String(place.index + 1)}`);
  for (const { title } of place.entries) pdf.outline.addItem(title);
  pdf.scale(POINTS_PER_MM, POINTS_PER_MM).fillColor('#000').strokeColor('#000').lineJoin('round');
  const contents = page.groups.some((group) => group.role === 'contents-entry') ? pdf.struct('TOC') : null;
  if (contents !== null) root.add(contents);
  for (const group of page.groups) {
    drawGroup(
      pdf,
      group.role === 'contents-entry' && contents !== null ? contents : root,
      group,
      place.write,
    );
  }
  contents?.end();
}

function drawGroup(pdf: Document, parent: StructureElement, group: Group, write: ContentWriter): void {
  const draw = (): void => {
    pdf.addContent(group.shapes.map(write).join('\n'));
  };
  if (group.role === 'decoration') {
    pdf.markContent('Artifact', { type: 'Layout' });
    draw();
    pdf.endMarkedContent();
    return;
  }
  const element = pdf.struct(STRUCTURE[group.role], group.alt === null ? {} : { alt: group.alt });
  parent.add(element);
  element.add(draw);
  element.end();
  if (group.toPage !== undefined) linkTo(pdf, group, group.toPage);
}

function linkTo(pdf: Document, group: Group, page: number): void {
  const texts = group.shapes.filter((shape) => shape.kind === 'text');
  const left = Math.min(...texts.map((text) => text.xMm));
  const right = Math.max(...texts.map((text) => text.xMm + text.widthMm));
  const top = Math.min(...texts.map((text) => text.baselineMm - text.sizeMm));
  const bottom = Math.max(...texts.map((text) => text.baselineMm + text.sizeMm / 4));
  pdf.goTo(left, top, right - left, bottom - top, `page-${String(page + 1)}`);
}
