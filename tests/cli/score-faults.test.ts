/** What goes wrong in scores that are typed by hand, as a person at the command line is told it. */
import { describe, expect, test } from 'vitest';
import { newWorld } from './world.ts';

const SCORE = `---
score: chantwright 1
title: Kettle
tones: m s l
metre: 2/4
---

Line 1   a   open
  | ta   ti-ti     | ta   z  |
  | s    l  l      | m       |
  | Hot, hot, ket- | tle!    |

Line 2   b   closed
  | ti--ti  ta   | ta-a ||
  | s   s   s    | m    ||
  | tea and jam  | now. ||
`;

/** A slip (what is replaced, by what), where the caret stands, and what is said. */
const SLIPS: readonly (readonly [what: string, from: string, to: string, at: string, says: RegExp])[] = [
  ['settings without an end', '---\n\nLine 1', '\nLine 1', '1:1', /not closed. Write a second line of ---/],
  ['a tab', 'metre:', '\tmetre:', '5:1', /begins with a tab. Use spaces/],
  ['a colon in the title', 'title: Kettle', 'title: Kettle: a song', '3:8', /because of its colon. Put it between quotes/],
  ['a setting twice', 'metre: 2/4', 'title: Pan\nmetre: 2/4', '5:1', /twice. Keep one/],
  ['a setting misspelt', 'metre: 2/4', 'metre: 2/4\ntempi: 90', '6:8', /no setting "tempi".*Did you mean tempo/s],
  ['another version', 'chantwright 1', 'chantwright 2', '2:8', /"chantwright 2" is not known here/],
  ['a metre that is none', '2/4', '5/4', '5:8', /"5\/4" is no metre/],
  ['a tempo in words', 'metre: 2/4', 'metre: 2/4\ntempo: quick', '6:8', /"quick" is no tempo/],
  ['a family that is none', 'metre: 2/4', 'metre: 2/4\nnames: titi', '6:8', /"titi" is no names here; families are/],
  ['text above the score', '---\nscore', 'For Friday\n---\nscore', '1:1', /belongs to none/],
  ['a beat too many', 'ta   z  |', 'ta ta z |', '9:28', /Bar 2 holds 3 beats where 2\/4 asks for 2 beats: "z" at beat 3 runs over/],
  ['a beat too few', 'ta   z  |', 'ta      |', '9:22', /Bar 2 holds 1 beat .* ends early, at beat 2/],
  ['a rhythm name misspelt', 'ti-ti ', 'ti-tu ', '9:13', /"tu" is not a rhythm name/],
  ['rhythm and letters in each other\u2019s place', '  | ta   ti-ti     | ta   z  |\n  | s    l  l      | m       |', '  | s    l  l      | m       |\n  | ta   ti-ti     | ta   z  |', '9:3', /Solfa letters stand here in place of the rhythm/],
  ['no letters', '  | s    l  l      | m       |\n', '', '10:3', /Words stand here in place of solfa letters/],
  ['a letter that is none', 'l  l ', 'l  x ', '10:13', /"x" is not a solfa letter/],
  ['a capital letter', 'l  l ', 'l  L ', '10:13', /Write it small: l/],
  ['an octave too high', 'l  l ', "l  l'", '10:13', /lies an octave above/],
  ['a letter too few', 'l  l ', 'l    ', '9:13', /the note "ti" has no solfa letter/],
  ['a letter too many', '| m       |', '| m m     |', '10:24', /2 solfa letters for 1 note; "m" has no note/],
  ['a tone that is still open', 'l  l ', 'l  ? ', '10:13', /still open/],
  ['a slur without an end', '| m    ||', '| (m   ||', '15:21', /not closed in its line/],
  ['a tie from nowhere', '| s    l', '| -    l', '10:5', /holds on a note, but none sounds before it/],
  ['a syllable too few', 'Hot, hot,', 'Hot,     ', '9:13', /the note "ti" has no syllable/],
  ['a syllable too many', 'now. ||', 'now now ||', '16:24', /"now" has no note of its own/],
  ['a word without its end', 'tle!', 'tle-', '11:22', /The word of "tle-" goes on, but line 1 ends/],
  ['a bar line left out', 'l  l      |', 'l  l       ', '10:3', /solfa line has 2 bar lines/],
  ['no line between two blocks', 'tle!    |\n\n', 'tle!    |\n', '12:1', /A fourth line of text/],
  ['a label without its number', 'Line 1 ', 'Line one ', '8:1', /label of a line has no number/],
  ['settings and nothing else', SCORE.slice(SCORE.indexOf('Line 1')), '', '7:1', /settings but no music/],
]; // prettier-ignore

describe('a score typed by hand', () => {
  test('without a slip is taken', async () => {
    const { run } = newWorld();
    expect((await run(['convert', '--to', 'midi'], { stdin: SCORE })).err).toBe('');
  });

  test.each(SLIPS)('with %s is quoted at the very place', async (_, from, to, at, says) => {
    const { run } = newWorld();
    expect(SCORE).toContain(from);
    const text = SCORE.replace(from, to);
    const { code, bytes, err } = await run(['convert', '--to', 'midi'], { stdin: text });
    expect([code, bytes.length]).toEqual([2, 0]);
    expect(err).toMatch(says);
    const [head = '', quoted = '', carets = ''] = err.split('\n');
    const [, line = '', column = ''] = /^error: standard input, line (\d+), column (\d+): /.exec(head) ?? [];
    expect(`${line}:${column}`).toBe(at);
    // the line is shown as it was typed, and the caret stands under the column
    const gutter = `  ${line} | `;
    expect(quoted).toBe(gutter + (text.split('\n')[Number(line) - 1] ?? '').replaceAll('\t', ' '));
    expect(carets.indexOf('^')).toBe(gutter.length + Number(column) - 1);
    // one slip, one message
    expect(err.match(/^(?:error|warning|note): /gm)).toHaveLength(1);
  });

  test('has other words for every slip', async () => {
    const { run } = newWorld();
    const said = new Set<string>();
    for (const [, from, to] of SLIPS) {
      const { err } = await run(['convert', '--to', 'midi'], { stdin: SCORE.replace(from, to) });
      said.add(err.split('\n')[0]?.replace(/line \d+, column \d+/, '') ?? '');
    }
    expect(said.size).toBe(SLIPS.length);
  });
});
