import { describe, expect, test } from 'vitest';
import type { Rhythm } from '../../src/rhythm.ts';
import type { Song } from '../../src/song.ts';
import { VOICES } from '../../src/setting/keys.ts';
import { setMelody, setTakes, type MelodyOptions } from '../../src/setting/melody.ts';
import { findRung, RUNGS } from '../../src/setting/rungs.ts';
import { departures } from './rules-of-the-rung.ts';
import { someRhythm } from './some-rhythm.ts';

function options(rung: string, more: Partial<MelodyOptions> = {}): MelodyOptions {
  const found = findRung(rung);
  if (found === null) throw new Error(rung);
  return {
    rung: found,
    do: null,
    tempoBpm: null,
    seed: 1,
    take: 1,
    slur: true,
    voice: null,
    family: null,
    ...more,
  };
}

function sung(rhythm: Rhythm, rung: string, more: Partial<MelodyOptions> = {}): Song {
  const outcome = setMelody(rhythm, options(rung, more));
  if (!outcome.ok) throw new Error(outcome.problems.map((p) => p.message).join('\n'));
  return outcome.value;
}

const takes = (first: number, last: number) => ({ first, last, families: [] });

describe('every rule of the rung holds', () => {
  test.each(RUNGS.map((r) => r.name))('on %s, for rhythms made by seed, in takes 1 to 5', (rung) => {
    for (let seed = 1; seed <= 16; seed += 1) {
      const rhythm = someRhythm(seed);
      const slur = seed % 3 !== 0;
      for (const outcome of setTakes(rhythm, options(rung, { seed, slur }), takes(1, 5))) {
        expect(outcome.ok, JSON.stringify(outcome.problems)).toBe(true);
        if (outcome.ok) expect(departures(outcome.value, rhythm, { slur })).toEqual([]);
      }
    }
  });

  test('families keep them too, rung after rung up the whole ladder', () => {
    for (let seed = 1; seed <= 10; seed += 1) {
      const rhythm = someRhythm(seed);
      let family: Song | null = null;
      for (const rung of RUNGS) {
        family = sung(rhythm, rung.name, { family, seed, take: 1 + (seed % 2) });
        expect(departures(family, rhythm, { slur: true })).toEqual([]);
      }
    }
  });
});

describe('the same wish gives the same song', () => {
  test('a take is the same alone as among others', () => {
    const rhythm = someRhythm(11);
    const all = setTakes(rhythm, options('do-pentatonic'), takes(1, 6));
    all.forEach((outcome, i) => {
      expect(setMelody(rhythm, options('do-pentatonic', { take: i + 1 }))).toEqual(outcome);
    });
  });

  test('another seed gives another song', () => {
    const rhythm = someRhythm(11);
    const songs = [1, 2, 3, 4, 5].map((seed) =>
      JSON.stringify(sung(rhythm, 'do-pentatonic', { seed }).phrases),
    );
    expect(new Set(songs).size).toBe(5);
  });

  test('the song is frozen through and through', () => {
    const song = sung(someRhythm(4), 'so-mi');
    expect(Object.isFrozen(song.phrases[0]?.notes[0])).toBe(true);
    expect(Object.isFrozen(song.metre)).toBe(true);
  });
});

describe('takes', () => {
  test('fifty takes of a four-line rhyme are fifty songs', () => {
    const rhythm = lines([8, 8, 8, 6]);
    const songs = setTakes(rhythm, options('so-mi-la'), takes(1, 50)).map((o) =>
      o.ok ? tones(o.value) : '',
    );
    expect(new Set(songs).size).toBe(50);
  });

  test('where a rung has few songs each comes once before any comes again, and the note says how many', () => {
    // Three sounds of a beat each on so-mi, the last on mi: begin on so or mi, then so or mi: four songs.
    const rhythm = lines([3]);
    const outcomes = setTakes(rhythm, options('so-mi'), takes(1, 6));
    const songs = outcomes.map((o) => (o.ok ? tones(o.value) : ''));
    expect([...new Set(songs.slice(0, 4))].sort()).toEqual(['m m m', 'm s m', 's m m', 's s m']);
    expect(outcomes[3]?.problems).toEqual([]);
    expect(outcomes[4]?.problems.map((p) => p.code)).toEqual(['few-takes']);
    expect(outcomes[4]?.problems[0]?.message).toContain('4 different songs');
  });
});

describe('what children read on from', () => {
  test('on so-mi-la a song of the family changes so-mi only where la comes', () => {
    for (let seed = 1; seed <= 30; seed += 1) {
      const rhythm = lines([7, 8, 7, 5], seed);
      const before = sung(rhythm, 'so-mi', { seed });
      const after = sung(rhythm, 'so-mi-la', { seed, family: before, slur: false });
      const [a, b] = [tones(before).split(' '), tones(after).split(' ')];
      const changed = b.filter((tone, i) => tone !== a[i]);
      expect(changed).toContain('l');
      // A returning line takes the change with it; no more than two sounds change in a line.
      expect(changed.length).toBeLessThanOrEqual(8);
    }
  });

  test('on so-mi-la-do only the close changes', () => {
    for (let seed = 1; seed <= 30; seed += 1) {
      const rhythm = lines([7, 8, 7, 6], seed);
      const before = sung(rhythm, 'so-mi-la', { seed });
      const after = sung(rhythm, 'so-mi-la-do', { seed, family: before });
      const [a, b] = [tones(before).split(' '), tones(after).split(' ')];
      expect(b.filter((tone, i) => tone !== a[i])).toEqual(['d']);
    }
  });
});

describe('the teacher has the say', () => {
  test('tones that she fixed stand, and the rest keeps the rules around them', () => {
    const rhythm = lines([8, 8, 8, 6]);
    const fixed = [
      { phrase: 0, sound: 0, tone: 'm' },
      { phrase: 1, sound: -1, tone: 's' },
      { phrase: 2, sound: 2, tone: 'l' },
    ] as const;
    for (const outcome of setTakes(rhythm, options('so-mi-la-do', { fixed }), takes(1, 5))) {
      if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
      expect(departures(outcome.value, rhythm, { slur: true })).toEqual([]);
      const phrases = outcome.value.phrases.map((p) =>
        p.notes.flatMap((n) => (n.tone === null ? [] : [n.tone])),
      );
      expect([phrases[0]?.[0], phrases[1]?.at(-1), phrases[2]?.[2]]).toEqual(['m', 's', 'l']);
    }
  });

  test.each([
    [{ phrase: 0, sound: 0, tone: 'd' }, 'so-mi has only m s'],
    [{ phrase: 0, sound: 99, tone: 's' }, 'is not there'],
    [{ phrase: 3, sound: -1, tone: 's' }, 'line 4, against this rule: a question stays open'],
  ] as const)('an impossible wish is named: %o', (wish, words) => {
    const outcome = setMelody(lines([8, 8, 8, 6]), options('so-mi', { fixed: [wish] }));
    expect(outcome.ok).toBe(false);
    expect(outcome.problems[0]?.code).toBe('no-melody');
    expect(outcome.problems[0]?.message).toContain(words);
  });

  test.each([
    ['so-mi-la', { phrase: 0, sound: 0, tone: 'l' }, 'a phrase begins on a tone'],
    ['so-mi-la-do', { phrase: 1, sound: 2, tone: 'd' }, 'the home tone waits for the close'],
    ['so-mi-la', { phrase: 3, sound: -2, tone: 'l' }, 'each tone is reached and left as the rung teaches'],
  ] as const)('on %s the rule that %o breaks is named: %s', (rung, wish, words) => {
    const outcome = setMelody(lines([8, 8, 8, 6]), options(rung, { fixed: [wish], slur: false }));
    expect(outcome.ok).toBe(false);
    expect(outcome.problems[0]?.message).toContain(words);
    expect(outcome.problems[0]?.line).toBe(wish.phrase + 1);
  });

  test('where two wishes stand together the one that cannot be met is named', () => {
    const fixed = [
      { phrase: 0, sound: 0, tone: 'm' },
      { phrase: 2, sound: -1, tone: 'l' },
    ] as const;
    const outcome = setMelody(lines([8, 8, 8, 6]), options('so-mi-la-do', { fixed }));
    expect(outcome.problems[0]?.message).toMatch(/^l is asked for on "w7" of line 3/);
  });

  test('the song says whose notes are whose, by line and word', () => {
    const fixed = [
      { phrase: 0, sound: 0, tone: 'm' },
      { phrase: 0, sound: -1, tone: 's' },
      { phrase: 2, sound: 2, tone: 'l' },
    ] as const;
    const { problems } = sung(lines([8, 8, 8, 6]), 'so-mi-la-do', { fixed });
    expect(problems.filter((p) => p.code === 'given-tones')).toEqual([
      {
        code: 'given-tones',
        severity: 'note',
        line: 1,
        message: 'In line 1 given: m on "w0", s on "w7"; the other tones are set around them.',
      },
      {
        code: 'given-tones',
        severity: 'note',
        line: 3,
        message: 'In line 3 given: l on "w2"; the other tones are set around them.',
      },
    ]);
  });

  test('tones are counted by syllable: a slur before them does not move them, nor stand on them', () => {
    for (let seed = 1; seed <= 20; seed += 1) {
      const fixed = [{ phrase: 0, sound: 2, tone: 'm' }] as const;
      const song = sung(lines([4, 4, 4, 4], seed), 'so-mi-la', { fixed, seed });
      const syllables = song.phrases[0]?.notes.filter((n) => n.syllable !== null) ?? [];
      expect(syllables[2]?.tone).toBe('m');
      expect(syllables[2]?.slur).toBe(null);
    }
  });

  test('without room for the new tone the song is made and the lack is reported', () => {
    const outcome = setMelody(lines([2]), options('so-mi-la'));
    expect(outcome.ok).toBe(true);
    expect(outcome.problems.map((p) => p.code)).toEqual(['new-tone-missing']);
  });
});

describe('keys and voices', () => {
  test.each(VOICES.flatMap((voice) => RUNGS.map((rung) => [voice.name, rung.name] as const)))(
    'for %s on %s the song lies in the range or says that it does not',
    (name, rung) => {
      const voice = VOICES.find((v) => v.name === name) ?? null;
      const rhythm = someRhythm(21);
      const song = sung(rhythm, rung, { voice });
      const low = `${voice?.low.letter ?? ''}${String(voice?.low.octave)}`;
      const high = `${voice?.high.letter ?? ''}${String(voice?.high.octave)}`;
      expect(departures(song, rhythm, { slur: true, low, high })).toEqual([]);
    },
  );

  test('without a wish do is the usual one: D for the first rungs', () => {
    for (const rung of ['so-mi', 'so-mi-la', 'so-mi-la-do']) expect(sung(lines([8]), rung).do).toBe('D4');
  });

  test('a do that is asked for is obeyed, with a warning outside the range', () => {
    const song = sung(lines([8]), 'so-mi', {
      do: { letter: 'G', alter: 0, octave: 4 },
      voice: VOICES[1] ?? null,
    });
    expect(song.do).toBe('G4');
    expect(song.problems.map((p) => p.code)).toEqual(['out-of-range']);
    expect(song.problems[0]?.message).toContain('s (D5)');
  });

  test('a do that would take the tune below A3 is raised, and the song says so', () => {
    const song = sung(lines([8]), 'so-mi', { do: { letter: 'C', alter: 0, octave: 3 } });
    expect(song.do).toBe('C4');
    expect(song.problems[0]?.code).toBe('out-of-range');
  });

  test('the tempo is that of grades K-1 unless asked for', () => {
    expect(sung(lines([8]), 'so-mi').tempoBpm).toBe(112);
    expect(sung(lines([8]), 'so-mi', { voice: VOICES[2] ?? null }).tempoBpm).toBe(100);
    expect(sung(lines([8]), 'so-mi', { tempoBpm: 90 }).tempoBpm).toBe(90);
  });
});

/** Lines in 2/4 of four beats with so many sounds: quarters from the end, pairs of eighths before. */
function lines(counts: readonly number[], seed = 1): Rhythm {
  return {
    title: `Lines ${String(seed)}`,
    metre: { beats: 2, beatType: 4, beatClass: 'simple', ticksPerBeat: 480 },
    upbeatTicks: 0,
    phrases: counts.map((count, i) => {
      const pairs = Math.max(0, count - 4);
      const durations = [
        ...Array.from({ length: Math.min(pairs, 4) * 2 }, () => 240),
        ...Array.from({ length: Math.min(4, count) - Math.min(pairs, 4) }, () => 480),
      ];
      let at = i * 1920;
      const notes: Rhythm['phrases'][number]['notes'][number][] = durations.map((duration, k) => {
        const syllable = {
          text: `w${String(k)}`,
          word: k,
          division: 'single',
          stress: 2,
          prominence: 0,
        } as const;
        const note = { onset: at, duration, rest: false, syllable, tie: null, breath: false };
        at += duration;
        return note;
      });
      if (at < (i + 1) * 1920) {
        notes.push({
          onset: at,
          duration: (i + 1) * 1920 - at,
          rest: true,
          syllable: null,
          tie: null,
          breath: false,
        });
      }
      return {
        line: i + 1,
        stanza: 1,
        text: '',
        notes,
        rhyme: '',
        wordKeys: [`line${String(i)}`, String(seed)],
      };
    }),
  };
}

function tones(song: Song): string {
  return song.phrases.flatMap((p) => p.notes.flatMap((n) => (n.tone === null ? [] : [n.tone]))).join(' ');
}
