import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lessonLength, lessonsByStep, type Lesson, type LessonSpan } from '../../src/lesson.ts';
import { midiNumber, readPitch } from '../../src/pitch.ts';
import { makeLesson } from '../../src/practice/make-lesson.ts';
import { PLAN_NAMES, planNamed, readPlan, STEP_NAMES, type Plan } from '../../src/practice/plan.ts';
import type { Song } from '../../src/song.ts';
import { ticksPerBar } from '../../src/time.ts';
import { FERRY, KETTLE, sketchSong, SONGS } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';

const LEADER = 'leader';

function lessonOf(song: Song, plan: Plan): Lesson {
  const lesson = makeLesson(song, plan);
  if (!lesson.ok) throw new Error(lesson.problems.map((p) => p.message).join());
  return lesson.value;
}

function planOf(...steps: readonly unknown[]): Plan {
  const plan = readPlan({ steps });
  if (!plan.ok) throw new Error(plan.problems.map((p) => p.message).join());
  return plan.value;
}

/** What a track plays in a span, as `[ticks from the span's start, duration, key]`. */
function heard(lesson: Lesson, span: LessonSpan, track: string): readonly (number | null)[][] {
  return span.events
    .filter((event) => lesson.tracks[event.track]?.name === track)
    .map((event) => [event.onset - span.start, event.duration, event.pitch]);
}

/** What a song sounds, ties joined, counted by hand from the record: `[onset, duration, key]`. */
function sounds(song: Song, lines: readonly number[]): number[][] {
  const found: number[][] = [];
  for (const note of song.phrases.filter((p) => lines.includes(p.line)).flatMap((p) => p.notes)) {
    const pitch = note.pitch === null ? null : readPitch(note.pitch);
    if (pitch === null) continue;
    const last = found.at(-1);
    if (last !== undefined && (note.tie === 'stop' || note.tie === 'both'))
      last[1] = (last[1] ?? 0) + note.duration;
    else found.push([note.onset, note.duration, midiNumber(pitch)]);
  }
  const start = found[0]?.[0] ?? 0;
  return found.map(([onset = 0, duration = 0, key = 0]) => [onset - start, duration, key]);
}

const anyPlan: fc.Arbitrary<Plan> = fc.oneof(
  fc.constantFrom(...PLAN_NAMES).map((name) => planNamed(name)),
  fc
    .array(
      fc.record({
        step: fc.constantFrom(...STEP_NAMES.filter((name) => name !== 'tones')),
        times: fc.integer({ min: 1, max: 2 }),
        on: fc.constantFrom('words' as const, 'solfa' as const),
        silent: fc.constant(null),
        tempoBpm: fc.option(fc.integer({ min: 40, max: 208 })),
      }),
      { minLength: 1, maxLength: 4 },
    )
    .map((steps) => ({ name: 'own', steps, tempoBpm: null, stanzas: null })),
);

describe('every lesson', () => {
  test('is whole bars without a gap, and everything sounds inside its span', () => {
    fc.assert(
      fc.property(randomSong, anyPlan, (song, plan) => {
        const lesson = lessonOf(song, plan);
        const bar = ticksPerBar(song.metre);
        let at = 0;
        for (const step of lesson.steps) {
          expect(step.start).toBe(at);
          expect(step.length % bar).toBe(0);
          for (const span of step.spans) {
            expect(span.start).toBe(at);
            expect(span.length).toBeGreaterThan(0);
            at += span.length;
            for (const event of span.events) {
              expect(event.onset).toBeGreaterThanOrEqual(span.start);
              expect(event.duration).toBeGreaterThan(0);
              expect(event.onset + event.duration).toBeLessThanOrEqual(at);
            }
          }
          expect(at).toBe(step.start + step.length);
        }
        expect(lessonLength(lesson)).toBe(at);
      }),
      { numRuns: 100 },
    );
  });

  test('gives the children as long as the call, from the same place in the bar, and only the beat sounds', () => {
    fc.assert(
      fc.property(randomSong, anyPlan, (song, plan) => {
        const lesson = lessonOf(song, plan);
        const bar = ticksPerBar(song.metre);
        const spans = lesson.steps.flatMap((step) => step.spans);
        spans.forEach((span, i) => {
          if (span.kind !== 'your-turn') return;
          const call = spans[i - 1];
          expect(call?.kind).toBe('listen');
          expect(span.length).toBe(call?.length);
          expect(span.start % bar).toBe((call?.start ?? 0) % bar);
          expect(new Set(span.events.map((event) => lesson.tracks[event.track]?.name))).toEqual(
            new Set(['beat']),
          );
        });
      }),
      { numRuns: 100 },
    );
  });

  test('keeps the beat on every felt beat but in a pause and while tuning, the bar’s first one strong', () => {
    fc.assert(
      fc.property(randomSong, anyPlan, (song, plan) => {
        const lesson = lessonOf(song, plan);
        for (const span of lesson.steps.flatMap((step) => step.spans)) {
          const beat = song.metre.ticksPerBeat;
          const clicks = span.events.filter((event) => lesson.tracks[event.track]?.name === 'beat');
          const expected: number[] = [];
          for (let at = span.start; at < span.start + span.length; at++)
            if (at % beat === 0) expected.push(at);
          if (span.kind === 'pause' || span.kind === 'tuning') expected.length = 0;
          expect(clicks.map((click) => click.onset)).toEqual(expected);
          expect(clicks.map((click) => click.strong)).toEqual(
            expected.map((at) => at % ticksPerBar(song.metre) === 0),
          );
        }
      }),
      { numRuns: 40 },
    );
  });

  test('begins each song where it stands in its bar', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        const lesson = lessonOf(song, planOf('listen'));
        const listen = lesson.steps[0]?.spans.find((span) => span.kind === 'listen');
        const first = song.phrases.flatMap((p) => p.notes).find((note) => note.tone !== null);
        const bar = ticksPerBar(song.metre);
        const place = ((((first?.onset ?? 0) - song.upbeatTicks) % bar) + bar) % bar;
        expect((listen?.start ?? -1) % bar).toBe(place);
      }),
      { numRuns: 100 },
    );
  });
});

describe('the steps', () => {
  test.each(SONGS)('of a lesson on %s sing every phrase as the song has it', (_, song) => {
    const lesson = lessonOf(song, planOf('sing-by-phrase', 'listen', 'sing-together'));
    const [byPhrase, listen, together] = lesson.steps;
    const calls = byPhrase?.spans.filter((span) => span.kind === 'listen') ?? [];
    expect(calls.map((call) => heard(lesson, call, LEADER))).toEqual(
      song.phrases.map((phrase) => sounds(song, [phrase.line])),
    );
    const all = song.phrases.map((phrase) => phrase.line);
    for (const step of [listen, together]) {
      const whole = step?.spans.find((span) => span.kind === 'listen' || span.kind === 'together');
      expect(whole === undefined ? [] : heard(lesson, whole, LEADER)).toEqual(sounds(song, all));
    }
  });

  test('echo by two never crosses a stanza', () => {
    const song = sketchSong({ metreName: '2/4' }, [
      { notes: 's480=One m480=two' },
      { notes: 's480=three m480=four' },
      { notes: 's480=five m480=six' },
      { notes: 's480=sev- m480=en', stanza: 2 },
    ]);
    const calls = lessonOf(song, planOf('sing-by-two')).steps[0]?.spans.filter((s) => s.kind === 'listen');
    expect(calls?.map((call) => call.cue)).toEqual(['One two / three four', 'five six', 'seven']);
  });

  test('chant one stroke a syllable, a slur being one', () => {
    const lesson = lessonOf(KETTLE, planOf('chant-by-phrase'));
    const third = lesson.steps[0]?.spans.filter((span) => span.kind === 'listen')[2];
    expect(third === undefined ? [] : heard(lesson, third, 'words')).toEqual([
      [0, 480, null],
      [480, 480, null],
      [960, 480, null],
      [1440, 480, null],
    ]);
  });

  test('from memory leave only the beat', () => {
    const lesson = lessonOf(FERRY, planOf('sing-alone', 'chant-alone'));
    for (const step of lesson.steps) {
      const alone = step.spans.find((span) => span.kind === 'alone');
      expect(alone?.events.every((event) => lesson.tracks[event.track]?.name === 'beat')).toBe(true);
      // two lines of two bars of 6/8
      expect(alone?.length).toBe(4 * 1440);
    }
  });

  test('inner hearing silences the lines that are named, or every second one and then the others', () => {
    const kinds = (plan: Plan): string[] =>
      lessonOf(KETTLE, plan).steps.flatMap((step) =>
        step.spans.filter((s) => ['together', 'inside'].includes(s.kind)).map((s) => s.kind),
      );
    expect(kinds(planOf({ step: 'inner', silent: [1, 4] }))).toEqual([
      'inside',
      'together',
      'together',
      'inside',
    ]);
    expect(kinds(planOf({ step: 'inner', times: 2 }))).toEqual([
      ...['together', 'inside', 'together', 'inside'],
      ...['inside', 'together', 'inside', 'together'],
    ]);
  });

  test('inner hearing goes on in time: the lines that sound stand where the whole song has them', () => {
    const lesson = lessonOf(FERRY, planOf({ step: 'inner', silent: [1] }));
    const spans = lesson.steps[0]?.spans ?? [];
    const inside = spans.find((span) => span.kind === 'inside');
    const together = spans.find((span) => span.kind === 'together');
    expect(inside?.length).toBe(2 * 1440);
    expect(together?.start).toBe((inside?.start ?? 0) + 2 * 1440);
    expect(together === undefined ? [] : heard(lesson, together, LEADER)).toEqual(sounds(FERRY, [2]));
  });

  test('on so-mi the two tones are echoed on high and low, then on solfa', () => {
    const song = sketchSong({ metreName: '2/4', newTone: null }, [
      { notes: 's240=Knock s240=knock m480=door', closed: true },
    ]);
    const spans = lessonOf(song, planOf('tones')).steps[0]?.spans ?? [];
    const cues = spans.filter((s) => s.kind === 'listen' || s.kind === 'your-turn').map((s) => s.cue);
    expect(cues).toEqual(['high high low', 'high high low', 's s m', 's s m']);
  });

  test('a new tone is echoed with how it is reached and left', () => {
    const spans = lessonOf(KETTLE, planOf('tones')).steps[0]?.spans ?? [];
    const cues = spans.filter((s) => s.kind === 'listen').map((s) => s.cue);
    expect(cues).toEqual(['s s l l s', 's l s', 's s l s']);
  });

  test('without the new tone the step is left out, and a note says so', () => {
    const song = { ...KETTLE, newTone: "d'" as const };
    const lesson = makeLesson(song, planOf('listen', 'tones'));
    expect(lesson.problems.map((p) => p.code)).toEqual(['new-tone-missing']);
    expect(lesson.ok && lesson.value.steps.map((step) => step.name)).toEqual(['listen']);
    expect(makeLesson(song, planOf('tones')).ok).toBe(false);
  });

  test('the scale goes up and down in half notes, the top held four beats, then a breath', () => {
    const lesson = lessonOf(KETTLE, planOf('scale'));
    const span = lesson.steps[0]?.spans.find((s) => s.kind === 'listen');
    // mi so la on D: F#4 A4 B4 are MIDI keys 66, 69, 71
    expect(span === undefined ? [] : heard(lesson, span, LEADER)).toEqual([
      [0, 960, 66],
      [960, 960, 69],
      [1920, 1920, 71],
      [4800, 960, 69],
      [5760, 960, 66],
    ]);
  });

  test.each([
    // the chord of home: do mi so in major, low la do mi in minor (common practice), then the first tone
    ['kettle', KETTLE, [62, 66, 69, 69]],
    ['ferry', FERRY, [62, 65, 69, 69]],
  ] as const)('tune %s by the chord of home and the first tone', (_, song, keys) => {
    const lesson = lessonOf(song, planOf('listen'));
    const tuning = lesson.steps[0]?.spans[0];
    expect(tuning?.kind).toBe('tuning');
    expect(tuning === undefined ? [] : heard(lesson, tuning, 'tuning').map((note) => note[2])).toEqual(keys);
  });

  test('have the tempo of the step, else of the plan, else of the song', () => {
    const plan = planOf('listen', { step: 'sing-together', tempo: 72 });
    expect(lessonOf(KETTLE, plan).steps.map((step) => step.tempoBpm)).toEqual([112, 72]);
    expect(lessonOf(KETTLE, { ...plan, tempoBpm: 90 }).steps.map((step) => step.tempoBpm)).toEqual([90, 72]);
  });

  test('can be of some stanzas only', () => {
    const song = sketchSong({ metreName: '2/4' }, [
      { notes: 's480=One m480=two' },
      { notes: 's480=three m480=four', stanza: 2 },
      { notes: 's480=five m480=six', stanza: 3 },
    ]);
    const plan = { ...planOf('listen', 'sing-by-two'), stanzas: [1, 3] };
    const spans = lessonOf(song, plan).steps.flatMap((step) => step.spans);
    const calls = spans.filter((span) => span.kind === 'listen');
    expect(calls.map((call) => [call.cue, call.length])).toEqual([
      ['the whole song', 960],
      ['the whole song', 960],
      ['One two', 960],
      ['five six', 960],
    ]);
  });

  test.each([
    ['stanza', { steps: ['listen'], stanzas: [2] }],
    ['line', { steps: [{ step: 'inner', silent: [9] }] }],
  ])('that name a %s which is not there are refused', (what, file) => {
    const plan = readPlan(file);
    const lesson = plan.ok ? makeLesson(KETTLE, plan.value) : plan;
    expect(lesson.ok).toBe(false);
    expect(lesson.problems[0]).toMatchObject({ code: 'bad-plan', severity: 'error' });
    expect(lesson.problems[0]?.message).toContain(what);
  });

  test('taken one by one are the same steps, each from its own beginning', () => {
    const lesson = lessonOf(KETTLE, planNamed('all'));
    const single = lessonsByStep(lesson);
    expect(single.map((each) => lessonLength(each))).toEqual(lesson.steps.map((step) => step.length));
    expect(single.every((each) => each.steps[0]?.spans[0]?.start === 0)).toBe(true);
    expect(single.map((each) => each.steps[0]?.number)).toEqual(lesson.steps.map((step) => step.number));
  });
});
