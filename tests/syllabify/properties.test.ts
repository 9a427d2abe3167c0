import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readVerse } from '../../src/syllabify/index.ts';
import { linesOf } from '../../src/verse.ts';
import type { Verse, Word } from '../../src/verse.ts';
import { lexicon } from './read.ts';

const HEADWORDS =
  "hickory dickory the of mouse every flower fire o'er 'twas rock-a-bye Banbury's Bo-Peep heav'n sing-song table little remember again naïve café Zoë straight chocolate evening supper TV Shh brr 7 21 100 1st & queue rhythm beautiful higgledy-piggledy co-operate being don't dancin' fo'c'sle".split(
    ' ',
  );
const word = fc.oneof(
  fc.constantFrom(...HEADWORDS),
  fc.string({ unit: fc.constantFrom(...'abcdeilnoprstuy'), minLength: 1, maxLength: 12 }),
);
const dressed = fc
  .tuple(fc.constantFrom('', '"', '(', '“'), word, fc.constantFrom('', ',', '.', '!', '”', ';', '...'))
  .map((p) => p.join(''));
const line = fc.array(dressed, { minLength: 1, maxLength: 8 }).map((words) => words.join(' '));
const rhyme = fc.array(line, { minLength: 1, maxLength: 6 }).map((lines) => lines.join('\n'));
const wordsOf = (verse: Verse): readonly Word[] => linesOf(verse).flatMap((each) => each.words);
const silent = /^[^aeiouyàáâäãåèéêëìíîïòóôöõùúûüýÿőűæœø]+$/i;

describe('whatever the rhyme', () => {
  test('the parts of every reading joined give the word as printed', () => {
    fc.assert(
      fc.property(rhyme, (text) => {
        const read = readVerse(text, { lexicon });
        if (!read.ok) return;
        for (const { text: printed, readings } of wordsOf(read.value)) {
          for (const { syllables } of readings) {
            expect(syllables.map((syllable) => syllable.text).join('')).toBe(printed);
            expect(syllables.every((syllable) => /[\p{L}\p{N}]/u.test(syllable.text))).toBe(true);
          }
        }
      }),
      { numRuns: 150 },
    );
  });

  test('every syllable has a vowel letter, but in words that have none, prism and rhythm, letters said by name and an owner’s s', () => {
    fc.assert(
      fc.property(rhyme, (text) => {
        const read = readVerse(text, { lexicon });
        if (!read.ok) return;
        for (const { text: printed, readings } of wordsOf(read.value)) {
          if (
            printed.split(/-/).some((piece) => silent.test(piece)) ||
            /^\W*[A-Z]{2,6}\W*$|['’]s\W*$|(?:s|th)ms?\W*$/.test(printed)
          )
            continue;
          for (const { syllables } of readings) {
            if (syllables.length < 2) continue;
            expect(
              syllables.filter((syllable) => silent.test(syllable.text.replace(/n['’]t\W*$/, 'a'))),
            ).toEqual([]);
          }
        }
      }),
      { numRuns: 150 },
    );
  });

  test('spans rise and show each word in the text as typed', () => {
    fc.assert(
      fc.property(rhyme, (text) => {
        const read = readVerse(text, { lexicon });
        if (!read.ok) return;
        let from = 0;
        for (const { span, text: printed } of wordsOf(read.value)) {
          expect(span.end).toBeGreaterThan(span.start);
          expect(span.start).toBeGreaterThanOrEqual(from === span.end ? span.start : from - 1);
          const typed = text.slice(span.start, span.end);
          if (!/[0-9&]/.test(typed) && !/^\W*w\W*$/i.test(typed)) expect(typed).toBe(printed);
          from = span.start;
        }
      }),
      { numRuns: 150 },
    );
  });

  test('the usual reading costs nothing, no two readings of a word have the same count, and stress is there', () => {
    fc.assert(
      fc.property(rhyme, (text) => {
        const read = readVerse(text, { lexicon });
        if (!read.ok) return;
        for (const { readings } of wordsOf(read.value)) {
          expect(readings[0].cost).toBe(0);
          expect(readings.every((reading) => Number.isInteger(reading.cost) && reading.cost >= 0)).toBe(true);
          const counts = readings.map((reading) => reading.syllables.length);
          expect(new Set(counts).size).toBe(counts.length);
          expect(counts.every((count) => count > 0)).toBe(true);
          for (const { syllables } of readings) {
            if (syllables.length > 1) expect(syllables.some((syllable) => syllable.stress > 0)).toBe(true);
          }
        }
      }),
      { numRuns: 150 },
    );
  });

  test('the same text gives the same verse', () => {
    fc.assert(
      fc.property(rhyme, (text) => {
        expect(readVerse(text, { lexicon })).toEqual(readVerse(text, { lexicon }));
      }),
      { numRuns: 40 },
    );
  });

  test('a line written out with its divisions and beats reads back to the same syllables and beats', () => {
    fc.assert(
      fc.property(line, fc.infiniteStream(fc.boolean()), (text, coins) => {
        const read = readVerse(text.replace(/\bw\b/gi, 'x'), { lexicon });
        if (!read.ok) return;
        const words = wordsOf(read.value);
        const syllables = words.map((each) => each.readings[0].syllables.map((syllable) => syllable.text));
        const beats = syllables.map((list) => list.map(() => coins.next().value as boolean));
        const [first] = beats;
        if (first !== undefined) first[0] = true;
        const notation = syllables
          .map((list, w) =>
            list
              .map((part, s) => {
                const inside = s > 0 ? (list[s - 1]?.endsWith('-') ? '' : '-') : '';
                return inside + (beats[w]?.[s] ? '|' : '') + part.replaceAll('-', '--');
              })
              .join(''),
          )
          .join(' ');
        const again = readVerse(notation, { lexicon });
        if (!again.ok) throw new Error(`${notation}: ${again.problems[0]?.message ?? ''}`);
        const [back] = linesOf(again.value);
        expect(
          back?.words.map((each) => each.readings[0].syllables.map((syllable) => syllable.text)),
        ).toEqual(syllables);
        expect(back?.given?.map((mark) => mark.kind === 'on')).toEqual(beats.flat());
      }),
      { numRuns: 300 },
    );
  });

  test('any text at all is read or refused, never a crash', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 80 }), (text) => {
        const read = readVerse(text, { lexicon });
        expect(read.ok || read.problems.some((problem) => problem.severity === 'error')).toBe(true);
      }),
      { numRuns: 300 },
    );
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom(...'|-=z ab\'",.1&\n#é'), maxLength: 40 }), (text) => {
        const read = readVerse(text, { lexicon });
        if (!read.ok) return;
        for (const each of linesOf(read.value)) {
          if (each.given === null) continue;
          const sung = each.given.filter((mark) => mark.kind !== 'empty').length;
          expect(sung).toBe(each.words.reduce((sum, { readings }) => sum + readings[0].syllables.length, 0));
        }
      }),
      { numRuns: 500 },
    );
  });
});
