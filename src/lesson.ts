/**
 * The lesson: one timeline of a practice recording. The leader's page, the MIDI file and the sound are three
 * writings of it, so they cannot disagree. Nothing here knows how a lesson is planned or how it sounds.
 */
import type { Tone } from './pitch.ts';
import type { Metre, Ticks } from './time.ts';

/** What a track sounds like; each writer has its own way to say it. */
export type Instrument = 'voice' | 'mallet' | 'drum' | 'click';

/** What a track is for: the leader's singing, the chanted rhythm, the tuning figure, the beat, or one added part. */
export type TrackRole = 'leader' | 'chant' | 'tuning' | 'beat' | 'part';

export interface Track {
  /** As a sequencer shows it: `leader`, `beat`, `drone`. */
  readonly name: string;
  readonly role: TrackRole;
  readonly instrument: Instrument;
}

/** Vowels of the solfa names, and `u` for words: a tune is shown on loo (common practice). */
export type Vowel = 'a' | 'e' | 'i' | 'o' | 'u';

/** One thing that sounds. */
export interface LessonEvent {
  /** Index into the lesson's tracks. */
  readonly track: number;
  /** Ticks from the start of the lesson. */
  readonly onset: Ticks;
  /** More than 0; the sound has ended when it is over. */
  readonly duration: Ticks;
  /** MIDI key number (69 is A4), or null for what has no pitch: a click or a drum. */
  readonly pitch: number | null;
  /** The vowel it is sung on; null for what is not sung. */
  readonly vowel: Vowel | null;
  /** The syllable or solfa name sung here, hyphen kept when the word goes on (`Hick-`); null when it continues. */
  readonly text: string | null;
  /** True when the next event of the track follows without a new beginning, as under a slur. */
  readonly joined: boolean;
  /** True on the first beat of a bar and where a call begins; a little louder. */
  readonly strong: boolean;
}

/**
 * What happens in a span. `listen`: the leader sounds, children listen. `your-turn`: only the beat sounds, the
 * children answer. `together`: leader and children. `alone`: only the beat sounds, the children go on by
 * themselves. `inside`: only the beat sounds, everyone sings it in the head. `wait`: the beat goes on to the next
 * place in the bar. `pause`: nothing sounds.
 */
export type SpanKind =
  'tuning' | 'count-in' | 'listen' | 'your-turn' | 'together' | 'alone' | 'inside' | 'wait' | 'pause';

/** A stretch of a step in which one thing happens. Spans follow one another without gap or overlap. */
export interface LessonSpan {
  readonly kind: SpanKind;
  /** Ticks from the start of the lesson. */
  readonly start: Ticks;
  readonly length: Ticks;
  /** What it is, for the leader's page: the words of a phrase, the tones of a figure. */
  readonly cue: string;
  /** What the leader asks before it, or null. */
  readonly ask: Question | null;
  /** In order of onset, then of track; each begins and ends inside the span. */
  readonly events: readonly LessonEvent[];
}

/** A listening task with its answer. */
export interface Question {
  readonly ask: string;
  readonly answer: string;
}

/** One step of the plan, whole bars long, with its own tuning and count-in, so that it can stand alone. */
export interface LessonStep {
  /** Counts from 1. */
  readonly number: number;
  /** As in a plan file: `sing-by-phrase`. */
  readonly name: string;
  /** As on the leader's page: `Sing it, phrase by phrase`. */
  readonly title: string;
  /** Felt beats a minute. */
  readonly tempoBpm: number;
  /** Ticks from the start of the lesson; on a bar line. */
  readonly start: Ticks;
  /** Whole bars. */
  readonly length: Ticks;
  readonly spans: readonly LessonSpan[];
}

export interface Lesson {
  readonly title: string;
  /** Name of the plan, such as `learn`. */
  readonly plan: string;
  /** Name of the rung that the song is on. */
  readonly rung: string;
  /** Pitch of do: `D4`. */
  readonly do: string;
  readonly home: Tone;
  readonly metre: Metre;
  readonly tracks: readonly Track[];
  /** At least one. */
  readonly steps: readonly LessonStep[];
}

/** Ticks of the whole lesson. */
export function lessonLength(lesson: Lesson): Ticks {
  return lesson.steps.reduce((sum, step) => sum + step.length, 0);
}

/**
 * The clock of a lesson: seconds from its start for a tick from its start, 0 to its length inclusive.
 *
 * A beat lasts 60 / tempo seconds; each step may have its own tempo.
 */
export function clockOf(lesson: Lesson): (tick: Ticks) => number {
  const { ticksPerBeat } = lesson.metre;
  const seconds = (ticks: Ticks, tempoBpm: number): number => (ticks * 60) / (tempoBpm * ticksPerBeat);
  let passed = 0;
  const starts = lesson.steps.map((step) => {
    const at = passed;
    passed += seconds(step.length, step.tempoBpm);
    return { at, step };
  });
  return (tick) => {
    const { at, step } = starts.findLast(({ step }) => step.start <= tick) ?? fail();
    return at + seconds(tick - step.start, step.tempoBpm);
  };
}

function fail(): never {
  throw new RangeError('A lesson has at least one step, and ticks count from 0.');
}

/** One lesson for each step, each beginning at tick 0: for one recording per step. Step numbers stay. */
export function lessonsByStep(lesson: Lesson): readonly Lesson[] {
  return lesson.steps.map((step) => {
    const shift = (span: LessonSpan): LessonSpan => ({
      ...span,
      start: span.start - step.start,
      events: span.events.map((event) => ({ ...event, onset: event.onset - step.start })),
    });
    return { ...lesson, steps: [{ ...step, start: 0, spans: step.spans.map(shift) }] };
  });
}
