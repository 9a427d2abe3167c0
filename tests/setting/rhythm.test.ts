import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Placement } from '../../src/placement.ts';
import type { Rhythm } from '../../src/rhythm.ts';
import { setRhythm, type RhythmOptions } from '../../src/setting/rhythm.ts';
import { METRES, ticksPerBar } from '../../src/time.ts';
import { placementOf, type LineSketch } from '../placement-of.ts';

const REST: RhythmOptions = { metre: null, emptyBeats: 'rest' };
const HELD: RhythmOptions = { metre: null, emptyBeats: 'held' };

/** `Rock:480 (240) the:240` : notes with their words, rests in brackets, ties with +, breath with a comma. */
function read(placement: Placement, options: RhythmOptions = REST): string[] {
  return rhythmOf(placement, options).phrases.map((phrase) =>
    phrase.notes
      .map((n) => {
        if (n.rest) return `(${String(n.duration)})`;
        return `${n.syllable?.text ?? '+'}:${String(n.duration)}${n.breath ? ',' : ''}`;
      })
      .join(' '),
  );
}

function rhythmOf(placement: Placement, options: RhythmOptions = REST): Rhythm {
  const outcome = setRhythm(placement, options);
  if (!outcome.ok) throw new Error(outcome.problems[0]?.message);
  return outcome.value;
}

const fourBeats: LineSketch = {
  beats: 4,
  syllables: [
    ['Goat', 0],
    ['goat', 480],
    ['on', 960],
    ['the', 1200],
    ['roof', 1440],
  ],
};
const threeBeats: LineSketch = {
  beats: 4,
  syllables: [
    ['Nib-', 0],
    ['ble', 240],
    ['all', 480],
    ['day', 960],
  ],
};
const withUpbeat: LineSketch = {
  beats: 4,
  syllables: [
    ['And', -240],
    ['home', 0],
    ['we', 480],
    ['go', 960],
  ],
};

describe('note values', () => {
  test('each syllable lasts until the next one', () => {
    expect(read(placementOf('simple', [fourBeats]))).toEqual(['Goat:480 goat:480 on:240 the:240 roof:480,']);
  });

  test('an empty beat at the end of a line is a rest until half notes are taught, then it is held', () => {
    expect(read(placementOf('simple', [threeBeats]))).toEqual(['Nib:240 ble:240 all:480 day:480 (480)']);
    expect(read(placementOf('simple', [threeBeats]), HELD)).toEqual(['Nib:240 ble:240 all:480 day:960,']);
  });

  test('what the teacher says of an empty beat goes before what has been taught', () => {
    const held = { ...threeBeats, empty: { 3: 'held' } } as const;
    const silent = { ...threeBeats, empty: { 3: 'silent' } } as const;
    expect(read(placementOf('simple', [held]), REST)).toEqual(['Nib:240 ble:240 all:480 day:960,']);
    expect(read(placementOf('simple', [silent]), HELD)).toEqual(['Nib:240 ble:240 all:480 day:480 (480)']);
  });

  test('inside a word an empty beat is always held', () => {
    const garden: LineSketch = {
      beats: 4,
      syllables: [
        ['gar-', 0],
        ['den', 960],
      ],
    };
    expect(read(placementOf('simple', [garden]))).toEqual(['gar:960 den:480 (480)']);
  });

  test('in compound time a long and a short syllable share the beat as quarter and eighth', () => {
    const line: LineSketch = {
      beats: 2,
      syllables: [
        ['Pop-', 0],
        ['py', 480],
        ['pod', 720],
      ],
    };
    expect(read(placementOf('compound', [line]))).toEqual(['Pop:480 py:240 pod:720,']);
  });
});

describe('upbeats', () => {
  test('the upbeat bar is short and the last bar completes it', () => {
    const rhythm = rhythmOf(placementOf('simple', [withUpbeat]));
    expect(rhythm.upbeatTicks).toBe(240);
    expect(read(placementOf('simple', [withUpbeat]))).toEqual(['And:240 home:480 we:480 go:480 (240)']);
  });

  test('an upbeat takes its time from the empty beat before it, and leaves room to breathe', () => {
    const lines = [threeBeats, withUpbeat];
    expect(read(placementOf('simple', lines))).toEqual([
      'Nib:240 ble:240 all:480 day:480 (240)',
      'And:240 home:480 we:480 go:480 (480)',
    ]);
  });

  test('before an upbeat on a full last beat the note is shortened and marked for breath', () => {
    expect(read(placementOf('simple', [fourBeats, withUpbeat]))[0]).toBe(
      'Goat:480 goat:480 on:240 the:240 roof:240,',
    );
  });

  test('when a syllable stands where the upbeat bar should be paid back, one more bar is added', () => {
    const line: LineSketch = {
      beats: 2,
      syllables: [
        ['Oh', -480],
        ['my', 0],
        ['goat', 480],
      ],
    };
    expect(read(placementOf('simple', [line]), REST)).toEqual(['Oh:480 my:480 goat:480 (480)']);
    expect(read(placementOf('simple', [line]), HELD)).toEqual(['Oh:480 my:480 goat:480 (480)']);
  });
});

describe('bars', () => {
  test('a sound across a bar line is tied', () => {
    const line: LineSketch = {
      beats: 4,
      syllables: [
        ['Ba-', 0],
        ['a-', 480],
        ['a', 1440],
      ],
    };
    const notes = rhythmOf(placementOf('simple', [line])).phrases[0]?.notes ?? [];
    expect(notes.map((n) => n.duration)).toEqual([480, 480, 480, 480]);
    expect(notes.map((n) => n.tie)).toEqual([null, 'start', 'stop', null]);
  });

  test('lines that count in threes are barred in threes', () => {
    const line: LineSketch = {
      beats: 3,
      syllables: [
        ['One', 0],
        ['two', 480],
        ['three', 960],
      ],
    };
    expect(rhythmOf(placementOf('simple', [line])).metre).toEqual(METRES['3/4']);
    expect(rhythmOf(placementOf('compound', [{ ...line, syllables: [['One', 0]] }])).metre).toEqual(
      METRES['9/8'],
    );
  });

  test('an odd line is filled up to the bar, and the teacher is told', () => {
    const odd: LineSketch = { beats: 3, syllables: fourBeats.syllables.slice(0, 3) };
    const outcome = setRhythm(placementOf('simple', [odd, fourBeats]), REST);
    expect(outcome.problems.map((p) => [p.code, p.line])).toEqual([['bar-completed', 1]]);
    expect(read(placementOf('simple', [odd, fourBeats]))[0]).toBe('Goat:480 goat:480 on:480 (480)');
  });

  test('a metre that divides the beat otherwise is refused', () => {
    const outcome = setRhythm(placementOf('simple', [fourBeats]), { ...REST, metre: METRES['6/8'] });
    expect(outcome.ok).toBe(false);
    expect(outcome.problems[0]?.code).toBe('beats-contradict');
  });
});

/** Lines of 2, 3, 4 or 8 beats whose syllables stand on a random choice of the grid's places, upbeats of up to two beats included. */
const sketches = (slot: number, perBeat: number): fc.Arbitrary<LineSketch[]> =>
  fc.array(
    fc
      .record({
        beats: fc.constantFrom(2, 3, 4, 8),
        places: fc.uniqueArray(fc.integer({ min: 0, max: 8 * perBeat - 1 }), { minLength: 1, maxLength: 14 }),
        upbeats: fc.integer({ min: 0, max: 2 }),
        silent: fc.constantFrom('free', 'held', 'silent'),
      })
      .map(({ beats, places, upbeats, silent }): LineSketch => {
        const last = beats * perBeat - 3;
        const inLine = [...new Set(places.map((p) => p % last))].sort((a, b) => a - b);
        const before = Array.from({ length: upbeats }, (_, i) => i - upbeats);
        return {
          beats,
          syllables: [...before, ...inLine].map((p, i) => [`la${String(i)}`, p * slot]),
          empty: { 1: silent, [beats - 1]: silent },
        };
      }),
    { minLength: 1, maxLength: 6 },
  );

describe('always', () => {
  const cases = fc.oneof(
    sketches(120, 4).map((lines) => placementOf('simple', lines)),
    sketches(240, 3).map((lines) => placementOf('compound', lines)),
  );

  test('notes and rests follow without gap, keep every syllable at its place, and no note crosses a bar line', () => {
    fc.assert(
      fc.property(cases, fc.constantFrom(REST, HELD), (placement, options) => {
        const rhythm = rhythmOf(placement, options);
        const bar = ticksPerBar(rhythm.metre);
        const notes = rhythm.phrases.flatMap((p) => p.notes);
        let at = 0;
        for (const note of notes) {
          expect(note.onset).toBe(at);
          const fromBarLine = (at - rhythm.upbeatTicks + bar) % bar;
          expect(fromBarLine + note.duration).toBeLessThanOrEqual(bar);
          at += note.duration;
        }
        expect(at % bar).toBe(0);
        const sung = notes.flatMap((n) => (n.syllable === null ? [] : [n.syllable.text]));
        expect(sung).toEqual(placement.lines.flatMap((l) => l.syllables.map((s) => s.syllable.text)));
        for (const phrase of rhythm.phrases) {
          const sounding = phrase.notes.filter((n) => !n.rest);
          const last = phrase.notes.at(-1);
          expect(last?.rest === true || last?.breath === true).toBe(true);
          expect(sounding.slice(0, -1).some((n) => n.breath)).toBe(false);
        }
      }),
    );
  });
});
