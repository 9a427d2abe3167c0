/**
 * Canon: the tune against itself, later. Every entry distance is tried and judged by what stands together on each
 * beat; nothing is altered to make it fit.
 *
 * On strong beats unison, third, fourth, fifth, sixth and octave fit; seconds (re against do, la against so), sevenths
 * and the tritone rub. Entering after a whole phrase is easiest to hold, after two beats hard; cadences that fall
 * together hide the parts (common practice).
 */
import type { SongWithParts } from '../parts.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import type { Song } from '../song.ts';
import type { Tone } from '../pitch.ts';
import { ticksPerBar, type Ticks } from '../time.ts';
import { fillBars, lengthened, type PartSound } from './fill.ts';
import { intervalName, rubs, type IntervalName } from './intervals.ts';
import { beatsOf, joinTies, songEnd, soundAt, soundsOf, type Sound } from './sounds.ts';

/** Two voices that rub. Bars and beats are those of the first voice; voices count from 1, the earlier one first. */
export interface CanonClash {
  readonly bar: number;
  readonly beat: number;
  readonly strong: boolean;
  readonly voices: readonly [number, number];
  readonly tones: readonly [Tone, Tone];
  readonly interval: IntervalName;
}

/** What one entry distance comes to. */
export interface CanonEntry {
  /** Felt beats from one voice's entry to the next one's. */
  readonly beats: number;
  readonly clashes: readonly CanonClash[];
  /** Beats on which two voices or more sound. */
  readonly together: number;
  /** Those of them on which two sing the same pitch. */
  readonly unisons: number;
  /** Ends of phrases that fall together. */
  readonly sharedEnds: number;
  /** Per hundred beats together, so that distances can be compared; the lowest is best. */
  readonly cost: number;
}

export const CANON_COSTS = {
  strongRub: 20,
  weakRub: 4,
  unison: 1,
  sharedEnd: 3,
  /** Added to the sum by the hundred: an entry that is not on a strong beat, and one within two beats. */
  offBar: 120,
  close: 40,
  /** Added when more than half of the beats are in unison: then it is hardly a canon. */
  mostlyUnison: 200,
};

export const MOST_VOICES = 4;

/**
 * Every distance from one beat to half the song, in order. A distance is left out when all voices would never sound
 * together.
 */
export function canonEntries(song: Song, voices: number): readonly CanonEntry[] {
  const beat = song.metre.ticksPerBeat;
  const sounds = soundsOf(song);
  const length = (sounds.at(-1)?.end ?? 0) - (sounds[0]?.onset ?? 0);
  const entries: CanonEntry[] = [];
  for (let beats = 1; beats * beat * 2 <= length; beats++) {
    if (beats * beat * (voices - 1) >= length) break;
    entries.push(judgeEntry(song, sounds, beats, voices));
  }
  return entries;
}

/** The cheapest entry, of equals the latest (easier to hold); null when the song is too short. */
export function bestEntry(entries: readonly CanonEntry[]): CanonEntry | null {
  return entries.reduce<CanonEntry | null>(
    (best, entry) => (best === null || entry.cost <= best.cost ? entry : best),
    null,
  );
}

function judgeEntry(song: Song, sounds: readonly Sound[], beats: number, voices: number): CanonEntry {
  const delay = beats * song.metre.ticksPerBeat;
  const clashes: CanonClash[] = [];
  let together = 0;
  let unisons = 0;
  for (const { at, bar, beat, strength } of beatsOf(song, songEnd(song) + delay * (voices - 1))) {
    const singing = Array.from({ length: voices }, (_, v) => soundAt(sounds, at - v * delay));
    if (singing.filter((sound) => sound !== null).length < 2) continue;
    together += 1;
    let same = false;
    singing.forEach((a, i) => {
      singing.slice(i + 1).forEach((b, k) => {
        if (a === null || b === null) return;
        if (a.key === b.key) same = true;
        if (!rubs(a.tone, b.tone)) return;
        clashes.push({
          bar,
          beat,
          strong: strength >= 2,
          voices: [i + 1, i + k + 2],
          tones: [a.tone, b.tone],
          interval: intervalName(a.tone, b.tone),
        });
      });
    });
    if (same) unisons += 1;
  }
  const judged = { beats, clashes, together, unisons, sharedEnds: countSharedEnds(song, delay, voices) };
  return { ...judged, cost: entryCost(song, judged) };
}

function entryCost(song: Song, entry: Omit<CanonEntry, 'cost'>): number {
  const strong = entry.clashes.filter((clash) => clash.strong).length;
  const sum =
    strong * CANON_COSTS.strongRub +
    (entry.clashes.length - strong) * CANON_COSTS.weakRub +
    entry.unisons * CANON_COSTS.unison +
    entry.sharedEnds * CANON_COSTS.sharedEnd;
  const perBar = ticksPerBar(song.metre) / song.metre.ticksPerBeat;
  const offBar = entry.beats % (perBar === 4 ? 2 : perBar) === 0 ? 0 : CANON_COSTS.offBar;
  const close = entry.beats <= 2 ? CANON_COSTS.close : 0;
  const hollow = entry.unisons * 2 > entry.together ? CANON_COSTS.mostlyUnison : 0;
  return Math.floor((100 * sum) / Math.max(1, entry.together)) + offBar + close + hollow;
}

/** Moments at which phrases of two voices begin their last tone together. */
function countSharedEnds(song: Song, delay: Ticks, voices: number): number {
  const ends = song.phrases.flatMap((phrase) => joinTies(phrase.notes).at(-1)?.onset ?? []);
  let count = 0;
  for (let v = 1; v < voices; v++) count += ends.filter((at) => ends.includes(at + v * delay)).length;
  return count;
}

/**
 * The song with followers at the best distance, or at the one asked for in `beats`; rests are added to the song's end
 * for the last voice. Problems: `parts-clash` (warning) names what rubs on strong beats; `no-part` (error) when the song
 * is too short for a canon, or the distance is not one of those tried.
 */
export function addCanon(song: Song, voices: number, beats: number | null = null): Outcome<SongWithParts> {
  const entries = canonEntries(song, voices);
  const entry = beats === null ? bestEntry(entries) : (entries.find((each) => each.beats === beats) ?? null);
  if (entry === null) return failed(noEntry(entries, beats));
  const bar = ticksPerBar(song.metre);
  const delay = entry.beats * song.metre.ticksPerBeat;
  const longer = lengthened(song, Math.ceil((delay * (voices - 1)) / bar) * bar);
  const sounds = soundsOf(song);
  const parts = Array.from({ length: voices - 1 }, (_, v) => ({
    kind: 'canon' as const,
    name: `Voice ${String(v + 2)}`,
    instrument: 'voice' as const,
    notes: fillBars(
      longer,
      sounds.map((sound) => shifted(sound, (v + 1) * delay)),
    ),
  }));
  const strong = entry.clashes.filter((clash) => clash.strong);
  return made({ song: longer, parts, problems: strong.length === 0 ? [] : [clashProblem(entry, strong)] });
}

function shifted({ onset, end, tone, syllable, slur }: Sound, by: Ticks): PartSound {
  return { onset: onset + by, end: end + by, tones: [tone], syllable, slur };
}

/** `bar 3: re against do, a second (voices 1 and 2)` for each clash, at most six. */
export function namedClashes(clashes: readonly CanonClash[]): string {
  const named = clashes.slice(0, 6).map(({ bar, beat, tones, interval, voices }) => {
    const place = beat === 1 ? `bar ${String(bar)}` : `bar ${String(bar)} beat ${String(beat)}`;
    return `${place}: ${tones[0]} against ${tones[1]}, a ${interval} (voices ${voices.map(String).join(' and ')})`;
  });
  const more = clashes.length > 6 ? [`and ${String(clashes.length - 6)} more`] : [];
  return [...named, ...more].join('; ');
}

function clashProblem(entry: CanonEntry, strong: readonly CanonClash[]): Problem {
  return {
    code: 'parts-clash',
    severity: 'warning',
    message: `With voices ${String(entry.beats)} beats apart, these rub on strong beats: ${namedClashes(strong)}.`,
  };
}

function noEntry(entries: readonly CanonEntry[], beats: number | null): Problem {
  const last = entries.at(-1)?.beats ?? 0;
  const message =
    last === 0
      ? 'The song is too short for so many voices one after another.'
      : `Voices can enter 1 to ${String(last)} beats apart; this is ${String(beats)}.`;
  return { code: 'no-part', severity: 'error', message };
}
