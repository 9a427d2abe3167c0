/**
 * Pulses of tonic sol-fa letters laid end to end: the metre that they show, and every tone and silence with its length.
 */
import type { Tone } from '../pitch.ts';
import type { Problem } from '../problem.ts';
import { METRES, ticksPerBar, type Metre, type MetreName, type Ticks } from '../time.ts';
import { fault, spanOf, type Piece } from './score-text.ts';
import type { Pulse } from './tonic-solfa-pulses.ts';

/** Pulses in a bar of each metre; the pulse is a quarter in simple time, an eighth in compound time. */
const METRE_OF_PULSES: Readonly<Record<number, MetreName>> = {
  2: '2/4',
  3: '3/4',
  4: '4/4',
  6: '6/8',
  9: '9/8',
  12: '12/8',
};

/** The metre that the bars show; every bar but an upbeat and the last must have as many pulses as the first whole one. */
export function metreOf(pulses: readonly Pulse[], problems: Problem[]): Metre | null {
  const bars = barsOf(pulses);
  const whole = bars.filter((bar) => bar[0]?.mark === '|');
  const size = whole[0]?.length ?? 0;
  const name = METRE_OF_PULSES[size];
  const wrong = whole.find((bar, i) => (i < whole.length - 1 ? bar.length !== size : bar.length > size));
  const bar = name === undefined ? whole[0] : wrong;
  if (bar === undefined && name !== undefined) return METRES[name];
  const number = bar === undefined ? 1 : whole.indexOf(bar) + 1;
  const seen = bar?.length ?? 0;
  const message =
    name === undefined
      ? `Bar 1 has ${String(seen)} pulses; bars have 2, 3, 4, 6, 9 or 12.`
      : `Bar ${String(number)} has ${String(seen)} pulses where the first has ${String(size)}.`;
  const span = bar?.[0] === undefined ? { start: 0, end: 1 } : { start: bar[0].start, end: bar[0].start + 1 };
  problems.push(
    fault('bar-length', message, span, 'Each pulse has its mark: | the strong one, : or ! the others.'),
  );
  return null;
}

function barsOf(pulses: readonly Pulse[]): readonly (readonly Pulse[])[] {
  const bars: Pulse[][] = [];
  for (const pulse of pulses) {
    if (pulse.mark === '|' || bars.length === 0) bars.push([]);
    bars.at(-1)?.push(pulse);
  }
  return bars;
}

/** A tone or a silence with its whole length. */
export interface Sound {
  /** Ticks from the start of the song. */
  readonly onset: Ticks;
  duration: Ticks;
  /** Null for a silence. */
  readonly tone: Tone | null;
  readonly phrase: number;
  /** Sounds of one slur have the same number; 0 without one. */
  readonly slur: number;
  readonly piece: Piece;
}

/** Lay the parts of all pulses end to end; the upbeat begins with its first tone, the last bar completes it. */
export function timelineOf(
  pulses: readonly Pulse[],
  metre: Metre,
  problems: Problem[],
): { sounds: readonly Sound[]; upbeatTicks: Ticks } {
  const quarter = (metre.beatClass === 'simple' ? 480 : 240) / 4;
  const bar = ticksPerBar(metre);
  const upbeatPulses = pulses.findIndex((pulse) => pulse.mark === '|');
  const firstBar = Math.max(0, upbeatPulses) * 4 * quarter;
  const sounds: Sound[] = [];
  let at = 0;
  for (const part of pulses.flatMap((pulse) => pulse.parts)) {
    const last = sounds.at(-1);
    const duration = part.quarters * quarter;
    if (part.sign === '-' && (last === undefined || last.tone === null)) {
      problems.push(
        fault('broken-tie', 'This hyphen holds on a note, but none sounds before it.', spanOf(part.piece)),
      );
    } else if (part.sign === '-' && last !== undefined) {
      last.duration += duration;
    } else if (part.sign === null && last?.tone === null && last.phrase === part.phrase) {
      last.duration += duration;
    } else {
      const tone = part.sign === '-' ? null : part.sign;
      sounds.push({ onset: at, duration, tone, phrase: part.phrase, slur: part.slur, piece: part.piece });
    }
    at += duration;
  }
  // silence before the first tone of an upbeat is none of the song's
  let skipped = 0;
  while (sounds[0]?.tone === null && sounds[0].onset < firstBar) {
    const [first] = sounds;
    const cut = Math.min(first.duration, firstBar - first.onset);
    skipped += cut;
    if (cut === first.duration) sounds.shift();
    else sounds[0] = { ...first, onset: firstBar, duration: first.duration - cut };
  }
  const upbeatTicks = firstBar - skipped;
  const moved = sounds.map((sound) => ({ ...sound, onset: sound.onset - skipped }));
  return {
    sounds: completeLastBar(moved, { upbeatTicks, hasUpbeat: firstBar > 0, bar, problems }),
    upbeatTicks,
  };
}

/** Lengthen or shorten the silence at the end, so that the last bar and the upbeat make one bar. */
function completeLastBar(
  sounds: readonly Sound[],
  by: { upbeatTicks: Ticks; hasUpbeat: boolean; bar: Ticks; problems: Problem[] },
): readonly Sound[] {
  const sung = sounds.findLastIndex((sound) => sound.tone !== null);
  const last = sounds[sung];
  const written = sounds.at(-1);
  if (last === undefined || written === undefined) {
    by.problems.push(fault('nothing-to-sing', 'This text has no letters to sing.', { start: 0, end: 1 }));
    return [];
  }
  const soundEnd = last.onset + last.duration;
  const writtenEnd = written.onset + written.duration;
  const bars = Math.ceil((writtenEnd - by.upbeatTicks) / by.bar);
  const end = bars * by.bar;
  if (!by.hasUpbeat && writtenEnd !== end) {
    by.problems.push(
      fault(
        'bar-length',
        'The last bar is not full.',
        spanOf(last.piece),
        'Silent pulses are written too, as a mark with nothing behind it.',
      ),
    );
  } else if (soundEnd > end) {
    by.problems.push(
      fault(
        'upbeat-length',
        'The last note sounds on where the upbeat has taken the time of the last bar.',
        spanOf(last.piece),
        'Shorten it by the length of the upbeat.',
      ),
    );
  }
  const kept = sounds.slice(0, sung + 1);
  const rest = sounds[sung + 1] ?? { ...last, tone: null, slur: 0 };
  return end > soundEnd ? [...kept, { ...rest, onset: soundEnd, duration: end - soundEnd }] : kept;
}
