/**
 * The growing end of one step: spans are laid one after another on the beat grid, each filled with its beats. Only
 * while a step is being built; what it gives is plain data.
 */
import type { LessonEvent, LessonSpan, Question, SpanKind } from '../lesson.ts';
import { strengthAt, ticksPerBar, type Metre, type Ticks } from '../time.ts';

/** Indexes of the tracks that every lesson has; parts follow from `FIRST_PART` on. */
export const LEADER = 0;
export const CHANT = 1;
export const TUNING = 2;
export const BEAT = 3;
export const FIRST_PART = 4;

/** A click is done long before the next one; a sixteenth. */
const CLICK_TICKS = 120;

/** What sounds in a span, counted from the span's start. */
export type SpanEvents = readonly LessonEvent[];

export interface Timeline {
  /** Where the next span begins: ticks from the start of the step. */
  readonly now: () => Ticks;
  /** Lay a span; beats sound in it unless it is a pause or the tuning. */
  readonly add: (span: {
    readonly kind: SpanKind;
    readonly length: Ticks;
    readonly cue: string;
    readonly ask?: Question | null;
    readonly events?: SpanEvents;
  }) => void;
  /** Let the beat go on to the next moment that lies so far into its bar; nothing when we are there. */
  readonly goTo: (intoBar: Ticks) => void;
  readonly spans: () => readonly LessonSpan[];
}

/** A timeline whose first bar line is at its start. */
export function openTimeline(metre: Metre): Timeline {
  const bar = ticksPerBar(metre);
  const spans: LessonSpan[] = [];
  let now = 0;
  const add: Timeline['add'] = ({ kind, length, cue, ask = null, events = [] }) => {
    const beats = kind === 'pause' || kind === 'tuning' ? [] : beatsIn(metre, now, length);
    const shifted = events.map((event) => ({ ...event, onset: event.onset + now }));
    const all = [...shifted, ...beats].sort((a, b) => a.onset - b.onset || a.track - b.track);
    spans.push({ kind, start: now, length, cue, ask, events: all });
    now += length;
  };
  const goTo = (intoBar: Ticks): void => {
    const length = (((intoBar - now) % bar) + bar) % bar;
    if (length > 0) add({ kind: 'wait', length, cue: '' });
  };
  return { now: () => now, add, goTo, spans: () => spans };
}

/** A click on each felt beat from `start` on; the first of the bar a little louder. */
function beatsIn(metre: Metre, start: Ticks, length: Ticks): readonly LessonEvent[] {
  const { ticksPerBeat } = metre;
  const bar = ticksPerBar(metre);
  const clicks: LessonEvent[] = [];
  for (let at = Math.ceil(start / ticksPerBeat) * ticksPerBeat; at < start + length; at += ticksPerBeat) {
    clicks.push({
      track: BEAT,
      onset: at,
      duration: Math.min(CLICK_TICKS, start + length - at),
      pitch: null,
      vowel: null,
      text: null,
      joined: false,
      strong: strengthAt(metre, at % bar) === 3,
    });
  }
  return clicks;
}
