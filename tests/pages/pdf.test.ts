/**
 * The PDF read back by pdf.js, a general-purpose reader: its text, its tags, its title; the same bytes every time.
 */
import { getDocument, type PDFDocumentProxy } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { beforeAll, describe, expect, test } from 'vitest';
import { writePdf } from '../../src/pages/pdf.ts';
import type { PageSet } from '../../src/pages/page.ts';
import { faces } from './fonts.ts';
import { songOf } from './songs.ts';
import { make } from './workshop.ts';

async function open(set: PageSet): Promise<PDFDocumentProxy> {
  return getDocument({ data: await writePdf(set, faces), verbosity: 0 }).promise;
}

async function textOf(pdf: PDFDocumentProxy, page: number): Promise<string> {
  const { items } = await (await pdf.getPage(page)).getTextContent();
  return items.map((item) => ('str' in item ? item.str : '')).join(' ');
}

describe('a booklet', () => {
  let set: PageSet;
  let pdf: PDFDocumentProxy;
  beforeAll(async () => {
    const songs = [await songOf('goose-in-the-basket.txt', 'so-mi'), await songOf('accents', 'so-mi-la')];
    const { documents } = await make(songs, {
      kinds: ['song', 'beats'],
      title: 'Bees & owls <1>',
      language: 'en-GB',
    });
    set = documents[0]?.set ?? { title: '', language: '', pages: [], outline: [] };
    pdf = await open(set);
  });

  test('has its title and language, and no date', async () => {
    const { info, metadata } = await pdf.getMetadata();
    const facts = info as Record<string, unknown>;
    expect(facts['Title']).toBe('Bees & owls <1>');
    expect(facts['Language']).toBe('en-GB');
    expect(facts['CreationDate']).toBeUndefined();
    expect(metadata.get('dc:title')).toBe('Bees & owls <1>');
  });

  test('begins with contents whose numbers are those of the pages', async () => {
    const contents = await textOf(pdf, 1);
    for (const { title, page } of set.outline) {
      expect(contents).toContain(title);
      expect(contents).toMatch(new RegExp(`\\b${String(page + 1)}\\b`));
      const first = await textOf(pdf, page + 1);
      expect(first).toContain(title);
      expect(first.trimEnd().endsWith(String(page + 1))).toBe(true);
    }
    const links = await (await pdf.getPage(1)).getAnnotations();
    expect(links).toHaveLength(set.outline.length);
  });

  test('says its words as text, accents and all', async () => {
    const page = set.outline[1]?.page ?? 0;
    const text = await textOf(pdf, page + 1);
    for (const word of ['ñor', 'Ő', '“hé!”', 'B', '♭', 'ïve']) expect(text).toContain(word);
  });

  test('is tagged: a heading, text and figures in reading order', async () => {
    const tree = await (await pdf.getPage(2)).getStructTree();
    const roles: string[] = [];
    const visit = (node: unknown): void => {
      const { role, children } = node as { role?: string; children?: readonly unknown[] };
      if (role !== undefined) roles.push(role);
      for (const child of children ?? []) visit(child);
    };
    visit(tree);
    expect(roles[0]).toBe('Root');
    expect(roles).toContain('H1');
    expect(roles).toContain('P');
    expect(roles).toContain('Figure');
    expect(roles.indexOf('H1')).toBeLessThan(roles.indexOf('Figure'));
  });

  test('is the same bytes on every run', async () => {
    expect(Buffer.from(await writePdf(set, faces)).equals(Buffer.from(await writePdf(set, faces)))).toBe(
      true,
    );
  });

  test('stands where the layout put it', async () => {
    const page = set.pages[2];
    const { items } = await (await pdf.getPage(3)).getTextContent();
    const texts =
      page?.groups.flatMap((group) => group.shapes.filter((shape) => shape.kind === 'text')) ?? [];
    const mmPerPoint = 25.4 / 72;
    for (const shape of texts) {
      const found = items.some((item) => {
        // the reader joins words of a line that stand close
        if (!('str' in item) || !item.str.includes(shape.text)) return false;
        const [, , , , x = 0, y = 0] = item.transform as number[];
        const [left, right] = [x * mmPerPoint, (x + item.width) * mmPerPoint];
        const level = Math.abs((page?.heightMm ?? 0) - y * mmPerPoint - shape.baselineMm) < 0.05;
        return level && left < shape.xMm + 0.05 && right > shape.xMm + shape.widthMm - 0.05;
      });
      expect(found, shape.text).toBe(true);
    }
  });
});
