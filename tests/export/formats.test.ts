import { describe, expect, test } from 'vitest';
import { FORMATS, type FormatName } from '../../src/export/index.ts';
import { KETTLE } from './songs.ts';

describe('the formats', () => {
  test.each(Object.entries(FORMATS))(
    '%s is loaded when asked for and writes what it says',
    async (_, format) => {
      const write = await format.load();
      const written = write(KETTLE);
      expect(typeof written === 'string' ? 'text' : 'binary').toBe(format.kind);
      expect(written.length).toBeGreaterThan(100);
      expect(format.extension).toMatch(/^[a-z][a-z.]*$/);
      expect(format.mediaType).toMatch(/^[a-z]+\/[a-z.+-]+$/);
      if (typeof written === 'string') expect(written.endsWith('\n')).toBe(true);
    },
  );

  test('have endings of their own', () => {
    const endings = (Object.keys(FORMATS) as FormatName[]).map((name) => FORMATS[name].extension);
    expect(new Set(endings).size).toBe(endings.length);
  });
});
