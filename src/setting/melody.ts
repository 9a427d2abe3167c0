/**
 * Rhythm + Rung -> Song. In stages: the slur's place and the form first, drawn by seed and take from the evidence of
 * the words, with the outline (chords, direction, octave) of songs that have fa or ti; for a canon, the cheapest frame
 * of tones; then the phrases in order of singing. Each phrase is exact given the form and the phrases before it:
 * take 1 has the cheapest tones of all, every other take is an exact draw from the same costs. What is not searched
 * together: form before notes, and one phrase before the next.
 */
import type { Pitch, Tone } from '../pitch.ts';
import { failed, made, type Outcome } from '../problem.ts';
import { seededRandom } from '../random.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import type { Song } from '../song.ts';
import { familyOf, noFamily } from './family.ts';
import { usualTempo, type VoiceBand } from './keys.ts';
import { composerFor, drawTune, meansFor, whyNot, type Composer } from './melody-composer.ts';
import type { RungTables } from './melody-model.ts';
import { everyTune } from './melody-others.ts';
import { fewTakes, givenNotes, newToneMissing, noMelody, refusals } from './melody-problems.ts';
import { songOf, tonesSung } from './melody-song.ts';
import { tuneKey, type Tune } from './melody-tune.ts';

export interface MelodyOptions {
  readonly rung: Rung;
  /** Pitch of do, or null for the one that fits. */
  readonly do: Pitch | null;
  /** Felt beats a minute, or null for the usual of the class. */
  readonly tempoBpm: number | null;
  readonly seed: number;
  /** Counts from 1; take 1 is the best song, the others are drawn. */
  readonly take: number;
  /** False leaves out the rung's slur. */
  readonly slur: boolean;
  readonly voice: VoiceBand | null;
  /** The same rhyme on an easier rung, of whose notes as few as possible are altered; or null. */
  readonly family: Song | null;
  /** Make the tune so that it fits itself when voices enter so many felt beats apart, 1 or more; or null. */
  readonly forCanon?: number | null;
  /** Tones given by the teacher or the class. */
  readonly fixed?: readonly FixedTone[];
}

export interface FixedTone {
  /** Index of the phrase, from 0. */
  readonly phrase: number;
  /** Index of the sound in its phrase, from 0; ties count once; negative counts from the end, -1 is the last. */
  readonly sound: number;
  readonly tone: Tone;
}

/**
 * The song of one take: the same song whether asked for alone or with others.
 *
 * Problems: `no-melody` (error), `new-tone-missing`, `out-of-range` (warnings), `few-takes`, `given-tones` (notes).
 *
 * @example setMelody(rhythm, { rung, do: null, tempoBpm: null, seed: 1, take: 1, slur: true, voice: null, family: null })
 */
export function setMelody(rhythm: Rhythm, options: MelodyOptions): Outcome<Song> {
  const families = options.family === null ? [] : Array.from({ length: options.take }, () => options.family);
  const outcomes = setTakes(rhythm, options, { first: options.take, last: options.take, families });
  return outcomes[0] ?? failed(noMelody(options.rung));
}

export interface Takes {
  /** From 1, not above `last`. */
  readonly first: number;
  readonly last: number;
  /** The easier song for each take from 1 on, or empty when there is no family. */
  readonly families: readonly (Song | null)[];
}

/**
 * The songs of several takes, worked out in one go; no two alike as long as the rung has others for this rhythm.
 *
 * `options.take` and `options.family` are not looked at. O(takes), each a few passes over the notes.
 */
export function setTakes(rhythm: Rhythm, options: MelodyOptions, takes: Takes): readonly Outcome<Song>[] {
  const refused = refusals(rhythm, options);
  if (refused.length > 0) return [failed(...refused)];
  const composer = composerFor(rhythm, options);
  const outcomes: Outcome<Song>[] = [];
  for (const found of eachTune(composer, takes)) {
    if (found === null) return [...outcomes, failed(whyNot(composer))];
    if (found.take >= takes.first) outcomes.push(finished(composer, found.tune, found.take, found.repeats));
  }
  return outcomes;
}

/**
 * The tune behind `setMelody`'s song, with the tables that it was chosen by; null where there is none. For `explain`.
 */
export function tuneOfTake(
  rhythm: Rhythm,
  options: MelodyOptions,
): { tune: Tune; tables: RungTables } | null {
  if (refusals(rhythm, options).length > 0) return null;
  const composer = composerFor(rhythm, options);
  const families = options.family === null ? [] : Array.from({ length: options.take }, () => options.family);
  let last: TakenTune | null = null;
  for (const found of eachTune(composer, { first: options.take, last: options.take, families })) last = found;
  return last === null ? null : { tune: last.tune, tables: composer.tables };
}

interface TakenTune {
  readonly take: number;
  readonly tune: Tune;
  /** How many different songs there were when this one came again, else null. */
  readonly repeats: number | null;
}

/** A tune for every take from 1 on, or null where the rules leave no way. */
function* eachTune(composer: Composer, takes: Takes): Generator<TakenTune | null> {
  const { options } = composer;
  const seen = new Set<string>();
  let others: Generator<Tune> | null = null;
  for (let take = 1; take <= takes.last; take += 1) {
    const song = takes.families[take - 1] ?? null;
    const family = song === null ? noFamily : familyOf(song, options.rung);
    let tune = drawTune(composer, take, family, 0);
    let key = tune === null ? '' : tuneKey(tune);
    // Where draws keep repeating, songs are few: the rest are found one by one.
    for (let again = 1; again < TRIES && others === null && tune !== null && seen.has(key); again += 1) {
      tune = drawTune(composer, take, family, again);
      key = tune === null ? '' : tuneKey(tune);
    }
    if (tune === null) {
      yield null;
      return;
    }
    if (seen.has(key)) {
      others ??= everyTune(tune.phrases, tune.plans, {
        ...meansFor(composer, family, 2, seededRandom(0)),
        frame: tune.frame,
      });
      tune = firstNew(others, seen) ?? tune;
      key = tuneKey(tune);
    }
    yield { take, tune, repeats: seen.has(key) ? seen.size : null };
    seen.add(key);
  }
}

/** Draws before a take that keeps repeating earlier ones is looked for among all songs. */
const TRIES = 24;

function firstNew(tunes: Generator<Tune>, seen: ReadonlySet<string>): Tune | null {
  for (let next = tunes.next(); next.done !== true; next = tunes.next()) {
    if (!seen.has(tuneKey(next.value))) return next.value;
  }
  return null;
}

function finished(composer: Composer, tune: Tune, take: number, repeats: number | null): Outcome<Song> {
  const { rhythm, options } = composer;
  const { rung } = options;
  const { key, pitches } = composer.keyFor(tonesSung(tune, rung));
  const problems = [
    ...(repeats === null ? [] : [fewTakes(rung, repeats)]),
    ...(tune.newToneSounds ? [] : [newToneMissing(rung)]),
    ...givenNotes(rhythm, options),
    ...key.problems,
  ];
  const tempoBpm = options.tempoBpm ?? usualTempo(options.voice);
  return made(
    songOf(rhythm, tune, { rung, key, pitches, tempoBpm, seed: options.seed, take, problems }),
    problems,
  );
}
