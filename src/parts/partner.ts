/**
 * Partner songs: which two songs can be sung at once. They need one metre, one home and as many bars; then what stands
 * together on each beat is judged as in a canon (common practice).
 */
import type { SongWithParts } from '../parts.ts';
import { failed, made, type Outcome } from '../problem.ts';
import type { Song } from '../song.ts';
import { metreName, ticksPerBar } from '../time.ts';
import type { Tone } from '../pitch.ts';
import { homeLetter } from './drone.ts';
import { fillBars, lengthened, withUpbeat } from './fill.ts';
import { intervalName, rubs, type IntervalName } from './intervals.ts';
import { beatsOf, songEnd, soundAt, soundsOf } from './sounds.ts';

export interface PartnerClash {
  readonly bar: number;
  readonly beat: number;
  readonly strong: boolean;
  /** Of the song, then of its partner. */
  readonly tones: readonly [Tone, Tone];
  readonly interval: IntervalName;
}

export interface PartnerVerdict {
  /** Why the two cannot be sung together at all; null when they can. */
  readonly hindrance: string | null;
  readonly clashes: readonly PartnerClash[];
  /** Per hundred beats on which both sound; the lowest is best. */
  readonly cost: number;
}

export const PARTNER_COSTS = { strongRub: 20, weakRub: 4, unison: 1 };

/** Judge two songs, the second one moved to the do of the first. */
export function judgePartner(song: Song, other: Song): PartnerVerdict {
  const hindrance = hindranceOf(song, other);
  if (hindrance !== null) return { hindrance, clashes: [], cost: 0 };
  const { first, second } = aligned(song, other);
  const [ours, theirs] = [soundsOf(first), soundsOf(second)];
  const clashes: PartnerClash[] = [];
  let together = 0;
  let unisons = 0;
  for (const { at, bar, beat, strength } of beatsOf(first)) {
    const [a, b] = [soundAt(ours, at), soundAt(theirs, at)];
    if (a === null || b === null) continue;
    together += 1;
    if (a.tone === b.tone) unisons += 1;
    if (!rubs(a.tone, b.tone)) continue;
    const interval = intervalName(a.tone, b.tone);
    clashes.push({ bar, beat, strong: strength >= 2, tones: [a.tone, b.tone], interval });
  }
  const strong = clashes.filter((clash) => clash.strong).length;
  const sum =
    strong * PARTNER_COSTS.strongRub +
    (clashes.length - strong) * PARTNER_COSTS.weakRub +
    unisons * PARTNER_COSTS.unison;
  return { hindrance: null, clashes, cost: Math.floor((100 * sum) / Math.max(1, together)) };
}

function hindranceOf(song: Song, other: Song): string | null {
  if (metreName(song.metre) !== metreName(other.metre)) {
    return `it is in ${metreName(other.metre)}, not in ${metreName(song.metre)}`;
  }
  if (homeLetter(song) !== homeLetter(other)) {
    return `its home is ${homeLetter(other) === 'd' ? 'do' : 'la'}, not ${homeLetter(song) === 'd' ? 'do' : 'la'}`;
  }
  const [bars, others] = [barsOf(song), barsOf(other)];
  return bars === others ? null : `it has ${String(others)} bars, not ${String(bars)}`;
}

/** Bars from bar 1 to the one in which the last tone ends. */
function barsOf(song: Song): number {
  const end = soundsOf(song).at(-1)?.end ?? 0;
  return Math.ceil((end - song.upbeatTicks) / ticksPerBar(song.metre));
}

/** Both songs on one grid of bars: the longer upbeat for both, the same end. */
function aligned(song: Song, other: Song): { readonly first: Song; readonly second: Song } {
  const upbeat = Math.max(song.upbeatTicks, other.upbeatTicks);
  const first = withUpbeat(song, upbeat);
  const second = withUpbeat(other, upbeat);
  const end = Math.max(songEnd(first), songEnd(second));
  return { first: stretched(first, end), second: stretched(second, end) };
}

function stretched(song: Song, end: number): Song {
  return songEnd(song) === end ? song : lengthened(song, end - songEnd(song));
}

/**
 * The song with the other one beside it, on the same do. Problems: `no-part` (error) with the hindrance; `parts-clash`
 * (warning) naming what rubs on strong beats.
 */
export function addPartner(song: Song, other: Song): Outcome<SongWithParts> {
  const { hindrance, clashes } = judgePartner(song, other);
  if (hindrance !== null) {
    const message = `"${other.title}" is no partner for "${song.title}": ${hindrance}.`;
    return failed({ code: 'no-part', severity: 'error', message });
  }
  const { first, second } = aligned(song, other);
  const notes = fillBars(
    first,
    soundsOf(second).map(({ onset, end, tone, syllable, slur }) => ({
      onset,
      end,
      tones: [tone],
      syllable,
      slur,
    })),
  );
  const part = { kind: 'partner', name: other.title, instrument: 'voice', notes } as const;
  const strong = clashes.filter((clash) => clash.strong);
  const named = strong
    .slice(0, 6)
    .map(
      ({ bar, beat, tones, interval }) =>
        `bar ${String(bar)}${beat === 1 ? '' : ` beat ${String(beat)}`}: ${tones[0]} against ${tones[1]}, a ${interval}`,
    );
  const more = strong.length > 6 ? `; and ${String(strong.length - 6)} more` : '';
  return made({
    song: first,
    parts: [part],
    problems:
      strong.length === 0
        ? []
        : [
            {
              code: 'parts-clash',
              severity: 'warning',
              message: `"${other.title}" rubs on strong beats: ${named.join('; ')}${more}.`,
            },
          ],
  });
}
