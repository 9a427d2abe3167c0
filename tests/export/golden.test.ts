/**
 * What every writer writes of the hand-made songs, compared with what was accepted (`npm run golden` accepts). Whether it
 * is right is for the readers in the other tests of this folder; this shows what a change changes.
 */
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { FORMATS, type FormatName } from '../../src/export/index.ts';
import { golden } from '../golden.ts';
import { SONGS } from './songs.ts';

const folder = fileURLToPath(new URL('../golden/', import.meta.url));

describe.each(SONGS)('%s', (name, song) => {
  test.each(Object.keys(FORMATS) as FormatName[])('as %s is what was accepted', async (format) => {
    const written = (await FORMATS[format].load())(song);
    const now = Buffer.from(written);
    expect(golden(`${folder}${name}.${FORMATS[format].extension}`, now)?.equals(now)).toBe(true);
  });
});
