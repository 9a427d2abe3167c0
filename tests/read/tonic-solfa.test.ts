import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeTonicSolfa } from '../../src/export/tonic-solfa.ts';
import type { ProblemCode } from '../../src/problem.ts';
import { isTonicSolfa } from '../../src/read/tonic-solfa-header.ts';
import { readTonicSolfa } from '../../src/read/tonic-solfa.ts';
import type { Song } from '../../src/song.ts';
import { metreName, ticksPerBar } from '../../src/time.ts';
import { SONGS } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';

function read(text: string): Song {
  const outcome = readTonicSolfa(text);
  if (!outcome.ok)
    throw new Error(outcome.problems.map((p) => `${p.message} ${JSON.stringify(p.span)}`).join('\n') + text);
  return outcome.value;
}

/** `tone length` of each sound in pulses (or beats) of `pulse` ticks; tied notes are one, silences are joined. */
function lengths(song: Song, pulse: number): string {
  const sounds: [string, number][] = [];
  for (const note of song.phrases.flatMap((phrase) => phrase.notes)) {
    const last = sounds.at(-1);
    const goesOn = note.tie === 'stop' || note.tie === 'both' || (note.tone === null && last?.[0] === 'z');
    if (goesOn && last !== undefined) last[1] += note.duration / pulse;
    else sounds.push([note.tone ?? 'z', note.duration / pulse]);
  }
  return sounds.map(([tone, length]) => `${tone}${String(length)}`).join(' ');
}

/** What the notation can say of a song: everything but rung, tones not sung, form, breaths, and how long sounds are cut. */
function sayable(song: Song): object {
  const phrases = song.phrases.map((phrase) => {
    const sounds: { at: number; end: number; tone: string; word: unknown; slur: string | null }[] = [];
    for (const note of phrase.notes) {
      const at = note.onset - song.upbeatTicks;
      const last = sounds.at(-1);
      if (note.tone === null) continue;
      if ((note.tie === 'stop' || note.tie === 'both') && last !== undefined) {
        last.end = at + note.duration;
        last.slur ??= note.slur;
      } else
        sounds.push({ at, end: at + note.duration, tone: note.tone, word: note.syllable, slur: note.slur });
    }
    return sounds;
  });
  return {
    title: song.title.trim(),
    do: song.do,
    isLah: song.home.startsWith('l'),
    metre: metreName(song.metre),
    tempo: song.tempoBpm,
    phrases,
  };
}

/** The bar pattern is the only sign of the metre, so there must be a whole bar. */
function showsItsMetre(song: Song): boolean {
  const last = song.phrases.at(-1)?.notes.at(-1);
  return (last?.onset ?? 0) + (last?.duration ?? 0) >= song.upbeatTicks + ticksPerBar(song.metre);
}

describe('tonic sol-fa letters that are written and read back', () => {
  test.each(SONGS)('say the same as the song: %s', (_, song) => {
    expect(sayable(read(writeTonicSolfa(song)))).toEqual(sayable(song));
  });

  test('say the same as the song, whatever the song, in Unicode and in ASCII', () => {
    fc.assert(
      fc.property(randomSong.filter(showsItsMetre), fc.boolean(), (song, unicode) => {
        const text = writeTonicSolfa(song, { unicode });
        expect(isTonicSolfa(text)).toBe(true);
        const back = read(text);
        expect(sayable(back)).toEqual(sayable(song));
        expect(writeTonicSolfa(read(writeTonicSolfa(back, { unicode })), { unicode })).toBe(
          writeTonicSolfa(back, { unicode }),
        );
      }),
      { numRuns: 2000 },
    );
  });
});

describe('tonic sol-fa as printed', () => {
  // K. Gehrkens, "Music Notation and Terminology" (1914), appendix note on tonic sol-fa: the opening of a well-known
  // tune in three-pulse measure; each bar sums to 3
  test("Gehrkens' example in three-pulse measure", () => {
    const song = read('Example\nKey F.\n\n|d :d :r |t_1 :-.d :r |m :m :f |m :-.r :d ||\n');
    expect(metreName(song.metre)).toBe('3/4');
    expect(lengths(song, 480)).toBe('d1 d1 r1 t,1.5 d0.5 r1 m1 m1 f1 m1.5 r0.5 d1');
    expect(song.phrases[0]?.notes.map((note) => note.pitch).slice(0, 4)).toEqual(['F4', 'F4', 'G4', 'E4']);
  });

  // The forms of a divided pulse: Grove's Dictionary (1889), article "Tonic Sol-fa"; Stevens (2017)
  test.each([
    ['|s :m |s :m |s.s :l.l |s :m ||', '2/4', 's1 m1 s1 m1 s0.5 s0.5 l0.5 l0.5 s1 m1'],
    ['|s :- :m !s :- :m |s :s :s !m :- :- ||', '6/8', 's2 m1 s2 m1 s1 s1 s1 m3'],
    [
      '|s,s.s,s :m |s.,s :m |s.l,l :s |m : ||',
      '2/4',
      's0.25 s0.25 s0.25 s0.25 m1 s0.75 s0.25 m1 s0.5 l0.25 l0.25 s1 m1 z1',
    ],
    ['|s.s :m.m |s :- |s :m.r |d :- ||', '2/4', 's0.5 s0.5 m0.5 m0.5 s2 s1 m0.5 r0.5 d2'],
    ['|d,.r :d,r.m |d :-.r ||', '2/4', 'd0.25 r0.75 d0.25 r0.25 m0.5 d1.5 r0.5'],
    ['|d :r !m :f |s :- !- : ||', '4/4', 'd1 r1 m1 f1 s3 z1'],
    [':d |s.s :l.l |s ||', '2/4', 'd1 s0.5 s0.5 l0.5 l0.5 s1'],
  ])('%s is in %s and lasts %s', (music, metre, wanted) => {
    const song = read(`Title\nKey D.\n\n${music}\n`);
    expect(metreName(song.metre)).toBe(metre);
    expect(lengths(song, metre === '6/8' ? 240 : 480)).toBe(wanted);
  });

  test('the key line gives do, in the octave where children sing, and lah for minor', () => {
    const doOf = (line: string): string => read(`T\n${line}\n\n|d :m ||`).do;
    expect(['Key F.', 'Key E flat.', 'Key B♭', 'Key G_1', 'Doh is A', 'Key F sharp. M. 90.'].map(doOf)).toEqual([
      'F4', 'Eb4', 'Bb3', 'G3', 'A3', 'F#4',
    ]); // prettier-ignore
    expect(read('T\nKey F.  Lah is D.\n\n|l_1 :d ||').home).toBe('l,');
    expect(writeTonicSolfa(read('T\nKey F.  Lah is D.  M. 90.\n\n|l_1 :d ||'))).toContain(
      'Key F.  Lah is D.  M. 90.',
    );
  });
});

const FAULTS: readonly (readonly [what: string, music: string, code: ProblemCode, says: RegExp, column: number])[] = [
  ['no such letter', '|s :x ||', 'tone-name', /"x" is not a tone/, 5],
  ['a sharpened tone', '|s :fe ||', 'tone-name', /"fe" is not a tone/, 5],
  ['two letters in a pulse', '|s m :m ||', 'rhythm-name', /"m" follows another letter with no mark/, 4],
  ['two dots in a pulse', '|s.m.s :m ||', 'rhythm-name', /"\." has no place here/, 6],
  ['a strange sign', '|s :m& ||', 'tone-name', /"&" is no sign/, 6],
  ['bars of different size', '|s :m |s :m :m |s :m ||', 'bar-length', /Bar 2 has 3 pulses where the first has 2/, 7],
  ['bars of five', '|s :m :s :m :s ||', 'bar-length', /Bar 1 has 5 pulses/, 1],
  ['a hold from nowhere', '|- :m ||', 'broken-tie', /none sounds before it/, 2],
  ['a slur of one letter', '|(s) :m ||', 'broken-slur', /joins it to no other/, 3],
  ['a last bar that is not full', '|s :m |s ||', 'bar-length', /The last bar is not full/, 8],
  ['a last note that runs into the upbeat', ':s |s :m |s :- ||', 'upbeat-length', /sounds on where the upbeat/, 11],
  ['words too many', '|s :m ||\n one two three', 'syllables-count', /3 syllables for 2 notes/, 10],
  ['words too few', '|s :m ||\n one', 'syllables-count', /1 syllables for 2 notes/, 5],
  ['a word without end', '|s :m ||\n one two-', 'broken-word', /The word of "two-" goes on/, 6],
  ['thirty-seconds', '|s,s :m :m !m :m :m ||', 'note-value', /shorter than a sixteenth/, 2],
]; // prettier-ignore

describe('tonic sol-fa letters with a fault', () => {
  test.each(FAULTS)('%s: is named, with its column', (_, music, code, says, column) => {
    const head = 'T\nKey D.\n\n';
    const outcome = readTonicSolfa(head + music);
    expect(outcome.ok).toBe(false);
    const [problem] = outcome.problems;
    expect(problem?.message).toMatch(says);
    expect(problem?.code).toBe(code);
    const start = (problem?.span?.start ?? 0) - head.length;
    expect(start - (music.lastIndexOf('\n', start - 1) + 1) + 1).toBe(column);
  });

  test('no key at all', () => {
    expect(readTonicSolfa('|s :m ||').problems).toMatchObject([{ code: 'unknown-key' }]);
    expect(isTonicSolfa('Key lime pie: a rhyme\nfor two')).toBe(false);
  });
});
