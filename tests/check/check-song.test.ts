import { describe, expect, test } from 'vitest';
import { checkSong, type CheckOptions } from '../../src/check/check-song.ts';
import { standingFault, stepFault } from '../../src/check/hard-rules.ts';
import { changesTo } from '../../src/check/lower.ts';
import { soundsOf } from '../../src/check/sounds.ts';
import { isTone, pitchName, pitchOf, type Tone } from '../../src/pitch.ts';
import { seededRandom } from '../../src/random.ts';
import type { Rung } from '../../src/rung.ts';
import { VOICES } from '../../src/setting/keys.ts';
import { setTakes } from '../../src/setting/melody.ts';
import { RHYTHM_LADDER } from '../../src/setting/rhythm-ladder.ts';
import { findRung, RUNGS } from '../../src/setting/rungs.ts';
import type { Song } from '../../src/song.ts';
import { someRhythm } from '../setting/some-rhythm.ts';

const any: CheckOptions = { rung: null, ladder: RUNGS, voice: null, rhythms: null, stress: null };

function rung(name: string): Rung {
  const found = findRung(name);
  if (found === null) throw new Error(name);
  return found;
}

/** A song in 2/4, a word to each quarter: `s m s m | s s m m`, `|` between lines, `-` inside a word, `-- ` a rest. */
function songOf(text: string): Song {
  let at = 0;
  const doPitch = { letter: 'D', alter: 0, octave: 4 } as const;
  const phrases = text.split('|').map((line, i) => ({
    line: i + 1,
    stanza: 1,
    text: line.trim(),
    form: 'a',
    cadence: 'open' as const,
    notes: line
      .trim()
      .split(/\s+/)
      .map((name, word) => {
        const tone = isTone(name) ? name : null;
        const note = {
          onset: at,
          duration: 480,
          tone,
          pitch: tone === null ? null : pitchName(pitchOf(tone, doPitch)),
          syllable:
            tone === null ? null : { text: `w${String(word + 1)}`, word, division: 'single' as const },
          slur: null,
          tie: null,
          breath: tone === null ? null : false,
        };
        at += 480;
        return note;
      }),
  }));
  return {
    title: 'Checked',
    rung: 'so-mi',
    tones: 'm s',
    newTone: null,
    home: 'd',
    seed: 1,
    take: 1,
    do: 'D4',
    tempoBpm: 112,
    ticksPerQuarter: 480,
    metre: { beats: 2, beatType: 4, beatClass: 'simple', ticksPerBeat: 480 },
    upbeatTicks: 0,
    phrases,
    problems: [],
  };
}

describe('a song that the program made', () => {
  test.each(RUNGS.map((r) => r.name))('on %s departs from nothing', (name) => {
    for (let seed = 1; seed <= 10; seed += 1) {
      const options = {
        rung: rung(name),
        do: null,
        tempoBpm: null,
        seed,
        take: 1,
        slur: true,
        voice: null,
        family: null,
      };
      for (const outcome of setTakes(someRhythm(seed), options, { first: 1, last: 3, families: [] })) {
        if (!outcome.ok) throw new Error('no song');
        const missing = outcome.problems.some((p) => p.code === 'new-tone-missing');
        const departures = checkSong(outcome.value, { ...any, rung: rung(name) }).departures;
        expect(departures.filter((d) => !(missing && d.line === null))).toEqual([]);
      }
    }
  });
});

describe('departures are named by line and word', () => {
  test.each([
    ['so-mi', 's l s m', 1, 'w2', 'l is not on so-mi (m s)'],
    ['so-mi-la', 's l m m', 1, 'w3', 'l goes to m; it goes to s'],
    ['so-mi-la', 's s m m | l s s m', 2, 'w1', 'a phrase begins on l'],
    ['so-mi-la', 's l s s', 1, 'w4', 'the strophe ends on s; on so-mi-la it closes on m'],
    [
      'so-mi-la-do',
      's d s m | s m m d',
      1,
      'w2',
      'd sounds before the last close, for which so-mi-la-do keeps it',
    ],
    ['mi-re-do', 'm r m m', 1, 'w4', 'the strophe ends on m; on mi-re-do it closes on d'],
    ['do-hexachord', 'f d r d', 1, 'w2', 'f goes to d; it goes to m or r or s or l'],
  ] as const)('on %s: %s', (name, text, line, word, message) => {
    const { departures } = checkSong(songOf(text), { ...any, rung: rung(name) });
    expect(departures).toContainEqual({ kind: 'rung', line, word, message });
  });

  test('the new tone that is not heard', () => {
    const { departures } = checkSong(songOf('s s m m'), { ...any, rung: rung('so-mi-la') });
    expect(departures.map((d) => d.message)).toEqual(['l, the new tone of so-mi-la, is not heard']);
  });

  test('the range of a class', () => {
    const { departures } = checkSong(songOf('s l s m'), { ...any, voice: VOICES[0] ?? null });
    expect(departures).toEqual([
      { kind: 'range', line: 1, word: 'w2', message: 'B4 lies above the comfortable range D4 to A4 (3-5)' },
    ]);
  });

  test('a rhythm that has not been taught', () => {
    const { departures } = checkSong(songOf('s m m --'), { ...any, rhythms: RHYTHM_LADDER.slice(0, 1) });
    expect(departures.map((d) => [d.kind, d.line])).toEqual([['rhythm', 1]]);
    expect(checkSong(songOf('s m m --'), { ...any, rhythms: RHYTHM_LADDER.slice(0, 2) }).departures).toEqual(
      [],
    );
  });

  test('a word whose stress stands on the weaker beat', () => {
    const song = songOf('s m s m');
    const [phrase] = song.phrases;
    if (phrase === undefined) throw new Error('no phrase');
    // One word of two syllables on the first two beats, one on the last two.
    const notes = phrase.notes.map((n, k) =>
      n.syllable === null
        ? n
        : {
            ...n,
            syllable: { ...n.syllable, word: Math.floor(k / 2), text: ['a', 'gain,', 'mer', 'ry'][k] ?? '' },
          },
    );
    const stresses = [0, 2, 2, 0] as const;
    const { departures } = checkSong(
      { ...song, phrases: [{ ...phrase, notes }] },
      { ...any, stress: (_, syllable) => stresses[syllable] ?? null },
    );
    expect(departures).toEqual([
      {
        kind: 'stress',
        line: 1,
        word: 'again,',
        message: 'the stressed syllable stands on a weaker beat than an unstressed one',
      },
    ]);
  });
});

describe('without a rung', () => {
  test.each([
    ['s m s m', 'so-mi', null],
    ['s l s m', 'so-mi-la', 'so-mi'],
    ['s l s m | s s m d', 'so-mi-la-do', 'so-mi-la'],
    ['d r m r | m r d d', 'mi-re-do', 'so-mi-la-do'],
    ['d f m r | m r d d', 'do-pentachord', 'la-pentatonic'],
  ] as const)('%s is a song of %s', (text, name, lower) => {
    const check = checkSong(songOf(text), any);
    expect(check.rung?.name).toBe(name);
    expect(check.departures).toEqual([]);
    expect(check.lower?.rung.name ?? null).toBe(lower);
  });

  test('the smallest change one rung lower: la becomes so, do becomes mi', () => {
    expect(checkSong(songOf('s l s m'), any).lower?.changes).toEqual([
      { line: 1, word: 'w2', sound: 1, from: 'l', to: 's' },
    ]);
    expect(checkSong(songOf('s l s m | s s m d'), any).lower?.changes).toEqual([
      { line: 2, word: 'w4', sound: 3, from: 'd', to: 'm' },
    ]);
  });

  test('a song beyond every rung says so', () => {
    const check = checkSong(songOf("d m' d d"), any);
    expect(check.rung).toBeNull();
    expect(check.departures[0]?.message).toContain("no rung holds d m'");
  });
});

test('no smaller change is found by trying every tune of the lower rung', () => {
  const random = seededRandom(5);
  for (let round = 0; round < 40; round += 1) {
    const all: readonly Tone[] = ['d', 'r', 'm', 's', 'l'];
    const text = Array.from({ length: 2 + (random() % 4) }, () => all[random() % all.length] ?? 's').join(
      ' ',
    );
    const song = songOf(text);
    const target = rung(['so-mi', 'so-mi-la', 'so-mi-la-do', 'mi-re-do'][round % 4] ?? 'so-mi');
    const sounds = soundsOf(song)[0] ?? [];
    let least = Infinity;
    const visit = (tones: readonly Tone[]): void => {
      const k = tones.length;
      const sound = sounds[k];
      if (sound === undefined) {
        least = Math.min(least, tones.filter((tone, i) => tone !== sounds[i]?.tone).length);
        return;
      }
      for (const tone of target.tones) {
        const before = tones.at(-1);
        if (standingFault(target, tone, sound) !== null) continue;
        if (before !== undefined && stepFault(target, before, tone, sound) !== null) continue;
        visit([...tones, tone]);
      }
    };
    visit([]);
    expect(changesTo(song, target)?.length ?? Infinity).toBe(least);
  }
});
