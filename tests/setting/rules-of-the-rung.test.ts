/** The reader of rules must itself find what is wrong: each song here breaks one rule. */
import { expect, test } from 'vitest';
import type { Rhythm } from '../../src/rhythm.ts';
import type { Song, SongNote } from '../../src/song.ts';
import { setMelody } from '../../src/setting/melody.ts';
import { findRung } from '../../src/setting/rungs.ts';
import { departures } from './rules-of-the-rung.ts';
import { someRhythm } from './some-rhythm.ts';

const PITCH: Readonly<Record<string, string>> = { d: 'D4', r: 'E4', m: 'F#4', f: 'G4', s: 'A4', l: 'B4' };

function song(rung: string): { song: Song; rhythm: Rhythm } {
  const rhythm = someRhythm(3);
  const found = findRung(rung);
  if (found === null) throw new Error(rung);
  const outcome = setMelody(rhythm, {
    rung: found,
    do: null,
    tempoBpm: null,
    seed: 1,
    take: 1,
    slur: false,
    voice: null,
    family: null,
  });
  if (!outcome.ok) throw new Error('no song');
  return { song: outcome.value, rhythm };
}

/** The song with the sounds of its first line sung to other tones. */
function retuned(from: Song, line: number, tones: string): Song {
  const list = tones.split(' ');
  let k = 0;
  return {
    ...from,
    phrases: from.phrases.map((phrase, i) =>
      i !== line
        ? phrase
        : {
            ...phrase,
            notes: phrase.notes.map((note): SongNote => {
              if (note.tone === null) return note;
              const tone = (list[k++] ?? note.tone) as SongNote['tone'];
              return { ...note, tone, pitch: tone === null ? null : (PITCH[tone] ?? null) };
            }),
          },
    ),
  };
}

test.each([
  ['so-mi', 's l s', 'l is not on the rung'],
  ['so-mi-la', 's l m', 'la goes to m'],
  ['so-mi-la', 'l s s', 'la comes from undefined'],
  ['so-mi-la-do', 'm d s', 'do sounds before the last close'],
] as const)('on %s it objects to %s: %s', (rung, tones, words) => {
  const { song: made, rhythm } = song(rung);
  expect(departures(made, rhythm, { slur: false })).toEqual([]);
  expect(departures(retuned(made, 0, tones), rhythm, { slur: false }).join('\n')).toContain(words);
});

test('it objects to a wrong pitch, a moved note and a lost syllable', () => {
  const { song: made, rhythm } = song('so-mi');
  const change = (edit: (note: SongNote, k: number) => SongNote): Song => ({
    ...made,
    phrases: made.phrases.map((phrase, i) =>
      i === 0 ? { ...phrase, notes: phrase.notes.map(edit) } : phrase,
    ),
  });
  const objections = (edited: Song): string => departures(edited, rhythm, { slur: false }).join('\n');
  expect(objections(change((n, k) => (k === 0 ? { ...n, pitch: 'Bb4' } : n)))).toContain('is written Bb4');
  expect(objections(change((n, k) => (k === 1 ? { ...n, onset: n.onset + 60 } : n)))).toContain(
    'gap or overlap',
  );
  expect(objections(change((n, k) => (k === 0 ? { ...n, syllable: null } : n)))).toContain('syllables lost');
});

test('it objects to a strophe that does not close, and to a new tone that is never heard', () => {
  const { song: made, rhythm } = song('so-mi-la');
  const last = made.phrases.length - 1;
  const open = retuned(made, last, Array.from({ length: 20 }, () => 's').join(' '));
  expect(departures(open, rhythm, { slur: false }).join('\n')).toContain('the strophe ends on s');
  const plain = made.phrases.reduce(
    (all, _, i) => retuned(all, i, Array.from({ length: 20 }, () => 's').join(' ')),
    made,
  );
  expect(departures(plain, rhythm, { slur: false }).join('\n')).toContain('l is never heard');
});
