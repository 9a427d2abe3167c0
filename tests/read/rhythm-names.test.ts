import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { writeScore } from '../../src/export/score.ts';
import { readRhythmNames } from '../../src/read/rhythm-names.ts';
import { readScore } from '../../src/read/score.ts';
import {
  figuresOf,
  findRhythmNames,
  rhythmFamilyNames,
  type RhythmNames,
  type ValueNames,
} from '../../src/rhythm-names.ts';
import { KETTLE } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';
import { scoreFile } from './score-file.ts';

const OWN = `
name: our-school
kind: value
words:
  whole: walk-wa-wa-wa
  dottedHalf: walk-wa-wa
  half: walk-wa
  dottedQuarter: stride
  quarter: walk
  dottedEighth: long
  eighth: run
  sixteenth: tick
  twoSixteenths: ticktock
  compoundTwo: stride-ide
  compoundFour: stride-ide-ide-ide
  beatRest: hush
`;

function familyOf(text: string): RhythmNames {
  const outcome = readRhythmNames(parse(text));
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
}

function builtIn(name: string): RhythmNames {
  const family = findRhythmNames(name);
  if (family === null) throw new Error(name);
  return family;
}

describe('rhythm names', () => {
  // Names as cited in the head of the data file: International Kodaly Society (ta, ti-ti, ta-a, tiri-tiri, teem);
  // Hoffman, Pelto and White 1996 (takadimi: ta on the beat, di its half; ta ki da the thirds); the rest common practice
  test.each([
    ['ta-ti', '| ta    ti-ti  |'],
    ['ta-tiri', '| ta    ti-ti  |'],
    ['takadimi', '| ta    ta-di  |'],
    ['counting', '| 1     2-&    |'],
  ])('of the family %s for a quarter and two eighths', (name, says) => {
    const [phrase] = KETTLE.phrases;
    if (phrase === undefined) throw new Error('no phrase');
    const [quarter] = phrase.notes;
    if (quarter === undefined) throw new Error('no note');
    const notes = [0, 480, 720].map((onset) => ({
      ...quarter,
      onset,
      duration: onset === 0 ? 480 : 240,
      syllable: null,
    }));
    const score = writeScore({ ...KETTLE, phrases: [{ ...phrase, notes }] }, { names: builtIn(name) });
    const line = /^ {2}\|.*$/m.exec(score)?.[0] ?? '';
    expect(line.replace(/-+/g, '-').replace(/\|\|$/, '|').replace(/\s+/g, ' ')).toBe(
      ` ${says.replace(/\s+/g, ' ')}`,
    );
  });

  test.each([
    ['ta-ti', [480, 'ta'], [240, 'ti'], [960, 'ta-a'], [720, 'tam'], [360, 'tim']],
    ['ta-tiri', [480, 'ta'], [240, 'ti'], [960, 'ta-a'], [720, 'tai'], [360, 'teem']],
  ] as const)('of %s by note value', (name, ...wanted) => {
    const figures = figuresOf(builtIn(name) as ValueNames, 'simple');
    for (const [ticks, says] of wanted) {
      expect(
        figures.find((figure) => !figure.rest && figure.ticks.length === 1 && figure.ticks[0] === ticks)
          ?.says,
      ).toBe(says);
    }
  });

  test.each(rhythmFamilyNames())('of %s have the shape that is asked of a family of the teacher', (name) => {
    expect(readRhythmNames(builtIn(name))).toMatchObject({ ok: true, value: builtIn(name) });
  });

  test("of a teacher's own are written and read back", () => {
    const names = familyOf(OWN);
    fc.assert(
      fc.property(randomSong, (song) => {
        const text = writeScore(song, { names });
        const outcome = readScore(scoreFile(text), [names]);
        expect(outcome.ok && outcome.value).toEqual(song);
      }),
      { numRuns: 200 },
    );
    expect(writeScore(KETTLE, { names })).toContain('names: our-school');
  });

  test('that nobody knows are named when a score asks for them', () => {
    const outcome = readScore(scoreFile(writeScore(KETTLE, { names: familyOf(OWN) })));
    expect(outcome.problems[0]?.message).toMatch(
      /"our-school" is no names here; families are ta-ti, ta-tiri/,
    );
  });

  test.each([
    ['a name with a space', OWN.replace('quarter: walk', 'quarter: walk on'), /words.quarter is "walk on"/],
    ['a value left out', OWN.replace('  half: walk-wa\n', ''), /words.half is missing/],
    ['two names alike', OWN.replace('eighth: run', 'eighth: walk'), /words has "walk" twice/],
    [
      'a name that goes on in another',
      OWN.replace('half: walk-wa', 'half: walk-run'),
      /"run" goes on in "walk-run"/,
    ],
    ['an unknown value', `${OWN}  breve: yawn\n`, /words.breve names no value/],
    ['no kind', OWN.replace('kind: value', 'kind: sort'), /kind is "sort"/],
    ['a name with a capital', OWN.replace('our-school', 'Our School'), /name is "Our School"/],
    [
      'too few places',
      'name: p\nkind: place\nplaces: { simple: [a, b], compound: [a, b, c, d, e, f] }',
      /places.simple is \["a","b"\]; it is 4 names/,
    ],
    [
      'places alike',
      'name: p\nkind: place\nplaces: { simple: [a, b, a, d], compound: [a, b, c, d, e, f] }',
      /places.simple has "a" twice/,
    ],
    ['nothing', '', /is a list of settings/],
  ])('%s: is named', (_, text, says) => {
    const outcome = readRhythmNames(parse(text));
    expect(outcome.ok).toBe(false);
    expect(outcome.problems.map((problem) => problem.message).join('\n')).toMatch(says);
    expect(outcome.problems.every((problem) => problem.code === 'bad-value')).toBe(true);
  });
});
