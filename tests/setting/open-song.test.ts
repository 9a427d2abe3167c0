import { expect, test } from 'vitest';
import { setMelody } from '../../src/setting/melody.ts';
import { setOpenTones, type OpenSong } from '../../src/setting/open-song.ts';
import { findRung } from '../../src/setting/rungs.ts';
import { departures } from './rules-of-the-rung.ts';
import { someRhythm } from './some-rhythm.ts';

const rung = findRung('so-mi-la-do');
if (rung === null) throw new Error('no rung');
const options = { rung, do: null, tempoBpm: null, seed: 3, take: 1, slur: false, voice: null, family: null };

test('open tones are set around those that stand, on the given rhythm', () => {
  for (let seed = 1; seed <= 12; seed += 1) {
    const rhythm = someRhythm(seed);
    const made = setMelody(rhythm, options);
    if (!made.ok) throw new Error('no song');
    // The first line stays; every other sounding note is opened.
    const open: OpenSong = {
      ...made.value,
      phrases: made.value.phrases.map((phrase, i) => ({
        ...phrase,
        notes: phrase.notes.map((n) => (i === 0 || n.tone === null ? n : { ...n, tone: '?' as const })),
      })),
    };
    const again = setOpenTones(open, { ...options, seed: seed + 1 });
    if (!again.ok) throw new Error(JSON.stringify(again.problems));
    expect(again.value.phrases[0]?.notes).toEqual(made.value.phrases[0]?.notes);
    const own = again.problems.filter((p) => p.code === 'given-tones');
    expect(own.map((p) => p.line)).toEqual([1]);
    expect(own[0]?.message).toContain('every tone was given');
    expect(departures(again.value, rhythm, { slur: false })).toEqual([]);
  }
});

test('a rhythm without words gets a tune as well', () => {
  const note = (onset: number) =>
    ({ onset, duration: 480, tone: '?', syllable: null, slur: null, tie: null, breath: false }) as const;
  const open: OpenSong = {
    title: 'Wordless',
    metre: { beats: 2, beatType: 4, beatClass: 'simple', ticksPerBeat: 480 },
    upbeatTicks: 0,
    phrases: [0, 1, 2, 3].map((i) => ({
      line: i + 1,
      stanza: 1,
      text: '',
      notes: [0, 480, 960, 1440].map((at) => note(i * 1920 + at)),
    })),
  };
  const outcome = setOpenTones(open, options);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const tones = outcome.value.phrases.map((p) => p.notes.map((n) => n.tone));
  expect(tones.flat().filter((tone) => tone === null)).toEqual([]);
  expect(tones.at(-1)?.at(-1)).toBe('d');
});
