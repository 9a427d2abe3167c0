/**
 * Look up a word's pronunciations in the compiled dictionary (build/lexicon.mjs tells the form of the file).
 * The bytes stay as they are: a look-up is a binary search over blocks of headwords and a walk through one block.
 */
import type { Phone } from './phones.ts';
import { phoneOfByte } from './phones.ts';

/** The dictionary opened for look-ups: the file's bytes and where its parts begin. */
export interface Lexicon {
  readonly bytes: Uint8Array;
  /** How many blocks of headwords there are. */
  readonly blocks: number;
  /** Offset of the table of block offsets. */
  readonly table: number;
  /** Where the model for unknown words lies; empty when the file carries none. */
  readonly model: { readonly start: number; readonly end: number };
}

/** Headwords in one block. */
const BLOCK = 32;

/**
 * Open a compiled dictionary without reading it through.
 *
 * @throws RangeError when the bytes are not such a file.
 * @example openLexicon(readFileSync('dist/pronunciations.bin'))
 */
export function openLexicon(bytes: Uint8Array): Lexicon {
  const magic = String.fromCharCode(...bytes.subarray(0, 4));
  if (magic !== 'CWP1') throw new RangeError('These bytes are not a compiled pronunciation dictionary.');
  const model = readU32(bytes, 12);
  return {
    bytes,
    blocks: readU32(bytes, 4),
    table: readU32(bytes, 8),
    model: { start: model, end: model + readU32(bytes, 16) },
  };
}

/**
 * The pronunciations of a headword in the dictionary's order; empty when it is not there.
 *
 * @param key lower-case letters a to z and apostrophes.
 * @example pronunciationsOf(lexicon, 'bee') // => [['B', 'IY1']]
 */
export function pronunciationsOf(lexicon: Lexicon, key: string): readonly (readonly Phone[])[] {
  const { bytes, table } = lexicon;
  let low = 0;
  let high = lexicon.blocks - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (compareFirst(bytes, readU32(bytes, table + 4 * middle), key) <= 0) low = middle;
    else high = middle - 1;
  }
  if (lexicon.blocks === 0) return [];
  return searchBlock(bytes, readU32(bytes, table + 4 * low), key);
}

/** Sign of the order of a block's first headword against the key. */
function compareFirst(bytes: Uint8Array, offset: number, key: string): number {
  const length = at(bytes, offset + 1);
  for (let i = 0; i < length && i < key.length; i++) {
    const difference = at(bytes, offset + 2 + i) - key.charCodeAt(i);
    if (difference !== 0) return difference;
  }
  return length - key.length;
}

/**
 * Walk one block. `matched` is how many letters of the key the current headword shares with it; in a sorted list
 * a headword that shares fewer letters with its forerunner than `matched` has passed the key.
 */
function searchBlock(bytes: Uint8Array, offset: number, key: string): readonly (readonly Phone[])[] {
  let place = offset;
  let matched = 0;
  for (let entry = 0; entry < BLOCK && place < bytes.length; entry++) {
    const shared = at(bytes, place);
    const own = at(bytes, place + 1);
    if (entry > 0 && shared < matched) return [];
    if (shared === matched) {
      while (matched - shared < own && at(bytes, place + 2 + matched - shared) === key.charCodeAt(matched)) {
        matched++;
      }
    }
    const after = place + 2 + own;
    if (matched === key.length && shared + own === key.length) return readPronunciations(bytes, after);
    place = skipPronunciations(bytes, after);
  }
  return [];
}

function readPronunciations(bytes: Uint8Array, offset: number): readonly (readonly Phone[])[] {
  const found: Phone[][] = [];
  let place = offset + 1;
  for (let count = at(bytes, offset); count > 0; count--) {
    const length = at(bytes, place);
    found.push(Array.from(bytes.subarray(place + 1, place + 1 + length), phoneOfByte));
    place += 1 + length;
  }
  return found;
}

function skipPronunciations(bytes: Uint8Array, offset: number): number {
  let place = offset + 1;
  for (let count = at(bytes, offset); count > 0; count--) place += 1 + at(bytes, place);
  return place;
}

function at(bytes: Uint8Array, index: number): number {
  return bytes[index] ?? 0;
}

function readU32(bytes: Uint8Array, offset: number): number {
  return (
    (at(bytes, offset) |
      (at(bytes, offset + 1) << 8) |
      (at(bytes, offset + 2) << 16) |
      (at(bytes, offset + 3) << 24)) >>>
    0
  );
}
