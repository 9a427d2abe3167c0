/**
 * Song + plan -> Lesson: the steps of the plan laid one after another on one timeline. Pure; knows no format.
 */
import type { Lesson, LessonEvent, LessonStep, Track } from '../lesson.ts';
import type { Part, PartNote } from '../parts.ts';
import { midiNumber, readPitch } from '../pitch.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import type { Song } from '../song.ts';
import { ticksPerBar, type Ticks } from '../time.ts';
import { callsOf, type Excerpt } from './excerpt.ts';
import { motifsOf } from './motifs.ts';
import type { Plan, PlanStep, StepName } from './plan.ts';
import {
  aloneStep,
  countIn,
  countInBars,
  echoStep,
  innerStep,
  listenStep,
  scaleStep,
  scaleTones,
  togetherStep,
  tonesStep,
  tuning,
  wholeRuns,
  type StepGround,
} from './steps.ts';
import { FIRST_PART, openTimeline } from './timeline.ts';
import { keyNumber } from './solfa.ts';

/**
 * The timeline of a practice recording.
 *
 * Every step is whole bars long and has its own tuning (not before a chant) and count-in, so that it can stand
 * alone. A gap for the children is as long as its call and begins at the same place in the bar. Parts sound where
 * the whole song is sung together, in the head or alone. Problems: `bad-plan` when the plan names stanzas or lines
 * that the song has not; `new-tone-missing` (note) when the step `tones` finds no motif and is left out.
 */
export function makeLesson(whole: Song, plan: Plan, parts: readonly Part[] = []): Outcome<Lesson> {
  const wrong = missingNumbers(whole, plan);
  if (wrong !== null) return failed(wrong);
  const song = plan.stanzas === null ? whole : onlyStanzas(whole, plan.stanzas);
  const problems: Problem[] = [];
  const events = parts.flatMap((part, i) => partEvents(part, FIRST_PART + i));
  const steps: LessonStep[] = [];
  let start = 0;
  for (const step of plan.steps) {
    if (step.step === 'tones' && motifsOf(song).length === 0) {
      problems.push(noMotif(song));
      continue;
    }
    const built = buildStep(song, step, events, {
      number: steps.length + 1,
      start,
      tempoBpm: step.tempoBpm ?? plan.tempoBpm ?? song.tempoBpm,
    });
    steps.push(built);
    start += built.length;
  }
  if (steps.length === 0)
    return { ok: false, problems: problems.map((each) => ({ ...each, severity: 'error' })) };
  const { title, rung, home, metre } = song;
  return made(
    { title, plan: plan.name, rung, do: song.do, home, metre, tracks: tracksOf(parts), steps },
    problems,
  );
}

function tracksOf(parts: readonly Part[]): readonly Track[] {
  return [
    { name: 'leader', role: 'leader', instrument: 'voice' },
    { name: 'words', role: 'chant', instrument: 'drum' },
    { name: 'tuning', role: 'tuning', instrument: 'mallet' },
    { name: 'beat', role: 'beat', instrument: 'click' },
    ...parts.map(({ name, instrument }): Track => ({ name, role: 'part', instrument })),
  ];
}

/** What each step does once it is tuned and counted in. */
const BUILDERS: Readonly<Record<StepName, (ground: StepGround) => void>> = {
  listen: listenStep,
  'chant-by-phrase': (ground) => echoStep(ground, 1, 'chant'),
  'chant-by-two': (ground) => echoStep(ground, 2, 'chant'),
  'chant-together': (ground) => togetherStep(ground, 'chant'),
  'chant-alone': (ground) => aloneStep(ground, 'chant'),
  tones: tonesStep,
  scale: scaleStep,
  'sing-by-phrase': (ground) => echoStep(ground, 1, 'sing'),
  'sing-by-two': (ground) => echoStep(ground, 2, 'sing'),
  'sing-together': (ground) => togetherStep(ground, 'sing'),
  'sing-alone': (ground) => aloneStep(ground, 'sing'),
  inner: innerStep,
};

const TITLES: Readonly<Record<StepName, string>> = {
  listen: 'Listen to the whole song',
  'chant-by-phrase': 'Chant the words, phrase by phrase',
  'chant-by-two': 'Chant the words, two phrases at a time',
  'chant-together': 'Chant the whole song together',
  'chant-alone': 'Chant the whole song from memory, to the beat',
  tones: 'Echo the tones',
  scale: 'Sing the tones up and down',
  'sing-by-phrase': 'Sing it, phrase by phrase',
  'sing-by-two': 'Sing it, two phrases at a time',
  'sing-together': 'Sing the whole song together',
  'sing-alone': 'Sing the whole song from memory, to the beat',
  inner: 'Sing some lines inside your head',
};

function buildStep(
  song: Song,
  step: PlanStep,
  parts: readonly LessonEvent[],
  place: { readonly number: number; readonly start: Ticks; readonly tempoBpm: number },
): LessonStep {
  const bar = ticksPerBar(song.metre);
  const timeline = openTimeline(song.metre);
  const first = firstOf(song, step.step);
  for (let round = 0; round < step.times; round++) {
    const ground: StepGround = { song, timeline, step, round, parts };
    if (!step.step.startsWith('chant')) tuning(ground, first);
    countIn(ground, first.intoBar);
    BUILDERS[step.step](ground);
    const toBarLine = (bar - (timeline.now() % bar)) % bar;
    timeline.add({ kind: 'pause', length: toBarLine + countInBars(song) * bar, cue: '' });
  }
  const spans = timeline.spans().map((span) => ({
    ...span,
    start: span.start + place.start,
    events: span.events.map((event) => ({ ...event, onset: event.onset + place.start })),
  }));
  const often = step.times === 1 ? '' : `, ${String(step.times)} times`;
  const on = step.on === 'solfa' && !step.step.startsWith('chant') ? ', on solfa' : '';
  return {
    number: place.number,
    name: step.step,
    title: `${TITLES[step.step]}${on}${often}`,
    tempoBpm: place.tempoBpm,
    start: place.start,
    length: timeline.now(),
    spans,
  };
}

/** What the step begins with: the tone to tune to, and its place in the bar. */
function firstOf(
  song: Song,
  step: StepName,
): Pick<Excerpt['notes'][number], 'tone' | 'pitch'> & { readonly intoBar: Ticks } {
  if (step === 'scale') {
    const tone = scaleTones(song)[0] ?? song.home;
    return { tone, pitch: keyNumber(song, tone), intoBar: 0 };
  }
  const excerpt = step === 'tones' ? motifsOf(song)[0] : (wholeRuns(song)[0] ?? callsOf(song, 1)[0]);
  const note = excerpt?.notes[0];
  if (excerpt === undefined || note === undefined)
    throw new RangeError('A song has at least one phrase that sings.');
  return { tone: note.tone, pitch: note.pitch, intoBar: excerpt.intoBar };
}

/** A part as events in ticks of the song, ties joined, one event for each tone of a chord. */
export function partEvents(part: Part, track: number): readonly LessonEvent[] {
  const held: PartNote[] = [];
  for (const note of part.notes) {
    const before = held.at(-1);
    if (before !== undefined && (note.tie === 'stop' || note.tie === 'both')) {
      held[held.length - 1] = { ...before, duration: before.duration + note.duration, slur: note.slur };
    } else if (note.tones.length > 0) {
      held.push(note);
    }
  }
  return held.flatMap((note) =>
    note.pitches.map((name, i): LessonEvent => {
      const pitch = readPitch(name);
      if (pitch === null) throw new RangeError(`"${name}" is no pitch.`);
      const { syllable, onset, duration } = note;
      const goesOn = syllable?.division === 'begin' || syllable?.division === 'middle';
      const text = syllable === null ? null : goesOn ? `${syllable.text}-` : syllable.text;
      return {
        track,
        onset,
        duration,
        pitch: midiNumber(pitch),
        vowel: part.instrument === 'voice' ? 'u' : null,
        text: i === 0 ? text : null,
        joined: note.slur === 'start',
        strong: false,
      };
    }),
  );
}

function onlyStanzas(song: Song, stanzas: readonly number[]): Song {
  return { ...song, phrases: song.phrases.filter((phrase) => stanzas.includes(phrase.stanza)) };
}

/** A stanza or a silent line that the song has not. */
function missingNumbers(song: Song, plan: Plan): Problem | null {
  const stanzas = [...new Set(song.phrases.map((phrase) => phrase.stanza))];
  const noStanza = plan.stanzas?.find((number) => !stanzas.includes(number));
  if (noStanza !== undefined) return notThere('stanza', noStanza, stanzas.length);
  const lines = song.phrases.map((phrase) => phrase.line);
  const silent = plan.steps.flatMap((step) => step.silent ?? []);
  const noLine = silent.find((number) => !lines.includes(number));
  return noLine === undefined ? null : notThere('line', noLine, Math.max(...lines));
}

function notThere(what: 'stanza' | 'line', number: number, last: number): Problem {
  return {
    code: 'bad-plan',
    severity: 'error',
    message: `The plan names ${what} ${String(number)}, but the song has ${what}s 1 to ${String(last)}.`,
  };
}

function noMotif(song: Song): Problem {
  const what = song.newTone ?? song.tones.split(' ').join(' and ');
  return {
    code: 'new-tone-missing',
    severity: 'note',
    message: `What is practised does not sing ${what} beside another tone, so the step "tones" is left out.`,
  };
}
