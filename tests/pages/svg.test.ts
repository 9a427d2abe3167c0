/**
 * SVG and HTML, read by an XML parser (libxml2) and drawn by resvg, general-purpose libraries both.
 */
import { Resvg } from '@resvg/resvg-js';
import { XmlDocument } from 'libxml2-wasm';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { base64, escapeMarkup } from '../../src/pages/markup.ts';
import type { PageSet } from '../../src/pages/page.ts';
import { pathOperators } from '../../src/pages/pdf-content.ts';
import { writeHtml, writeSvg } from '../../src/pages/svg.ts';
import { PAGE_KINDS } from '../../src/pages/index.ts';
import { faces, FONT_FILES } from './fonts.ts';
import { songOf } from './songs.ts';
import { make } from './workshop.ts';

const fonts = Object.values(FONT_FILES).map((file) =>
  fileURLToPath(new URL(`../../node_modules/@expo-google-fonts/${file}`, import.meta.url)),
);

let sets: readonly PageSet[];
beforeAll(async () => {
  const { documents } = await make([await songOf('accents', 'so-mi-la')], {
    kinds: PAGE_KINDS,
    letters: true,
    staff: true,
  });
  sets = documents.map(({ set }) => set);
});

describe('a page as SVG', () => {
  test('is well formed, with its size, title and language', () => {
    for (const set of sets) {
      for (const page of set.pages) {
        const document = XmlDocument.fromString(writeSvg(page, set, faces));
        expect(document.root.name).toBe('svg');
        expect(document.root.attr('width')?.value).toBe('210mm');
        expect(document.get('//*[local-name()="title"]')?.content).toBe(set.title);
        expect(document.root.attr('lang')?.value).toBe('en');
        document.dispose();
      }
    }
  });

  test('has its ink where the layout says: none in the margins, some on the page', () => {
    const width = 840; // 4 pixels a millimetre
    for (const set of sets) {
      for (const page of set.pages) {
        const svg = writeSvg(page, set, faces);
        const drawn = new Resvg(svg, {
          fitTo: { mode: 'width', value: width },
          font: { fontFiles: fonts, loadSystemFonts: false },
        }).render();
        const { pixels, height } = drawn;
        const isInk = (x: number, y: number): boolean => (pixels[4 * (y * width + x)] ?? 255) < 128;
        let inside = 0;
        const outside: string[] = [];
        for (let y = 0; y < height; y++) {
          for (let x = 0; x < width; x++) {
            if (!isInk(x, y)) continue;
            const margin = x < 15 * 4 - 1 || x > 195 * 4 + 1 || y < 15 * 4 - 1 || y > 285 * 4 + 1;
            if (margin) outside.push(`${String(x / 4)},${String(y / 4)}`);
            else inside += 1;
          }
        }
        expect(outside.slice(0, 5)).toEqual([]);
        expect(inside).toBeGreaterThan(500);
      }
    }
  });

  test('is the same on every run', () => {
    const [set] = sets;
    const [page] = set?.pages ?? [];
    if (set === undefined || page === undefined) throw new Error('no page');
    expect(writeSvg(page, set, faces)).toBe(writeSvg(page, set, faces));
  });
});

test('HTML is one file: a page of paper each, nothing fetched from elsewhere', () => {
  for (const set of sets) {
    const html = writeHtml(set, faces);
    expect(html.match(/<svg /g)).toHaveLength(set.pages.length);
    expect(html).toContain('@page{size:210mm 297mm;margin:0}');
    const addresses = [...html.matchAll(/(?:href|src|url)\s*[=(]\s*["']?([^"')\s]*)/g)].map(
      ([, address = '']) => address,
    );
    expect(addresses.filter((address) => !address.startsWith('data:') && !address.startsWith('#'))).toEqual(
      [],
    );
    const body = html.slice(html.indexOf('<body>') + 6, html.indexOf('</body>'));
    XmlDocument.fromString(`<body>${body}</body>`).dispose();
  }
});

describe('markup', () => {
  test('keeps what is text and drops what XML cannot hold', () => {
    expect(escapeMarkup('a<b> & "c"\u0001\ud800')).toBe('a&lt;b&gt; &amp; &quot;c&quot;\ufffd');
  });

  test('base 64 is that of Node', () => {
    for (let length = 0; length < 70; length++) {
      const bytes = Uint8Array.from({ length }, (_, i) => (i * 37 + length) & 255);
      expect(base64(bytes)).toBe(Buffer.from(bytes).toString('base64'));
    }
  });
});

describe('paths in PDF', () => {
  test.each([
    ['M1 2 L3 4 Z', '1 2 m 3 4 l h'],
    ['m1 2 l3 4h5v-6z', '1 2 m 4 6 l 9 6 l 9 0 l h'],
    ['M0 0C1 1 2 1 3 0S5 -1 6 0', '0 0 m 1 1 2 1 3 0 c 4 -1 5 -1 6 0 c'],
    ['M0 0Q3 3 6 0T12 0', '0 0 m 2 2 4 2 6 0 c 8 -2 10 -2 12 0 c'],
    ['M1-2l.5.5', '1 -2 m 1.5 -1.5 l'],
  ])('%s', (svg, pdf) => {
    expect(pathOperators(svg)).toBe(pdf);
  });

  test('have no arcs', () => {
    expect(() => pathOperators('M0 0A1 1 0 0 0 2 2')).toThrow(RangeError);
  });
});
