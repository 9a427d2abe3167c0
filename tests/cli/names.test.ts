import { describe, expect, test } from 'vitest';
import { safeStem, stemGiver } from '../../src/cli/names.ts';

describe('a name for files', () => {
  test.each([
    ['Bee, bee, bumblebee', 'bee-bee-bumblebee'],
    ["Who's there?", 'whos-there'],
    ['  Éva and Ősz  ', 'éva-and-ősz'],
    ['E\u0301va', 'éva'],
    ['猫の歌', '猫の歌'],
    ['../../etc/passwd', 'etc-passwd'],
    ['COM1', 'com1-rhyme'],
    ['', 'rhyme'],
    ['!?', 'rhyme'],
    ['--rung', 'rung'],
  ])('%j becomes %s', (text, stem) => {
    expect(safeStem(text)).toBe(stem);
  });

  test('fits a file system, counted in bytes, without half a letter', () => {
    for (const letter of ['a', 'é', '猫', '𝄞a']) {
      const stem = safeStem(letter.repeat(300));
      expect(Buffer.byteLength(stem)).toBeLessThanOrEqual(120);
      expect(stem).toBe(stem.toWellFormed());
    }
  });

  test('is given once, whatever its case', () => {
    const stemOf = stemGiver();
    expect(['Bee', 'BEE', 'bee-2', 'bee'].map(stemOf)).toEqual(['bee', 'bee-2', 'bee-2-2', 'bee-3']);
  });
});
