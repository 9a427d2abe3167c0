/**
 * The steps of a lesson, one function each: what is called, answered, sung together or left to the children. Each
 * works on a timeline that begins on a bar line and leaves it anywhere; make-lesson.ts closes the bar.
 */
import type { LessonEvent } from '../lesson.ts';
import { toneSemitones, type Tone } from '../pitch.ts';
import type { Song } from '../song.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';
import { callsOf, excerptOf, type Excerpt } from './excerpt.ts';
import { motifsOf } from './motifs.ts';
import type { PlanStep } from './plan.ts';
import { questionsAbout } from './questions.ts';
import { homeChord, keyNumber, sortedTones, sungName, toneRow } from './solfa.ts';
import { chanted, played, sung, voiced } from './sounding.ts';
import type { Timeline } from './timeline.ts';

/** What a step is built from. */
export interface StepGround {
  readonly song: Song;
  readonly timeline: Timeline;
  readonly step: PlanStep;
  /** Which doing of the step this is, from 0. */
  readonly round: number;
  /** Events of the added parts, in ticks of the song. */
  readonly parts: readonly LessonEvent[];
}

/** Bars that a count-in takes: one, or two where one has only two beats (common practice). */
export function countInBars(song: Song): number {
  return beatsPerBar(song.metre) < 3 ? 2 : 1;
}

/** Count in so that the first note comes where it stands in its bar, an upbeat inside the last counted bar. */
export function countIn({ song, timeline }: StepGround, intoBar: Ticks): void {
  const bar = ticksPerBar(song.metre);
  const length = intoBar === 0 ? countInBars(song) * bar : (countInBars(song) - 1) * bar + intoBar;
  timeline.add({ kind: 'count-in', length, cue: '' });
}

/** The chord of home, tone by tone, then the first note, held. */
export function tuning(
  { song, timeline }: StepGround,
  first: { readonly tone: Tone; readonly pitch: number },
): void {
  const bar = ticksPerBar(song.metre);
  const beat = song.metre.ticksPerBeat;
  const chord = homeChord(song.home);
  const chordLength = Math.ceil(((chord.length + 1) * beat) / bar) * bar;
  const hold = countInBars(song) === 2 ? bar : Math.max(beat * 2, bar - beat);
  const figure = chord.map((tone, i) => played(keyNumber(song, tone), i * beat, beat));
  const note = played(first.pitch, chordLength, hold);
  const cue = `${toneRow(chord)}, then the first tone ${first.tone}`;
  timeline.add({ kind: 'tuning', length: chordLength + bar, cue, events: [...figure, note] });
}

/** The whole song with the rests that end it; one run for each stretch of stanzas where only some are practised. */
export function wholeRuns(song: Song): readonly Excerpt[] {
  const runs: (typeof song.phrases)[number][][] = [];
  for (const phrase of song.phrases) {
    const run = runs.at(-1);
    const before = run?.at(-1)?.notes.at(-1);
    const follows = before !== undefined && before.onset + before.duration === phrase.notes[0]?.onset;
    if (run !== undefined && follows) run.push(phrase);
    else runs.push([phrase]);
  }
  const bar = ticksPerBar(song.metre);
  return runs.map((run) => {
    const whole = excerptOf(song, run);
    const last = run.at(-1)?.notes.at(-1);
    const end = (last?.onset ?? 0) + (last?.duration ?? 0);
    return { ...whole, length: Math.ceil((end - startOf(song, whole)) / bar) * bar };
  });
}

export function listenStep(ground: StepGround): void {
  const { song, timeline, step, round } = ground;
  const questions = questionsAbout(song);
  wholeRuns(song).forEach((whole, i) => {
    timeline.goTo(whole.intoBar);
    const ask = i === 0 ? (questions[round % questions.length] ?? null) : null;
    timeline.add({
      kind: 'listen',
      length: whole.length,
      cue: 'the whole song',
      ask,
      events: sung(whole, step.on),
    });
  });
}

/** Call and echo: the gap is as long as the call and begins at the same place in the bar. */
export function echoStep(ground: StepGround, size: number, how: 'chant' | 'sing'): void {
  const { song, timeline, step } = ground;
  for (const call of callsOf(song, size)) {
    const events = how === 'chant' ? chanted(call) : sung(call, step.on);
    const cue =
      how === 'sing' && step.on === 'solfa' ? toneRow(call.notes.map((note) => note.tone)) : call.words;
    echo(timeline, call, cue, events);
  }
}

function echo(timeline: Timeline, call: Excerpt, cue: string, events: readonly LessonEvent[]): void {
  timeline.goTo(call.intoBar);
  timeline.add({ kind: 'listen', length: call.length, cue, events });
  timeline.add({ kind: 'your-turn', length: call.length, cue });
}

/** Leader and children together, the added parts with them. */
export function togetherStep(ground: StepGround, how: 'chant' | 'sing'): void {
  const { song, timeline, step } = ground;
  for (const whole of wholeRuns(song)) {
    timeline.goTo(whole.intoBar);
    const events =
      how === 'chant' ? chanted(whole) : [...sung(whole, step.on), ...partsDuring(ground, whole)];
    timeline.add({ kind: 'together', length: whole.length, cue: 'the whole song', events });
  }
}

/** Only the beat goes on, and the added parts: the children sing or chant from memory. */
export function aloneStep(ground: StepGround, how: 'chant' | 'sing'): void {
  const { song, timeline } = ground;
  for (const whole of wholeRuns(song)) {
    timeline.goTo(whole.intoBar);
    const events = how === 'chant' ? [] : partsDuring(ground, whole);
    timeline.add({ kind: 'alone', length: whole.length, cue: 'the whole song, from memory', events });
  }
}

/** Together, but some lines only inside the head: those given, or every second one, the others the next time. */
export function innerStep(ground: StepGround): void {
  const { song, timeline, step, round } = ground;
  const silent = (line: number, place: number): boolean =>
    step.silent?.includes(line) ?? place % 2 !== round % 2;
  for (const whole of wholeRuns(song)) {
    timeline.goTo(whole.intoBar);
    const phrases = song.phrases.filter((phrase) => whole.lines.includes(phrase.line));
    const songStart = startOf(song, whole);
    const events = [...sung(whole, step.on), ...partsDuring(ground, whole)];
    const bounds = [0, ...phrases.slice(1).map((p) => (p.notes[0]?.onset ?? 0) - songStart), whole.length];
    phrases.forEach((phrase, i) => {
      const [from = 0, to = 0] = bounds.slice(i, i + 2);
      const inside = silent(phrase.line, song.phrases.indexOf(phrase));
      const here = events
        .filter((event) => event.onset >= from && event.onset < to && !inside)
        .map((event) => ({ ...event, onset: event.onset - from }));
      timeline.add({
        kind: inside ? 'inside' : 'together',
        length: to - from,
        cue: phrase.text,
        events: here,
      });
    });
  }
}

/** The motifs of the new tone, echoed: on so-mi first on `high` and `low`, then on solfa as everywhere. */
export function tonesStep({ song, timeline }: StepGround): void {
  for (const motif of motifsOf(song)) {
    const tones = sortedTones(motif.notes.map((note) => note.tone));
    if (song.newTone === null && tones.length === 2) {
      const word = (tone: Tone): string => (tone === tones[1] ? 'high' : 'low');
      const events = sung(motif, 'solfa').map((event, i) => ({
        ...event,
        text: word(motif.notes[i]?.tone ?? 'd'),
      }));
      echo(timeline, motif, events.map((event) => event.text).join(' '), events);
    }
    echo(timeline, motif, toneRow(motif.notes.map((note) => note.tone)), sung(motif, 'solfa'));
  }
}

/**
 * The tones of the rung between the lowest and the highest that the song sings, up and down in notes of two beats,
 * the top one held four, then a breath of two; heard first, then sung together.
 */
export function scaleStep({ song, timeline }: StepGround): void {
  const two = 2 * song.metre.ticksPerBeat;
  const up = scaleTones(song);
  const down = up.slice(0, -1).reverse();
  const bar = ticksPerBar(song.metre);
  let at = 0;
  const lay = (tone: Tone, duration: Ticks): LessonEvent => {
    const event = voiced(tone, keyNumber(song, tone), { onset: at, duration }, sungName(tone));
    at += duration;
    return event;
  };
  const climb = up.map((tone, i) => lay(tone, i === up.length - 1 ? 2 * two : two));
  at += two;
  const fall = down.map((tone) => lay(tone, two));
  const length = Math.ceil(at / bar) * bar;
  const cue = `${toneRow(up)} (held, breathe) ${toneRow(down)}`;
  timeline.goTo(0);
  timeline.add({ kind: 'listen', length, cue, events: [...climb, ...fall] });
  timeline.add({ kind: 'together', length, cue, events: [...climb, ...fall] });
}

/** From low to high; at least one. */
export function scaleTones(song: Song): readonly Tone[] {
  const heights = song.phrases.flatMap((p) =>
    p.notes.flatMap((n) => (n.tone === null ? [] : [toneSemitones(n.tone)])),
  );
  const rung = song.tones.split(' ') as Tone[];
  return sortedTones(
    rung.filter((t) => toneSemitones(t) >= Math.min(...heights) && toneSemitones(t) <= Math.max(...heights)),
  );
}

/** Where in the song an excerpt of whole lines begins. */
function startOf(song: Song, whole: Excerpt): Ticks {
  const phrase = song.phrases.find((each) => each.line === whole.lines[0]);
  return phrase?.notes.find((note) => note.tone !== null)?.onset ?? 0;
}

/** The events of the added parts while an excerpt sounds, counted from its start. */
function partsDuring({ song, parts }: StepGround, whole: Excerpt): readonly LessonEvent[] {
  const start = startOf(song, whole);
  const end = start + whole.length;
  return parts
    .filter((event) => event.onset >= start && event.onset < end)
    .map((event) => ({
      ...event,
      onset: event.onset - start,
      duration: Math.min(event.duration, end - event.onset),
    }));
}
