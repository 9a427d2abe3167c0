/**
 * Words on beats, as published rules and common practice have them. The rhymes are invented; the rules are those of
 * the sources named beside them.
 */
import { describe, expect, test } from 'vitest';
import { marked, placed, problemsOf } from './chant.ts';

describe('the line of four beats', () => {
  // R. Burling, "The metrics of children's verse", American Anthropologist 68 (1966): four lines of four beats.
  test('is what a quatrain of seven or eight syllables a line is given', () => {
    const lines = placed(
      'Shine the window, sweep the floor,\nHang a wreath upon the door,\nLight a candle, set it high,\nWatch the winter walking by.',
    ).lines;
    expect(lines.map((line) => line.beats)).toEqual([4, 4, 4, 4]);
    expect(lines.flatMap((line) => line.emptyBeats)).toEqual([]);
  });

  // D. Attridge, "The Rhythms of English Poetry" (1982): three stresses imply an unrealised fourth beat.
  test('has its fourth beat empty where a ballad line has three stresses', () => {
    expect(
      marked(
        'The miller had a yellow cat\nThat slept upon the stair,\nAnd every night it caught a rat\nAnd left it on his chair.',
      ),
    ).toEqual([
      'The |mil-ler |had a |yel-low |cat',
      'That |slept up|on the |stair, |-',
      'And |ev-ery |night it |caught a |rat',
      'And |left it |on his |chair. |-',
    ]);
  });

  test('is eight beats where two phrases are printed as one line', () => {
    const [line] = placed(
      'The fox ran out, the fox ran in, the fox ran round the tree,\nHe lost his hat, he lost his pin, he stopped and looked at me.',
    ).lines;
    expect(line?.beats).toBe(8);
    expect(line?.emptyBeats.map(({ beat }) => beat)).toEqual([7]);
  });
});

describe('stanzas', () => {
  // B. Hayes and M. MacEachern, "Quatrain form in English folk verse", Language 74 (1998): 4 four filled beats,
  // 3 the fourth empty, 3f a weak syllable after the third stress.
  test.each([
    [
      '4343',
      'Once I had a spotted hen,\nOnce I had a goat,\nOnce I had a little pig\nThat wore a purple coat.',
      [4, 3, 4, 3],
    ],
    [
      '4444',
      'Old Tom Tucker took a nap,\nFound a spider in his cap,\nTook the cap and put it on,\nLooked again and it was gone.',
      [4, 4, 4, 4],
    ],
    [
      '3343',
      'The snow is on the hill,\nThe frost is on the pane,\nThe kettle sings, the cat is warm,\nAnd home we go again.',
      [3, 3, 4, 3],
    ],
  ])('%s is heard as such', (_type, text, stresses) => {
    const { lines } = placed(text);
    expect(lines.map((line) => line.beats - line.emptyBeats.length)).toEqual(stresses);
    expect(lines.map((line) => line.beats)).toEqual([4, 4, 4, 4]);
  });
});

describe('a weak ending', () => {
  test('waits for the fourth beat in every second line of 43f43f', () => {
    const { lines } = placed(
      'The window in the hall is wide,\nThe door is always open,\nThe goat has put her head inside,\nThe china will be broken.',
    );
    const last = lines.map((line) => line.syllables.at(-1));
    expect(last.map((syllable) => syllable?.beat)).toEqual([3, 3, 3, 3]);
    expect(last.map((syllable) => syllable?.syllable.stress)).toEqual([2, 0, 2, 0]);
  });
});

describe('stress and beat', () => {
  // M. Halle and F. Lerdahl, "A generative textsetting model", Current Musicology 55 (1993): the stressed syllables
  // of longer words on beats, weak syllables packed before the next.
  test('meet in the stressed syllables of longer words', () => {
    expect(marked('A giraffe on a balloon,\nA guitar beneath the moon')).toEqual([
      'A gi|raffe |on a bal|loon, |-',
      'A gui|tar be|neath the |moon |-',
    ]);
  });

  // Hayes, "Textsetting as constraint conflict" (2009): a lapse of weak syllables lifts the middle one onto a beat.
  test('lift a weak word between two weak ones onto a beat', () => {
    expect(marked('Bring the apples in the basket,\nPut the parcels on the table')).toEqual([
      '|Bring the |ap-ples |in the |bas-ket,',
      '|Put the |par-cels |on the |ta-ble',
    ]);
  });

  // N. Chomsky and M. Halle, "The Sound Pattern of English" (1968): the compound rule and the nuclear stress rule.
  test('tell a compound from an adjective with its noun', () => {
    const [compound, phrase] = marked(
      'The blackbird sat upon the gate,\nThe black bird by the pond was late.',
    );
    expect(compound).toBe('The |black-bird |sat up|on the |gate,');
    expect(phrase).toContain('|black |bird');
  });

  // Common practice: the particle of a verb is strong, a preposition before its noun is weak.
  test('hear a particle where the phrase ends', () => {
    expect(marked('Took the cap and put it on,\nLooked again and it was gone.')[0]).toBe(
      '|Took the |cap and |put it |on,',
    );
  });

  test('count in threes where two weak syllables stand between the stresses', () => {
    const text = 'A bottle of ginger, a barrel of glue,\nA basket of biscuits for me and for you.';
    expect(placed(text).beatClass).toBe('compound');
    expect(marked(text)).toEqual([
      'A |bot-tle of |gin-ger, a |bar-rel of |glue,',
      'A |bas-ket of |bis-cuits for |me and for |you.',
    ]);
  });

  test('count in twos where one stands between them', () => {
    expect(placed('Shine the window, sweep the floor,\nHang a wreath upon the door').beatClass).toBe(
      'simple',
    );
  });
});

describe('places inside the beat', () => {
  // Counted in two song books of 1877 and 1893: 97 % of single syllables in compound time on the third third, 92 %
  // in simple time on the half.
  test('are the third third and the half for one syllable off the beat', () => {
    const simple =
      placed('Bring the apples in the basket', { beatClass: 'simple' }).lines[0]?.syllables ?? [];
    expect(simple.map(({ at }) => at)).toEqual([0, 240, 480, 720, 960, 1200, 1440, 1680]);
    const compound =
      placed('Bring the apples in the basket', { beatClass: 'compound' }).lines[0]?.syllables ?? [];
    expect(compound.map(({ at }) => at)).toEqual([0, 480, 720, 1200, 1440, 1920, 2160, 2640]);
  });

  test('come before the first beat for an upbeat, after what is left of the line before', () => {
    const lines = placed(
      'A bottle of ginger, a barrel of honey,\nA basket of biscuits, a pocket of money',
    ).lines;
    expect(lines[0]?.syllables[0]?.at).toBe(-240);
    expect(lines[0]?.syllables.at(-1)?.at).toBe(3 * 720 + 240);
    expect(lines[1]?.syllables[0]?.at).toBe(-240);
  });
});

describe("the teacher's say", () => {
  test('keeps a line as it is marked, and the others agree with it', () => {
    const free = marked('All the bells are ringing\nAll the birds are singing')[1];
    const bound = marked('|All the |bells are |ring|ing\nAll the birds are singing');
    expect(bound).toEqual(['|All the |bells are |ring|ing', '|All the |birds are |sing|ing']);
    expect(free).not.toBe(bound[1]);
  });

  test('keeps empty beats, held and silent ones, inside words too', () => {
    const text = '|Brr, |= |brr, |z\n|Lon|-|don |-';
    expect(marked(text)).toEqual(text.split('\n'));
    expect(placed(text).lines.map((line) => line.given)).toEqual([true, true]);
    expect(placed(text).lines[1]?.emptyBeats).toEqual([
      { beat: 1, sound: 'free', insideWord: true },
      { beat: 3, sound: 'free', insideWord: false },
    ]);
  });

  test('fixes the beats of every line', () => {
    const text = 'Shine the window, sweep the floor,\nHang a wreath upon the door';
    expect(placed(text, { beats: 6 }).lines.map((line) => line.beats)).toEqual([6, 6]);
  });

  test('is an error where marks and number of beats contradict one another, quoting the line', () => {
    const [problem] = problemsOf('|Brr, |- |brr\nWarm me a muffin', { beats: 4 });
    expect(problem).toMatchObject({ code: 'beats-contradict', severity: 'error', line: 1 });
    expect(problem?.message).toContain('Brr, brr');
    expect(problem?.message).toContain('3 beats');
  });

  test('is an error where a line cannot have so few beats, quoting the line', () => {
    const [problem] = problemsOf('Bring the apples in the basket to the table', { beats: 1 });
    expect(problem).toMatchObject({ code: 'no-placement', severity: 'error', line: 1 });
    expect(problem?.message).toContain('Bring the apples');
  });
});

describe('a close call', () => {
  test('is a note with the other way to place the line, which is valid input', () => {
    const text = 'Daisy and Dan\nRan to the van\nDaisy fell over and\nDan was the man';
    const close = problemsOf(text).filter(({ code }) => code === 'close-call');
    for (const { severity, line, message } of close) {
      expect(severity).toBe('note');
      const other = message.slice(message.indexOf('|'));
      const corrected = text.split('\n').with((line ?? 1) - 1, other);
      expect(placed(corrected.join('\n')).lines[(line ?? 1) - 1]?.given).toBe(true);
    }
    const { lines } = placed(text);
    const margins = lines.map(({ cost, runnerUp }) => (runnerUp?.cost ?? Infinity) - cost);
    expect(close.map(({ line }) => line)).toEqual(
      margins.flatMap((margin, i) => (margin < 40 ? [i + 1] : [])),
    );
  });
});

describe('whatever the rhyme', () => {
  test('a line of one syllable and a very long line are placed', () => {
    expect(marked('Bow!').join()).toMatch(/^\|Bow!/);
    const long = placed(Array.from({ length: 60 }, () => 'tumble').join(' ')).lines[0];
    expect(long?.syllables).toHaveLength(120);
  });

  test('syllables rise in time, each once, and lines follow one another', () => {
    const { lines, ticksPerBeat } = placed(
      'Snow in my mitten, snow in my shoe,\n|Brr, |- |brr, |-\nWarm me a muffin and warm one for you,\nAnd it is time to go',
    );
    let end = -Infinity;
    let start = 0;
    for (const line of lines) {
      for (const { at } of line.syllables) {
        expect(start + at).toBeGreaterThan(end);
        end = start + at;
      }
      start += line.beats * ticksPerBeat;
    }
  });
});
