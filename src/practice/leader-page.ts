/**
 * Lesson -> the leader's page as plain text: every step with who sings, where and how long, as the sound has it.
 */
import {
  clockOf,
  lessonLength,
  type Lesson,
  type LessonSpan,
  type LessonStep,
  type SpanKind,
} from '../lesson.ts';
import { metreName, ticksPerBar, type Metre, type Ticks } from '../time.ts';
import { VOICE_CARE } from './voice-care.data.ts';

/** What the leader's page calls each kind of span. */
const NAMES: Readonly<Record<SpanKind, string>> = {
  tuning: 'tuning',
  'count-in': 'count-in',
  listen: 'LISTEN',
  'your-turn': 'YOUR TURN',
  together: 'TOGETHER',
  alone: 'ALONE',
  inside: 'INSIDE',
  wait: 'wait',
  pause: 'pause',
};

export interface LeaderPageOptions {
  /** True when each step is a recording of its own: bars and times then count from the start of the step. */
  readonly byStep: boolean;
}

/**
 * The page, ending in a newline. Bars count from 1 and beats in the bar from 1, with fractions (`4:2+1/2`);
 * times are minutes, seconds and tenths, cut, not rounded; lengths are bars and beats.
 *
 * @example
 * //       bar     time   length
 * //         4   0:03.2   2 bars               count-in   1 2 1 2
 * //         6   0:05.3   4 bars               LISTEN     Tik, tok, tin
 */
export function writeLeaderPage(lesson: Lesson, options: LeaderPageOptions = { byStep: false }): string {
  const clock = clockOf(lesson);
  const blocks = lesson.steps.map((step) => stepBlock(lesson, step, clock, options));
  const legend = [
    'LISTEN: the recording sings, the children listen.  YOUR TURN: they answer, only the beat sounds.',
    'TOGETHER: all sing with the recording.  ALONE: only the beat sounds, they sing from memory.',
    'INSIDE: only the beat sounds, all sing it inside the head.',
  ];
  return [
    ...heading(lesson, clock),
    '',
    ...legend,
    '',
    ...blocks.flatMap((block) => [...block, '']),
    ...VOICE_CARE,
    '',
  ].join('\n');
}

function heading(lesson: Lesson, clock: (tick: Ticks) => number): readonly string[] {
  const bars = lessonLength(lesson) / ticksPerBar(lesson.metre);
  const steps = counted(lesson.steps.length, 'step');
  const tempos = [...new Set(lesson.steps.map((step) => step.tempoBpm))].map(String).join(', ');
  return [
    lesson.title,
    `Practice plan "${lesson.plan}" on ${lesson.rung}: ${steps}, ${counted(bars, 'bar')}, ${timeText(clock(lessonLength(lesson)))} in all.`,
    `do = ${lesson.do}, ${metreName(lesson.metre)}, ${tempos} beats a minute.`,
  ];
}

function stepBlock(
  lesson: Lesson,
  step: LessonStep,
  clock: (tick: Ticks) => number,
  { byStep }: LeaderPageOptions,
): readonly string[] {
  const origin = byStep ? step.start : 0;
  const { metre } = lesson;
  const rows = step.spans.flatMap((span) => {
    const at = placeText(metre, span.start - origin).padStart(10);
    const time = timeText(clock(span.start) - clock(origin)).padStart(8);
    const row = `${at} ${time}   ${lengthText(metre, span.length).padEnd(20)} ${NAMES[span.kind].padEnd(10)} ${cueText(metre, span)}`;
    const ask = span.ask === null ? [] : [`${' '.repeat(40)} ask: ${span.ask.ask} (${span.ask.answer})`];
    return [...ask, row.trimEnd()];
  });
  const tempo = `${String(step.tempoBpm)} beats a minute`;
  const long = timeText(clock(step.start + step.length) - clock(step.start));
  return [
    `${String(step.number)}. ${step.title} (${tempo}, ${long})`,
    '       bar     time   length',
    ...rows,
  ];
}

function cueText(metre: Metre, span: LessonSpan): string {
  if (span.kind !== 'count-in') return span.cue;
  const beats = span.length / metre.ticksPerBeat;
  return Array.from({ length: Math.ceil(beats) }, (_, i) =>
    String((i % (ticksPerBar(metre) / metre.ticksPerBeat)) + 1),
  ).join(' ');
}

/** `4` on a bar line, else bar and beat: `4:2`, `4:2+1/2`. */
export function placeText(metre: Metre, tick: Ticks): string {
  const bar = ticksPerBar(metre);
  const into = tick % bar;
  const number = String(Math.floor(tick / bar) + 1);
  if (into === 0) return number;
  const beat = Math.floor(into / metre.ticksPerBeat) + 1;
  const rest = fraction(into % metre.ticksPerBeat, metre.ticksPerBeat);
  return `${number}:${String(beat)}${rest === '' ? '' : `+${rest}`}`;
}

/** `2 bars`, `1 bar 1+1/2 beats`, `1/2 beat`. */
export function lengthText(metre: Metre, ticks: Ticks): string {
  const bar = ticksPerBar(metre);
  const bars = Math.floor(ticks / bar);
  const beats = Math.floor((ticks % bar) / metre.ticksPerBeat);
  const rest = fraction(ticks % metre.ticksPerBeat, metre.ticksPerBeat);
  const parts: string[] = [];
  if (bars > 0) parts.push(counted(bars, 'bar'));
  if (beats > 0)
    parts.push(
      `${String(beats)}${rest === '' ? '' : `+${rest}`} ${beats === 1 && rest === '' ? 'beat' : 'beats'}`,
    );
  else if (rest !== '') parts.push(`${rest} beat`);
  return parts.join(' ');
}

/** A part of a beat in lowest terms, or nothing. */
function fraction(part: Ticks, whole: Ticks): string {
  if (part === 0) return '';
  const divisor = greatestDivisor(part, whole);
  return `${String(part / divisor)}/${String(whole / divisor)}`;
}

function greatestDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestDivisor(b, a % b);
}

/** `3:07.4`: minutes, seconds, tenths, cut. A hair is added so that 2.3999999 does not show as 2.3. */
export function timeText(seconds: number): string {
  const tenths = Math.floor(seconds * 10 + 1e-6);
  const whole = Math.floor(tenths / 10);
  return `${String(Math.floor(whole / 60))}:${String(whole % 60).padStart(2, '0')}.${String(tenths % 10)}`;
}

function counted(count: number, noun: string): string {
  return `${String(count)} ${noun}${count === 1 ? '' : 's'}`;
}
