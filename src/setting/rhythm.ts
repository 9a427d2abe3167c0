/**
 * Placement -> Rhythm: note values, rests, bars, the upbeat bar, breaths. Which syllable falls where is settled
 * already; here each one only gets its length. Knows no pitches.
 */
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import type { EmptyBeat, PlacedLine, Placement } from '../placement.ts';
import type { Rhythm, RhythmNote, RhythmPhrase, SungSyllable } from '../rhythm.ts';
import { beatsPerBar, metreName, METRES, ticksPerBar, type Metre, type Ticks } from '../time.ts';
import type { EmptySound } from '../verse.ts';
import { splitRest, splitSound, type Piece } from './note-values.ts';

export interface RhythmOptions {
  /** The metre asked for, or null to take the usual one: 2/4 or 6/8, by threes where every line counts in threes. */
  readonly metre: Metre | null;
  /** What sounds on an empty beat that the teacher has not fixed: a rest until half notes are taught. */
  readonly emptyBeats: 'rest' | 'held';
}

/**
 * Give every placed syllable its note value and fill the rest of the time with rests.
 *
 * Bars add up exactly; the first bar is short by nothing but the upbeat, and the last bar completes it. Each
 * phrase ends in a rest or with `breath: true` on its last note. Sounds longer than a bar or with no single note
 * value are tied. Problems: `bar-completed` (note) where a line was filled up to whole bars; `beats-contradict`
 * (error) when the metre asked for divides the beat otherwise than the placement does.
 */
export function setRhythm(placement: Placement, options: RhythmOptions): Outcome<Rhythm> {
  const metre = options.metre ?? usualMetre(placement);
  if (metre.beatClass !== placement.beatClass) {
    return failed({
      code: 'beats-contradict',
      severity: 'error',
      message: `The words are placed in ${placement.beatClass} time, but ${metreName(metre)} is ${metre.beatClass}.`,
      hint: placement.beatClass === 'simple' ? 'Take 2/4, 3/4 or 4/4.' : 'Take 6/8, 9/8 or 12/8.',
    });
  }
  const problems: Problem[] = [];
  const starts = lineStarts(placement, metre, problems);
  const onsets = placement.lines.map((line, i) => line.syllables.map((s) => (starts[i] ?? 0) + s.at));
  const lead = Math.max(0, -(onsets[0]?.[0] ?? 0));
  const upbeatTicks = lead % ticksPerBar(metre);
  const lastOnset = onsets.at(-1)?.at(-1) ?? 0;
  const end = songEnd(starts.at(-1) ?? 0, lastOnset, upbeatTicks, metre);

  const phrases = placement.lines.map((line, i): RhythmPhrase => {
    const own = onsets[i] ?? [];
    const start = Math.min(starts[i] ?? 0, own[0] ?? 0);
    const nextStart = Math.min(starts[i + 1] ?? end, onsets[i + 1]?.[0] ?? end);
    const phraseEnd = i + 1 < placement.lines.length ? nextStart : end;
    const lineStart = starts[i] ?? 0;
    const bounds = {
      start,
      end: phraseEnd,
      soundEnd: lineStart + line.beats * metre.ticksPerBeat,
      lineStart,
    };
    const stretches = phraseStretches(line, own, bounds, {
      ticksPerBeat: metre.ticksPerBeat,
      emptyBeats: options.emptyBeats,
    });
    return {
      line: line.line.number,
      stanza: line.line.stanza,
      text: line.line.text,
      notes: stretches.flatMap((stretch) => printed(stretch, lead, metre)),
      rhyme: rhymeOf(line),
      wordKeys: line.line.words.map((word) => wordKey(word.text)).filter((key) => key !== ''),
    };
  });
  return made({ title: placement.title, metre, upbeatTicks, phrases }, problems);
}

/** 2/4 or 6/8, unless every line counts in threes and not all in twos: then 3/4 or 9/8. */
function usualMetre(placement: Placement): Metre {
  const beats = placement.lines.map((line) => line.beats);
  const threes = beats.every((n) => n % 3 === 0) && !beats.every((n) => n % 2 === 0);
  if (placement.beatClass === 'simple') return threes ? METRES['3/4'] : METRES['2/4'];
  return threes ? METRES['9/8'] : METRES['6/8'];
}

/**
 * Ticks of each line's first beat, counted from the first line's, with the end of the last line behind them.
 * Lines start on a bar line, or half-way through a bar of four; odd ones are filled up with empty beats.
 */
function lineStarts(placement: Placement, metre: Metre, problems: Problem[]): readonly Ticks[] {
  const perBar = beatsPerBar(metre);
  const unit = perBar === 4 ? 2 : perBar;
  const starts: Ticks[] = [0];
  let beat = 0;
  placement.lines.forEach((line, i) => {
    const next = placement.lines[i + 1];
    const wholeBar = next === undefined || next.line.stanza !== line.line.stanza;
    const to = roundUp(beat + line.beats, wholeBar ? perBar : unit);
    if (to !== beat + line.beats) problems.push(barCompleted(line, to - beat - line.beats, metre));
    beat = to;
    starts.push(beat * metre.ticksPerBeat);
  });
  return starts;
}

function barCompleted(line: PlacedLine, added: number, metre: Metre): Problem {
  const what = added === 1 ? 'an empty beat completes' : `${String(added)} empty beats complete`;
  return {
    code: 'bar-completed',
    severity: 'note',
    message: `Line ${String(line.line.number)} has ${String(line.beats)} beats; ${what} the bar of ${metreName(metre)}.`,
    line: line.line.number,
    span: line.line.span,
  };
}

/** Where the song ends: the last bar gives the upbeat bar its time, or one more bar is added when a note stands there. */
function songEnd(linesEnd: Ticks, lastOnset: Ticks, upbeatTicks: Ticks, metre: Metre): Ticks {
  const end = linesEnd - upbeatTicks;
  return lastOnset < end ? end : end + ticksPerBar(metre);
}

/** A sound or a silence before it is cut into printable note values. */
interface Stretch {
  readonly start: Ticks;
  readonly end: Ticks;
  readonly syllable: SungSyllable | null;
  readonly breath: boolean;
}

interface Bounds {
  readonly start: Ticks;
  readonly end: Ticks;
  /** No sound goes on beyond the beats of the line into those that only complete a bar. */
  readonly soundEnd: Ticks;
  readonly lineStart: Ticks;
}

/** Sounds and silences of one line, end to end, from its first upbeat to the next line's. */
function phraseStretches(
  line: PlacedLine,
  onsets: readonly Ticks[],
  bounds: Bounds,
  options: { readonly ticksPerBeat: Ticks; readonly emptyBeats: RhythmOptions['emptyBeats'] },
): readonly Stretch[] {
  const stretches: Stretch[] = [];
  const silence = (start: Ticks, end: Ticks): void => {
    if (start < end) stretches.push({ start, end, syllable: null, breath: false });
  };
  const rests = line.emptyBeats
    .filter((empty) => !isHeld(empty, options.emptyBeats))
    .map((empty) => bounds.lineStart + empty.beat * options.ticksPerBeat);
  silence(bounds.start, onsets[0] ?? bounds.end);
  line.syllables.forEach((placed, i) => {
    const start = onsets[i] ?? 0;
    const next = onsets[i + 1] ?? bounds.end;
    if (start >= next) {
      throw new RangeError(
        `Line ${String(line.line.number)}: syllable ${String(i)} starts at or after the next one.`,
      );
    }
    const rest = [...rests, bounds.soundEnd].find((at) => at > start && at < next);
    const last = i === line.syllables.length - 1;
    const { text, stress, prominence } = placed.syllable;
    const syllable = { text, word: placed.word, division: placed.division, stress, prominence };
    stretches.push({ start, end: rest ?? next, syllable, breath: last && rest === undefined });
    silence(rest ?? next, next);
  });
  return stretches;
}

/** A beat on which no syllable begins is held inside a word; elsewhere as the teacher says, or as has been taught. */
function isHeld(empty: EmptyBeat, emptyBeats: RhythmOptions['emptyBeats']): boolean {
  if (empty.insideWord) return true;
  const bySound: Readonly<Record<EmptySound, boolean>> = {
    held: true,
    silent: false,
    free: emptyBeats === 'held',
  };
  return bySound[empty.sound];
}

/** Cut a stretch into notes that can be printed, tied together, or into rests. */
function printed(stretch: Stretch, lead: Ticks, metre: Metre): readonly RhythmNote[] {
  const bar = ticksPerBar(metre);
  const fromBarLine = ((stretch.start % bar) + bar) % bar;
  const duration = stretch.end - stretch.start;
  const pieces: readonly Piece[] =
    stretch.syllable === null
      ? splitRest(metre, fromBarLine, duration)
      : splitSound(metre, fromBarLine, duration);
  return pieces.map((piece, i): RhythmNote => {
    const first = i === 0;
    const last = i === pieces.length - 1;
    const rest = stretch.syllable === null;
    return {
      onset: stretch.start + piece.offset + lead,
      duration: piece.duration,
      rest,
      syllable: first ? stretch.syllable : null,
      tie: rest || pieces.length === 1 ? null : first ? 'start' : last ? 'stop' : 'both',
      breath: last && stretch.breath,
    };
  });
}

/** The rhyme of the line's last word in the reading that was placed. */
function rhymeOf(line: PlacedLine): string {
  const lastWord = line.line.words.length - 1;
  const count = line.syllables.filter((s) => s.word === lastWord).length;
  const readings = line.line.words[lastWord]?.readings ?? [];
  return (readings.find((r) => r.syllables.length === count) ?? readings[0])?.rhyme ?? '';
}

/**
 * A word as compared with another: lower case, no punctuation. Most words are plain, and a class of all letters takes
 * milliseconds to compile, so it is kept for the words that need it.
 */
function wordKey(text: string): string {
  const marks = /[^ -~]/.test(text) ? /[^\p{L}\p{N}]/gu : /[^a-z0-9]/g;
  return text.normalize('NFC').toLowerCase().replace(marks, '');
}

function roundUp(n: number, unit: number): number {
  return Math.ceil(n / unit) * unit;
}
