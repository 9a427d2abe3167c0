import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeSpoken } from '../../src/export/spoken.ts';
import { randomSong } from '../random-song.ts';
import { FERRY, KETTLE, SPARROW } from './songs.ts';

describe('a song as sentences', () => {
  test('tells the tones, the beat and every note', () => {
    expect(writeSpoken(KETTLE)).toBe(
      [
        'Kettle, kettle.',
        'Rung so-mi-la. Tones from low to high: mi, so, la. New is la. Home is do.',
        'Do is D 4. Two beats in a bar, each dividing in two, 112 beats a minute.',
        '',
        'Line 1, open: Kettle, kettle',
        'Bar 1. Ket, so, one beat. tle, mi, one beat.',
        'Bar 2. ket, so, one beat. tle, mi, one beat.',
        '',
        'Line 2, open: singing on the stove',
        'Bar 3. sing, so, half a beat. ing, so, half a beat. on, la, half a beat. the, la, half a beat.',
        'Bar 4. stove, so, one beat. Rest, one beat.',
        '',
        'Line 3, open: Kettle, hush now',
        'Bar 5. Ket, so, one beat. tle, mi, one beat.',
        'Bar 6. hush, so, half a beat. on the same syllable, la, half a beat. now, so, one beat.',
        '',
        'Line 4, closed: tea for two and cake.',
        'Bar 7. tea, so, half a beat. for, so, half a beat. two, la, half a beat. and, so, half a beat.',
        'Bar 8. cake, mi, two beats.',
        '',
      ].join('\n'),
    );
  });

  test('tells an upbeat, thirds of a beat, low tones, breaths and ties', () => {
    const text = writeSpoken(FERRY);
    expect(text).toContain('Home is low la.');
    expect(text).toContain('It begins with an upbeat of a third of a beat.');
    expect(text).toContain('Upbeat. The, mi, a third of a beat.\nBar 1. fer, la, two thirds of a beat.');
    expect(text).toContain('Bar 2. ver, mi, one and two thirds beats. Breathe.');
    expect(writeSpoken(SPARROW)).toContain('ho, la, two and a half beats, held over the bar line.');
  });

  test('has a length for every sound and every rest of any song, and no sign that must be seen', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const notes = song.phrases.flatMap((phrase) => phrase.notes);
        const told = notes.filter((note) => note.tie !== 'stop' && note.tie !== 'both');
        const text = writeSpoken(song);
        const bars = text.split('\n').filter((line) => /^(Bar \d+|Upbeat)\. /.test(line));
        const lengths = bars.join(' ').match(/\bbeats?(?=[.,])/g) ?? [];
        expect(lengths).toHaveLength(told.length);
      }),
      { numRuns: 200 },
    );
  });
});
