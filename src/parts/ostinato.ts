/**
 * An ostinato made of the song itself: a few beats of its rhythm with their words, on its own tones, repeated from the
 * first bar to the last. It fills the tune's rests, does not copy its rhythm, and fits under its strong beats.
 *
 * Every stretch of the song's bars is tried, each with rests for some of its first or last beats, each on the best of
 * all rows of tones: exact over that choice. (That an ostinato fills rests and does not double the tune is common
 * practice.)
 */
import { bestPath, weave } from '../lattice.ts';
import type { SongWithParts } from '../parts.ts';
import { toneStep, type Tone } from '../pitch.ts';
import { failed, made, type Outcome } from '../problem.ts';
import type { Song } from '../song.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';
import { fillBars, type PartSound } from './fill.ts';
import { rubs } from './intervals.ts';
import { beatsOf, joinTies, songEnd, soundAt, soundsOf, toneKey, type Sound } from './sounds.ts';

/** What each rule charges, once for every time that the ostinato comes round. */
export const OSTINATO_COSTS = {
  /** A second, seventh or tritone with the tune on a strong beat, on another beat, off the beat. */
  rubStrong: 12,
  rubWeak: 5,
  rubOff: 2,
  /** The same pitch as the tune at that moment. */
  doubles: 2,
  /** A tone that begins where one of the tune begins. */
  sameMoment: 1,
  /** A beat of rest in the tune that the ostinato leaves empty. */
  restLeft: 4,
  /** Charged once: a leap of a fourth or fifth, a wider one, an end off the home chord. */
  leap: 2,
  wideLeap: 8,
  endsAway: 4,
};

/** A rhythm to repeat: onsets from the start of the period. */
export interface Figure {
  /** Ticks of one time round; whole bars. */
  readonly period: Ticks;
  readonly notes: readonly Omit<PartSound, 'tones'>[];
}

export interface Ostinato {
  readonly figure: Figure;
  readonly tones: readonly Tone[];
  readonly cost: number;
}

/** Fewer notes than this make no figure. */
const FEWEST_NOTES = 2;
/** Letters of the chord of home. */
const HOME_CHORDS: Readonly<Record<'d' | 'l', readonly string[]>> = {
  d: ['d', 'm', 's'],
  l: ['l', 'd', 'm'],
};

/**
 * The song with its best ostinato. Problems: `no-part` (error) when no line of the song has a figure.
 */
export function addOstinato(song: Song): Outcome<SongWithParts> {
  const best = bestOstinato(song);
  if (best === null) {
    return failed({
      code: 'no-part',
      severity: 'error',
      message:
        'No stretch of this song begins and ends with a word inside whole bars, so no ostinato is made of it.',
    });
  }
  const notes = fillBars(song, repeated(song, best));
  const part = { kind: 'ostinato', name: 'Ostinato', instrument: 'voice', notes } as const;
  return made({ song, parts: [part], problems: [] });
}

/** The cheapest figure on its cheapest tones; of equals the one found first. */
export function bestOstinato(song: Song): Ostinato | null {
  let best: Ostinato | null = null;
  for (const figure of figuresOf(song)) {
    const candidate = onBestTones(song, figure);
    if (candidate !== null && (best === null || candidate.cost < best.cost)) best = candidate;
  }
  return best;
}

/**
 * Whole bars of the song as figures: as they are, and with some first or last beats left silent. The words of a figure
 * are of one line, and it sounds on at least half of its beats.
 */
export function figuresOf(song: Song): readonly Figure[] {
  const bar = ticksPerBar(song.metre);
  const beat = song.metre.ticksPerBeat;
  const period = beatsPerBar(song.metre) === 2 ? 2 * bar : bar;
  const lines = song.phrases.map((phrase) => joinTies(phrase.notes));
  const end = songEnd(song);
  const found = new Map<string, Figure>();
  for (let start = song.upbeatTicks; start + period <= end; start += bar) {
    for (let from = start; from < start + period; from += beat) {
      for (let to = start + period; to > from; to -= beat) {
        for (const line of lines) {
          const inside = line.filter((sound) => sound.onset >= from && sound.onset < to);
          if (!isWholeWords(inside, to)) continue;
          const notes = joinSlurs(inside).map((sound) => ({
            ...sound,
            onset: sound.onset - start,
            end: sound.end - start,
          }));
          const beatsHit = new Set(notes.map((note) => Math.floor(note.onset / beat))).size;
          const key = notes
            .map((n) => `${String(n.onset)} ${String(n.end)} ${n.syllable?.text ?? ''}`)
            .join('|');
          if (notes.length < FEWEST_NOTES || beatsHit * beat * 2 < period || found.has(key)) continue;
          found.set(key, { period, notes });
        }
      }
    }
  }
  return [...found.values()];
}

/** True when the sounds begin with a word, end with one, and none goes on beyond. */
function isWholeWords(sounds: readonly Sound[], to: Ticks): boolean {
  const first = sounds[0];
  const lastSyllable = sounds.findLast((sound) => sound.syllable !== null)?.syllable;
  const begins = first?.syllable?.division === 'single' || first?.syllable?.division === 'begin';
  const ends = lastSyllable?.division === 'single' || lastSyllable?.division === 'end';
  return begins && ends && (sounds.at(-1)?.end ?? 0) <= to && sounds.at(-1)?.slur !== 'start';
}

/** One note for each syllable. */
function joinSlurs(sounds: readonly Sound[]): readonly Omit<PartSound, 'tones'>[] {
  const notes: Omit<PartSound, 'tones'>[] = [];
  for (const { onset, end, syllable } of sounds) {
    const before = notes.at(-1);
    if (syllable === null && before?.end === onset) notes[notes.length - 1] = { ...before, end };
    else notes.push({ onset, end, syllable, slur: null });
  }
  return notes;
}

/** Where each time round begins. */
function rounds(song: Song, { period, notes }: Figure): readonly Ticks[] {
  const end = songEnd(song);
  const starts: Ticks[] = [];
  for (let at = song.upbeatTicks; at + (notes.at(-1)?.end ?? period) <= end; at += period) starts.push(at);
  return starts;
}

function onBestTones(song: Song, figure: Figure): Ostinato | null {
  const sounds = soundsOf(song);
  const tones = [...new Set(sounds.map((sound) => sound.tone))].sort((a, b) => toneStep(a) - toneStep(b));
  const starts = rounds(song, figure);
  if (starts.length === 0) return null;
  const here = figure.notes.map((note) =>
    tones.map((tone) => toneCost(song, sounds, tone, starts, note.onset)),
  );
  const home = HOME_CHORDS[song.home.startsWith('l') ? 'l' : 'd'];
  const last = figure.notes.length - 1;
  const path = bestPath(
    weave({
      layers: figure.notes.length,
      states: tones.length + 1,
      choices: tones.length,
      start: tones.length,
      edges: (layer, state, costs, nexts) => {
        tones.forEach((tone, choice) => {
          const before = tones[state];
          const away = layer === last && !home.includes(tone[0] ?? '') ? OSTINATO_COSTS.endsAway : 0;
          costs[choice] =
            (here[layer]?.[choice] ?? 0) + away + (before === undefined ? 0 : moveCost(before, tone));
          nexts[choice] = choice;
        });
      },
    }),
  );
  if (path === null) return null;
  const row = path.choices.map((choice) => tones[choice] ?? 'd');
  return { figure, tones: row, cost: path.cost + rhythmCost(song, sounds, figure, starts) };
}

/** One tone of the figure against the tune, every time round. */
export function toneCost(
  song: Song,
  sounds: readonly Sound[],
  tone: Tone,
  starts: readonly Ticks[],
  onset: Ticks,
): number {
  return starts.reduce((sum, start) => {
    const at = start + onset;
    const other = soundAt(sounds, at);
    if (other === null) return sum;
    const doubles = other.key === toneKey(song, tone) ? OSTINATO_COSTS.doubles : 0;
    return sum + doubles + (rubs(other.tone, tone) ? rubCost(song, at) : 0);
  }, 0);
}

function rubCost(song: Song, at: Ticks): number {
  const bar = ticksPerBar(song.metre);
  const into = (((at - song.upbeatTicks) % bar) + bar) % bar;
  if (into % song.metre.ticksPerBeat !== 0) return OSTINATO_COSTS.rubOff;
  const strong = into === 0 || (beatsPerBar(song.metre) === 4 && into === bar / 2);
  return strong ? OSTINATO_COSTS.rubStrong : OSTINATO_COSTS.rubWeak;
}

export function moveCost(from: Tone, to: Tone): number {
  const steps = Math.abs(toneStep(to) - toneStep(from));
  return steps <= 2 ? 0 : steps <= 4 ? OSTINATO_COSTS.leap : OSTINATO_COSTS.wideLeap;
}

/** Moments shared with the tune, and rests of the tune that stay empty. */
export function rhythmCost(
  song: Song,
  sounds: readonly Sound[],
  figure: Figure,
  starts: readonly Ticks[],
): number {
  const onsets = new Set(sounds.map((sound) => sound.onset));
  const own = starts.flatMap((start) => figure.notes.map((note) => start + note.onset));
  const same = own.filter((at) => onsets.has(at)).length;
  const filled = (at: Ticks): boolean =>
    own.some((onset) => onset >= at && onset < at + song.metre.ticksPerBeat);
  const rests = beatsOf(song).filter(
    (beat) => beat.bar >= 1 && soundAt(sounds, beat.at) === null && !filled(beat.at),
  );
  return same * OSTINATO_COSTS.sameMoment + rests.length * OSTINATO_COSTS.restLeft;
}

function repeated(song: Song, { figure, tones }: Ostinato): readonly PartSound[] {
  return rounds(song, figure).flatMap((start) =>
    figure.notes.map((note, i) => ({
      ...note,
      onset: start + note.onset,
      end: start + note.end,
      tones: [tones[i] ?? 'd'],
    })),
  );
}
