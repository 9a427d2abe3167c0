/** The faces that pages are set in, opened once for the tests of a file. */
import { readFileSync } from 'node:fs';
import { setterOf, type Faces, type Setter } from '../../src/pages/faces.ts';
import type { Sheet } from '../../src/pages/sheet.ts';
import { openTypeface } from '../../src/pages/typeface.ts';

const folder = new URL('../../node_modules/@expo-google-fonts/', import.meta.url);

export const FONT_FILES = {
  book: 'tinos/400Regular/Tinos_400Regular.ttf',
  'book-bold': 'tinos/700Bold/Tinos_700Bold.ttf',
  'book-italic': 'tinos/400Regular_Italic/Tinos_400Regular_Italic.ttf',
  reader: 'andika/Andika_400Regular.ttf',
  'reader-bold': 'andika/Andika_700Bold.ttf',
} as const;

export function fontBytes(file: string): Uint8Array {
  return readFileSync(new URL(file, folder));
}

const open = (file: string): Faces['book'] => openTypeface(fontBytes(file));

export const faces: Faces = {
  book: open(FONT_FILES.book),
  'book-bold': open(FONT_FILES['book-bold']),
  'book-italic': open(FONT_FILES['book-italic']),
  reader: open(FONT_FILES.reader),
  'reader-bold': open(FONT_FILES['reader-bold']),
};

export const setter: Setter = setterOf(faces);

/** A sheet of A4 with usual margins. */
export function a4(change: Partial<Sheet> = {}): Sheet {
  return {
    setter,
    widthMm: 210,
    heightMm: 297,
    margins: { topMm: 15, rightMm: 15, bottomMm: 12, leftMm: 15 },
    wordSizeMm: null,
    className: null,
    date: null,
    ...change,
  };
}
