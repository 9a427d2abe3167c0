import { describe, expect, test } from 'vitest';
import { writeScore } from '../../src/export/score.ts';
import { SONGS, KETTLE, FERRY } from './songs.ts';
import { naiveScore } from './naive-score.ts';

describe('a score', () => {
  test('has a block for each phrase, letters and syllables under their rhythm', () => {
    const body = writeScore(KETTLE).split('\n---\n')[1];
    expect(body).toBe(`
Line 1   a   open
  | ta    ta   | ta    ta  |
  | s     m    | s     m   |
  | Ket-  tle, | ket-  tle |

Line 2   b   open
  | ti----ti   ti-ti  | ta     z |
  | s     s    l  l   | s        |
  | sing- ing  on the | stove    |

Line 3   a   open
  | ta    ta   | ti---ti  ta  |
  | s     m    | (s   l)  s   |
  | Ket-  tle, | hush     now |

Line 4   b'   closed
  | ti--ti   ti--ti  | ta-----a ||
  | s   s    l   s   | m        ||
  | tea for  two and | cake.    ||
`);
  });

  test('begins with its settings', () => {
    expect(writeScore(FERRY).split('\n---\n')[0]).toBe(`---
score: chantwright 1
title: The ferry goes over
rung: la-pentatonic
tones: l, d r m s l
new: l,
home: l,
do: F4
metre: 6/8
tempo: 104
seed: 1
take: 1`);
  });

  test('draws an upbeat in front of the first bar line, and no bar line where a line of the rhyme ends inside a bar', () => {
    expect(writeScore(FERRY)).toContain('\n  ti  | ta---ti  ta---ti | tam  ta,\n');
    expect(writeScore(FERRY)).toContain('\n  m   | l    s   m    r  | m    -\n');
    expect(writeScore(FERRY)).toContain('\n  The | fer- ry  goes o- | ver\n');
  });

  test.each(SONGS)('tells %s to a reader that shares nothing with the program', (_, song) => {
    const lines = naiveScore(writeScore(song, { width: 1000 }), song.metre.ticksPerBeat / 120);
    expect(lines).toEqual(
      song.phrases.map(({ notes }) => ({
        lengths: notes.map((note) => ((note.tone === null ? -1 : 1) * note.duration) / 120),
        letters: notes.flatMap((note) =>
          note.tone === null ? [] : [note.tie === 'stop' || note.tie === 'both' ? '-' : note.tone],
        ),
        syllables: notes.flatMap(({ syllable }) =>
          syllable === null
            ? []
            : [syllable.text.replaceAll('-', '\\-') + (/begin|middle/.test(syllable.division) ? '-' : '')],
        ),
      })),
    );
  });

  test('is plain ASCII unless the words are not, and drawn when asked', () => {
    expect(writeScore(KETTLE)).toMatch(/^[\x20-\x7e\n]+$/);
    const drawn = writeScore(KETTLE, { unicode: true });
    expect(drawn).toContain('names: glyphs');
    expect(drawn).toContain('│ ♩     ♩    │ ♩     ♩   │');
    expect(drawn).toContain('♫');
  });

  test('goes on in a second row where a line is too long, at a bar line', () => {
    const rows = writeScore(KETTLE, { width: 22 }).split('\n\n');
    expect(rows[1]).toBe('Line 1   a   open\n  | ta    ta   |\n  | s     m    |\n  | Ket-  tle, |');
    expect(rows[2]).toBe('  | ta    ta  |\n  | s     m   |\n  | ket-  tle |');
  });

  test('gives the stanza a heading when there are several', () => {
    const [, , sparrow] = SONGS;
    const text = writeScore(sparrow?.[1] ?? KETTLE);
    expect(text).toMatch(/^Stanza 1\n\nLine 1/m);
    expect(text).toMatch(/^Stanza 2\n\nLine 2/m);
  });
});
