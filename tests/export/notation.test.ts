/** The scan in beat notation reads back to the same words on the same beats; its JSON and its explanation. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeBeatMarks } from '../../src/beat-marks.ts';
import { scanJson, writeNotation } from '../../src/export/notation.ts';
import { RULE_WORDS } from '../../src/export/rule-words.data.ts';
import { explainPlacement } from '../../src/export/scan-explained.ts';
import { placeBeats } from '../../src/setting/placement.ts';
import { PLACEMENT_WEIGHTS } from '../../src/setting/placement-weights.data.ts';
import { readVerse } from '../../src/syllabify/index.ts';
import { lexicon, placed } from '../setting/chant.ts';

const WORDS =
  "the a of basket giraffe upon Bo-Peep rock-a-bye o'er ev'ry windmill up under every zibbidy brr 7 21 'twas don't Zoë sing-song".split(
    ' ',
  );
const word = fc
  .tuple(
    fc.constantFrom('', '', '“', '('),
    fc.constantFrom(...WORDS),
    fc.constantFrom('', '', ',', '!', '.”', ' —', ' --'),
  )
  .map((parts) => parts.join(''));
const line = fc.array(word, { minLength: 1, maxLength: 7 }).map((words) => words.join(' '));
const rhyme = fc
  .array(fc.array(line, { minLength: 1, maxLength: 3 }), { minLength: 1, maxLength: 3 })
  .map((stanzas) => stanzas.map((lines) => lines.join('\n')).join('\n\n'));

/** Words and places: all that a placement says about singing. */
const heard = (text: string): unknown => {
  const { lines, beatClass } = placed(text);
  return {
    beatClass,
    lines: lines.map(({ line: own, beats, syllables, emptyBeats }) => ({
      stanza: own.stanza,
      beats,
      syllables: syllables.map(({ syllable, word: at, division, at: ticks, beat }) => [
        syllable.text.replace(/-+$/, '').replace('—', ''),
        at,
        division,
        ticks,
        beat,
      ]),
      emptyBeats,
    })),
  };
};

describe('the notation', () => {
  test('marks the beats and divides the words', () => {
    expect(writeNotation(placed('A giraffe on a balloon,\nA guitar beneath the moon'))).toBe(
      'A gi|raffe |on a bal|loon, |-\nA gui|tar be|neath the |moon |-\n',
    );
  });

  test('keeps a blank line between stanzas', () => {
    expect(writeNotation(placed('|One |two\n\n|Three |four'))).toBe('|One |two\n\n|Three |four\n');
  });

  test('doubles the hyphens of the words themselves', () => {
    expect(writeNotation(placed('|Lit-tle Bo--|Peep')).trim()).toBe('|Lit-tle Bo--|Peep');
  });

  test('reads back to the same words on the same beats', () => {
    fc.assert(
      fc.property(rhyme, (text) => {
        if (!readVerse(text, { lexicon }).ok) return;
        const scan = writeNotation(placed(text));
        const again = writeNotation(placed(scan));
        expect(again).toBe(scan);
        const before = placed(text);
        const back = placeBeats(readBack(scan), { beatClass: before.beatClass, beats: null });
        if (!back.ok) throw new Error('a scan is a rhyme');
        expect(writeNotation(back.value)).toBe(scan);
        expect(heard(scan)).toEqual({ ...(heard(text) as object), beatClass: placed(scan).beatClass });
      }),
      { numRuns: 60, seed: 7 },
    );
  });
});

function readBack(scan: string): Parameters<typeof placeBeats>[0] {
  const read = readVerse(scan, { lexicon });
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join('\n'));
  return read.value;
}

describe('the scan as JSON', () => {
  test('has the published shape', () => {
    const scan = scanJson(placed('|Hick-o-ry, |dick-o-ry |dock, |-\nThe |mouse ran |up the |clock. |-'));
    expect(Object.keys(scan)).toEqual(['format', 'version', 'metre', 'ticksPerBeat', 'lines']);
    expect(scan.lines[0]).toMatchObject({
      line: 1,
      stanza: 1,
      beats: 4,
      notation: '|Hick-o-ry, |dick-o-ry |dock, |-',
      emptyBeats: [3],
      runnerUp: null,
    });
    expect(scan.lines[0]?.syllables[1]).toEqual({
      text: 'o',
      word: 0,
      stress: 0,
      at: 240,
      beat: null,
      source: 'dictionary',
    });
    expect(JSON.parse(JSON.stringify(scan))).toEqual(scan);
  });

  test('tells the runner-up of lines that were worked out', () => {
    const [own] = scanJson(placed('Shine the window, sweep the floor')).lines;
    expect(own?.runnerUp?.notation).toContain('|');
    expect(own?.runnerUp?.notation).not.toBe(own?.notation);
    expect(own?.runnerUp?.cost ?? 0).toBeGreaterThanOrEqual(own?.cost ?? 0);
  });
});

describe('the explanation', () => {
  test('has words for every rule', () => {
    const silent = ['compound-metre'];
    expect(Object.keys(PLACEMENT_WEIGHTS).filter((rule) => RULE_WORDS[rule] === undefined)).toEqual([]);
    expect(Object.keys(RULE_WORDS).filter((rule) => !(rule in PLACEMENT_WEIGHTS))).toEqual([]);
    expect(silent.every((rule) => rule in RULE_WORDS)).toBe(true);
  });

  test('says what each line paid, the next best way, and what decided', () => {
    const text = explainPlacement(
      placed('Shine the window, sweep the floor,\n|Hang a |wreath up|on the |door'),
    );
    expect(text).toMatch(/^Simple time: each beat divides in two\.\n/);
    expect(text).toContain('1  |Shine the |win-dow, |sweep the |floor,\n   It paid ');
    expect(text).toMatch(/The next best is \d+ dearer: .*\|/);
    expect(text).toMatch(/It would pay more for: .+ \d+/);
    expect(text).toContain('2  |Hang a |wreath up|on the |door\n   The beats are as given.');
  });
});

describe('marks', () => {
  test('stand before a syllable or alone for an empty beat', () => {
    const [own] = placed('|Brr, |= |brr, |z').lines;
    if (own === undefined) throw new Error('one line');
    expect(writeBeatMarks({ ...own, ticksPerBeat: 480 })).toBe('|Brr, |= |brr, |z');
  });
});
