import { describe, expect, test } from 'vitest';
import type { ProblemCode } from '../../src/problem.ts';
import { readScore, readScoreDraft } from '../../src/read/score.ts';
import { showProblem } from '../../src/show-problem.ts';
import { scoreFile } from './score-file.ts';

const SETTINGS = ['score: chantwright 1', 'title: Kettle', 'tones: m s l', 'metre: 2/4'];
const TUNE = [
  'Line 1   a   open',
  '  | ta   ti-ti     | ta   z  |',
  '  | s    l  l      | m       |',
  '  | Hot, hot, ket- | tle!    |',
  '',
  'Line 2   b   closed',
  '  | ti--ti  ta   | ta-a ||',
  '  | s   s   s    | m    ||',
  '  | tea and jam  | now. ||',
];

const scoreOf = (lines: readonly string[], settings: readonly string[] = SETTINGS): string =>
  ['---', ...settings, '---', ...lines, ''].join('\n');

/** The tune with one line of it replaced; lines count from 0. */
const withLine = (at: number, line: string): string => scoreOf(TUNE.with(at, line));
const withSetting = (at: number, line: string): string => scoreOf(TUNE, SETTINGS.with(at, line));

/** What a new user does wrong, the line and column where the caret stands, and a part of what is said. */
const FAULTS: readonly (readonly [what: string, text: string, code: ProblemCode, at: string, says: RegExp])[] = [
  ['a bar with a beat too many', withLine(1, '  | ta   ti-ti  ta | ta   z  |'), 'bar-length', '8:17', /Bar 1 holds 3 beats where 2\/4 asks for 2 beats: "ta" at beat 3 runs over/],
  ['a bar with a beat too few', withLine(1, '  | ta   ti-ti     | ta      |'), 'bar-length', '8:22', /Bar 2 holds 1 beat .* ends early, at beat 2/],
  ['ti-ka-ti-ka for four sixteenths', withLine(6, '  | ti-ka-ti-ka  ta   | ta-a ||'), 'bar-length', '13:18', /two sixteenths are tika/],
  ['an unknown rhythm name', withLine(1, '  | ta   ti-tu     | ta   z  |'), 'rhythm-name', '8:13', /"tu" is not a rhythm name of the family ta-ti/],
  ['a word that is no solfa', withLine(2, '  | s    l  x      | m       |'), 'tone-name', '9:13', /"x" is not a solfa letter/],
  ['a capital letter', withLine(2, '  | s    l  l      | M       |'), 'tone-name', '9:22', /Write it small: m/],
  ['an octave too far', withLine(2, "  | s    l  l      | m''     |"), 'tone-name', '9:22', /one octave below do and one above/],
  ['a letter in an octave that the song does not reach', withLine(2, "  | s    l, l      | m       |"), 'tone-octave', '9:10', /"l," lies an octave below .*Write l, or add l, to tones/s],
  ['a letter too few', withLine(2, '  | s    l         | m       |'), 'tones-count', '8:13', /In bar 1, beat 2, the note "ti" has no solfa letter/],
  ['a letter too many', withLine(2, '  | s    l  l      | m    s  |'), 'tones-count', '9:27', /In bar 2 stand 2 solfa letters for 1 note; "s" has no note/],
  ['a syllable too many', withLine(3, '  | Hot, hot, ket- | tle, oh |'), 'syllables-count', '10:27', /In bar 2 stand 2 syllables for 1 note; "oh" has no note of its own/],
  ['a syllable too few', withLine(3, '  | Hot, ket-      | tle!    |'), 'syllables-count', '8:13', /In bar 1, beat 2, the note "ti" has no syllable/],
  ['a word that does not end', withLine(3, '  | Hot, hot, ket- | tle-    |'), 'broken-word', '10:22', /The word of "tle-" goes on, but line 1 ends/],
  ['a bar line left out', withLine(2, '  | s    l  l        m       |'), 'bar-lines-differ', '9:3', /solfa line has 2 bar lines, the rhythm line above it 3/],
  ['a slur that is not closed',
    withLine(7, '  | s   s   s    | (m    ||'),
    'broken-slur',
    '14:21',
    /not closed in its line/,
  ],
  ['a slur around one note', withLine(2, '  | s    (l) l     | m       |'), 'broken-slur', '9:11', /holds one note only/],
  ['a slur over a rest',
    withLine(2, '  | s    l  l      | (m      |'),
    'broken-slur',
    '8:27',
    /A rest, "z", stands inside a slur/,
  ],
  ['a tie from nowhere', withLine(2, '  | -    l  l      | m       |'), 'broken-tie', '9:5', /holds on a note, but none sounds before it/],
  ['a line of music without letters', scoreOf(TUNE.slice(0, 2)), 'score-rows', '8:3', /a rhythm but no solfa letters/],
  ['a fourth line of text', scoreOf([...TUNE.slice(0, 4), '  | more   more    | words   |']), 'score-rows', '11:3', /A fourth line/],
  ['a label with too much in it', withLine(0, 'Line 1   a   b   open'), 'score-label', '7:1', /"b" has no place in the label/],
  ['an upbeat whose last bar is too long', scoreOf(['  ti | ta ta | ta ta ||', '  s  | s m   | s m   ||', '  a  | b c   | d e   ||']), 'upbeat-length', '7:19', /The last bar holds 2 beats, but the upbeat of 0.5 beats leaves it 1.5 beats/],
  ['a tone that is still open', withLine(2, '  | s    l  ?      | m       |'), 'tone-not-set', '9:13', /Line 1 has a tone that is still open/],
  ['words in place of letters', scoreOf([TUNE[0] ?? '', TUNE[1] ?? '', TUNE[3] ?? '']), 'score-rows', '9:3', /Words stand here in place of solfa letters/],
  ['letters in place of the rhythm', scoreOf([TUNE[2] ?? '', TUNE[1] ?? '', TUNE[3] ?? '']), 'score-rows', '7:3', /Solfa letters stand here in place of the rhythm/],
  ['a label without its number', withLine(0, 'Line one   a   open'), 'score-label', '7:1', /This label of a line has no number/],
  ['a form of another version', withSetting(0, 'score: chantwright 9'), 'not-a-score', '2:8', /"chantwright 9" is not known here/],
  ['a metre that is none', withSetting(3, 'metre: 5/4'), 'bad-value', '5:8', /"5\/4" is no metre here; metres are 2\/4/],
  ['no metre at all', scoreOf(TUNE, SETTINGS.slice(0, 3)), 'bad-value', '2:8', /does not say its metre/],
  ['a setting nobody knows', scoreOf(TUNE, [...SETTINGS, 'temp: 90']), 'unknown-option', '6:7', /no setting "temp".*Did you mean tempo/s],
  ['a do without its octave', scoreOf(TUNE, [...SETTINGS, 'do: D']), 'bad-value', '6:5', /"D" is no do here/],
  ['tones that are no solfa', withSetting(2, 'tones: e g a'), 'bad-value', '4:8', /"e g a" is no tones here/],
  ['settings and nothing else', scoreOf([]), 'nothing-to-sing', '7:1', /no music/],
]; // prettier-ignore

describe('a score with a fault', () => {
  test('without one is read', () => {
    const outcome = readScore(scoreFile(scoreOf(TUNE)));
    expect(outcome.problems).toEqual([]);
    expect(outcome.ok).toBe(true);
  });

  test.each(FAULTS)('%s: is named, with its place', (_, text, code, at, says) => {
    const outcome = readScore(scoreFile(text));
    expect(outcome.ok).toBe(false);
    const [problem] = outcome.problems;
    if (problem === undefined) throw new Error('no problem');
    const shown = showProblem(problem, { name: 'score', text });
    expect(shown).toMatch(says);
    expect(problem.code).toBe(code);
    const [, line = '', column = ''] = /line (\d+), column (\d+)/.exec(shown.split('\n')[0] ?? '') ?? [];
    expect(`${line}:${column}`).toBe(at);
    expect(outcome.problems).toHaveLength(1);
  });

  test('each fault has words of its own', () => {
    const messages = FAULTS.map(([, text]) => readScore(scoreFile(text)).problems[0]?.message);
    expect(new Set(messages).size).toBe(FAULTS.length);
  });

  test('several faults are all named at once', () => {
    const text = scoreOf(TUNE.with(1, '  | ta   ti-tu     | ta   z  |').with(8, '  | tea and jam  | ||'));
    const codes = readScore(scoreFile(text)).problems.map((problem) => problem.code);
    expect(codes).toEqual(['rhythm-name', 'syllables-count']);
  });
});

describe('a score typed by hand', () => {
  test('may lack labels, padding and octave letters in full', () => {
    const text = scoreOf(
      ['|ta ti-ti|ta z|', '|s ll|m|', '|Hot, hot, ket-|tle!|', '', '|ta-a|z z||', '|s|||', '|tea|||'].map(
        (l) => l,
      ),
    );
    const outcome = readScore(scoreFile(text));
    expect(outcome.problems).toEqual([]);
    if (!outcome.ok) return;
    const [first, second] = outcome.value.phrases;
    expect(first).toMatchObject({
      line: 1,
      stanza: 1,
      form: 'a',
      cadence: 'open',
      text: 'Hot, hot, kettle!',
    });
    expect(second).toMatchObject({ line: 2, form: 'b', cadence: 'closed', text: 'tea' });
    expect(first?.notes.map((note) => note.tone)).toEqual(['s', 'l', 'l', 'm', null]);
    expect(outcome.value).toMatchObject({ do: 'D4', rung: 'own', tempoBpm: 112, upbeatTicks: 0 });
  });

  test('may divide words with spaced hyphens, and keep a real hyphen by doubling it', () => {
    const text = scoreOf([
      '| ti-ti ta | ta ta ||',
      '| s s m | s m ||',
      '| Bo--Peep - ing | hen ket-tle ||'.replace('hen ket', 'ket'),
    ]);
    const outcome = readScore(scoreFile(text));
    expect(outcome.ok && outcome.value.phrases[0]?.notes.map((note) => note.syllable)).toEqual([
      { text: 'Bo-', word: 0, division: 'begin' },
      { text: 'Peep', word: 0, division: 'middle' },
      { text: 'ing', word: 0, division: 'end' },
      { text: 'ket', word: 1, division: 'begin' },
      { text: 'tle', word: 1, division: 'end' },
    ]);
  });

  test('may have tones yet to be set, which a draft keeps', () => {
    const outcome = readScoreDraft(scoreFile(withLine(2, '  | s    ?  ?      | m       |')));
    expect(outcome.ok && outcome.value.phrases[0]?.notes.map((note) => note.tone)).toEqual([
      's',
      '?',
      '?',
      'm',
      null,
    ]);
  });

  test('may leave the ladder, with a warning', () => {
    const outcome = readScore(scoreFile(withLine(2, '  | s    l  f      | m       |')));
    expect(outcome.ok).toBe(true);
    expect(outcome.problems).toMatchObject([{ code: 'outside-tones', severity: 'warning' }]);
  });

  test('may come through a mail program: curly quotes, no-break spaces, other line ends', () => {
    const text = withLine(2, '  | s    l  l      | m       |')
      .replace('Line 1', '\u00a0Line 1')
      .replaceAll('\n', '\r\n');
    const file = scoreFile(text.replaceAll('\r\n', '\n'));
    const outcome = readScore({ ...file, body: file.body.replaceAll('\n', '\r\n') });
    expect(outcome.ok).toBe(true);
    const dashes = withLine(5, 'Line 2   b   closed')
      .replace('ti--ti ', 'ti\u2013ti')
      .replace('ta-a', 'ta\u2014a');
    expect(readScore(scoreFile(dashes)).problems).toEqual([]);
    const high = scoreOf(
      ['| ta ta ||', '| d d\u2019 ||', '| up high ||'],
      [...SETTINGS.slice(0, 2), 'metre: 2/4'],
    );
    const read = readScore(scoreFile(high));
    expect(read.ok && read.value.phrases[0]?.notes.map((note) => note.pitch)).toEqual(['D4', 'D5']);
  });
});
