/**
 * What makes a draft a sound song, whatever file it came from: notes that join and fill their bars, ties and slurs in
 * pairs, words whole, pitches that are the tones. Problems name phrase, bar and beat.
 */
import { noteValue } from '../note-value.ts';
import { pitchName, pitchOf, readPitch, type Pitch } from '../pitch.ts';
import type { Problem, ProblemCode } from '../problem.ts';
import { metreName, ticksPerBar } from '../time.ts';
import type { DraftNote, DraftPhrase, SongDraft } from './draft.ts';

/** Every fault of a draft, in order of time; empty for a sound one. At most one a note. */
export function draftProblems(draft: SongDraft): readonly Problem[] {
  const doPitch = readPitch(draft.do);
  const bar = ticksPerBar(draft.metre);
  if (doPitch === null) return [plain('bad-value', `"${draft.do}" is no do; it is a pitch such as D4.`)];
  if (draft.upbeatTicks < 0 || draft.upbeatTicks >= bar) {
    return [
      plain('upbeat-length', `An upbeat of ${String(draft.upbeatTicks)} ticks is not shorter than a bar.`),
    ];
  }
  const problems: Problem[] = [];
  let at = 0;
  for (const phrase of draft.phrases) {
    phrase.notes.forEach((note, i) => {
      const fault = noteFault(draft, phrase, i, { at, doPitch });
      if (fault !== null) problems.push(placed(draft, phrase, note, fault));
      at = note.onset + note.duration;
    });
    const last = phrase.notes.findLast((note) => note.syllable !== null);
    const division = last?.syllable?.division;
    if (last !== undefined && (division === 'begin' || division === 'middle')) {
      const message = `the word of "${last.syllable?.text ?? ''}" goes on, but the line ends`;
      problems.push(placed(draft, phrase, last, ['broken-word', message]));
    }
  }
  if (problems.length === 0 && at % bar !== 0) {
    const message = `The notes fill ${String(at)} ticks, which is no whole number of bars of ${metreName(draft.metre)} (${String(bar)} ticks each; an upbeat and the last bar make one).`;
    problems.push(plain('bar-length', message));
  }
  if (at === 0) problems.push(plain('nothing-to-sing', 'This song has no notes.'));
  return problems;
}

type Fault = readonly [code: ProblemCode, message: string];

function noteFault(
  draft: SongDraft,
  phrase: DraftPhrase,
  i: number,
  is: { at: number; doPitch: Pitch },
): Fault | null {
  const note = phrase.notes[i];
  if (note === undefined) return null;
  const { onset, duration } = note;
  if (onset !== is.at) {
    return [
      'bar-length',
      `the note begins at tick ${String(onset)}, but the one before ends at ${String(is.at)}`,
    ];
  }
  if (noteValue(duration) === null)
    return ['note-value', `${String(duration)} ticks are no single note value`];
  const bar = ticksPerBar(draft.metre);
  const into = (onset - draft.upbeatTicks + bar) % bar;
  if (into + duration > bar) return ['bar-length', 'the note goes over the bar line; tie two notes'];
  return note.tone === null
    ? restFault(note)
    : (pitchFault(note, is.doPitch) ??
        tieFault(phrase.notes, i) ??
        slurFault(phrase.notes, i) ??
        wordFault(phrase, i));
}

function restFault(note: DraftNote): Fault | null {
  if (note.pitch !== null) return ['not-a-song', 'a rest has a pitch'];
  if (note.syllable !== null)
    return ['syllables-count', `the syllable "${note.syllable.text}" stands on a rest`];
  if (note.tie !== null || note.slur !== null) return ['broken-tie', 'a rest is tied or slurred'];
  return note.breath === null ? null : ['not-a-song', 'a rest has a breath of its own'];
}

function pitchFault(note: DraftNote, doPitch: Pitch): Fault | null {
  if (note.breath === null) return ['not-a-song', 'a note does not say whether a breath follows'];
  if (note.tone === '?' || note.tone === null) return null;
  const pitch = pitchName(pitchOf(note.tone, doPitch));
  if (note.pitch === pitch) return null;
  return [
    'not-a-song',
    `${note.tone} is ${pitch} when do is ${pitchName(doPitch)}, not ${note.pitch ?? 'nothing'}`,
  ];
}

function tieFault(notes: readonly DraftNote[], i: number): Fault | null {
  const [before, note, next] = [notes[i - 1], notes[i], notes[i + 1]];
  const on = note?.tie === 'stop' || note?.tie === 'both';
  const over = note?.tie === 'start' || note?.tie === 'both';
  const cameOver = before?.tie === 'start' || before?.tie === 'both';
  if (on !== cameOver)
    return ['broken-tie', on ? 'a tie ends that did not begin' : 'a tie does not end here'];
  if (on && before?.tone !== note.tone) return ['broken-tie', 'a tie joins two different tones'];
  if (on && note.syllable !== null)
    return ['syllables-count', `a tied note has the syllable "${note.syllable.text}"`];
  return over && (next === undefined || next.tone === null) ? ['broken-tie', 'a tie leads to no note'] : null;
}

function slurFault(notes: readonly DraftNote[], i: number): Fault | null {
  const note = notes[i];
  const opened = notes.slice(0, i).findLast((each) => each.slur !== null || each.tone === null);
  const inside = opened?.slur === 'start';
  if (note?.slur === 'start' && inside) return ['broken-slur', 'a slur begins inside another'];
  if (note?.slur === 'stop' && !inside) return ['broken-slur', 'a slur ends that did not begin'];
  const sung = note?.syllable ?? null;
  if (inside && sung !== null) return ['syllables-count', `"${sung.text}" stands inside a slur`];
  if (note?.slur !== 'start') return null;
  const closes = notes.slice(i + 1).find((each) => each.slur !== null || each.tone === null);
  return closes?.slur === 'stop' ? null : ['broken-slur', 'a slur begins that does not end'];
}

function wordFault(phrase: DraftPhrase, i: number): Fault | null {
  const syllable = phrase.notes[i]?.syllable ?? null;
  if (syllable === null) return null;
  const before = phrase.notes.slice(0, i).findLast((note) => note.syllable !== null)?.syllable;
  const inside = before?.division === 'begin' || before?.division === 'middle';
  const goesOn = syllable.division === 'middle' || syllable.division === 'end';
  if (inside === goesOn) return null;
  const what = inside ? `begins a word inside another` : `goes on with a word that has not begun`;
  return ['broken-word', `"${syllable.text}" ${what}`];
}

function placed(draft: SongDraft, phrase: DraftPhrase, note: DraftNote, [code, what]: Fault): Problem {
  const bar = ticksPerBar(draft.metre);
  const number = Math.floor((note.onset - draft.upbeatTicks) / bar) + 1;
  const into = (((note.onset - draft.upbeatTicks) % bar) + bar) % bar;
  const beat = Math.floor(into / draft.metre.ticksPerBeat) + 1;
  const where = number === 0 ? 'the upbeat' : `bar ${String(number)}, beat ${String(beat)}`;
  const message = `In line ${String(phrase.line)}, ${where}, ${what}.`;
  return { code, severity: 'error', message, line: phrase.line };
}

function plain(code: ProblemCode, message: string): Problem {
  return { code, severity: 'error', message };
}
