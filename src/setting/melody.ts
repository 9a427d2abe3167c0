/**
 * Rhythm + Rung -> Song. In stages: the slur's place and the form first, drawn by seed and take from the evidence of
 * the words; then the phrases in order of singing. Each phrase is exact given the form and the phrases before it:
 * take 1 has the cheapest tones of all, every other take is an exact draw from the same costs. What is not searched
 * together: form before notes, and one phrase before the next.
 */
import { bestPath, pathSampler, weightTable } from '../lattice.ts';
import type { Pitch, Tone } from '../pitch.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import { seededRandom, type Random } from '../random.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import type { Song } from '../song.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';
import { canonPlan, type CanonPlan } from './canon-frame.ts';
import { mildFancy, strongFancy } from './fancy.ts';
import { familyOf, noFamily, type Family } from './family.ts';
import { planForm } from './form.ts';
import { chooseKey, usualTempo, type Key, type VoiceBand } from './keys.ts';
import { drawCompass, drawOutline } from './outline.ts';
import { rungTables, type RungTables } from './melody-model.ts';
import { placesOf, type PhrasePlaces } from './melody-places.ts';
import {
  fewTakes,
  givenNotes,
  HARD_RULES,
  impossible,
  newToneMissing,
  noMelody,
  refusals,
} from './melody-problems.ts';
import { pitchesOf, songOf, tonesSung } from './melody-song.ts';
import { everyTune } from './melody-others.ts';
import { toneIndex, tuneKey, tuneOf, type Given, type Tune, type TuneMeans } from './melody-tune.ts';
import { drawSlurs, slurSpots, type SlurSpot } from './slur.ts';

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

function composerFor(rhythm: Rhythm, options: MelodyOptions): Composer {
  const phrases = placesOf(rhythm);
  const { rung, forCanon = null } = options;
  const keys = new Map<string, KeyAndPitches>();
  return {
    rhythm,
    options,
    phrases,
    spots: slurSpots(rhythm, phrases).filter((spot) => leavesRoom(spot, phrases, options)),
    tables: rungTables(rung),
    weightOf: weightTable(),
    salt: saltOf(rhythm),
    canon: forCanon === null ? null : canonPlan(rhythm, rung, forCanon),
    keyFor(tones) {
      const name = tones.join();
      const known = keys.get(name);
      if (known !== undefined) return known;
      const key = chooseKey(rung, tones, { do: options.do, voice: options.voice });
      const made = { key, pitches: pitchesOf(rung, key) };
      keys.set(name, made);
      return made;
    },
  };
}

interface KeyAndPitches {
  readonly key: Key;
  readonly pitches: ReadonlyMap<Tone, string>;
}

interface Composer {
  readonly rhythm: Rhythm;
  readonly options: MelodyOptions;
  readonly phrases: readonly PhrasePlaces[];
  readonly spots: readonly SlurSpot[];
  readonly tables: RungTables;
  readonly weightOf: (cost: number) => number;
  readonly salt: number;
  readonly canon: CanonPlan | null;
  /** The do for a song of these tones; the same list is worked out once. */
  readonly keyFor: (tones: readonly Tone[]) => KeyAndPitches;
}

/** The slur stays off syllables that have their tone, and off those before one that is not so: la falls to so. */
function leavesRoom(
  { phrase, note }: SlurSpot,
  phrases: readonly PhrasePlaces[],
  options: MelodyOptions,
): boolean {
  const { places = [] } = phrases[phrase] ?? {};
  const at = places.findIndex((place) => place.firstNote === note);
  return (options.fixed ?? []).every((given) => {
    const sound = given.sound < 0 ? places.length + given.sound : given.sound;
    const next = sound === at + 1 && !['s', 'l'].includes(given.tone);
    return given.phrase !== phrase || (sound !== at && !next);
  });
}

/** One attempt at a take. Null when the rules leave no way. */
function drawTune(composer: Composer, take: number, family: Family, attempt: number): Tune | null {
  const { rhythm, options, salt } = composer;
  const seed = mixed(mixed(mixed(options.seed, take), attempt), salt);
  // One stream for each decision, so that a rung with a slur draws the same form as a rung without.
  const stream = (n: number): Random => seededRandom(mixed(seed, n));
  const slur = options.slur ? (options.rung.slur ?? family.slur) : null;
  const spots = slur === null ? [] : composer.spots;
  const phrases = drawSlurs(rhythm, composer.phrases, spots, { kept: family.slurOnsets, random: stream(1) });
  const plans = planForm(phrases, stream(2), {
    chant: isChant(options.rung),
    kept: family.form,
  });
  // In chants the new tone comes at once and comes back; in fuller sets it may wait for a later section.
  const sections = isChant(options.rung) ? [0] : plans.flatMap((plan, i) => (plan.kind === 'new' ? [i] : []));
  const motifFrom = sections[stream(4)() % sections.length] ?? 0;
  const sketch = stream(5);
  const outline: TuneMeans['outline'] = composer.tables.ground.diatonic
    ? (stretches, role) => drawOutline(stretches, role, sketch)
    : null;
  const compass = composer.tables.ground.diatonic ? compassOf(composer.tables, stream(6)) : null;
  const means = meansFor(composer, family, take, stream(3));
  return tuneOf(phrases, plans, { ...means, outline, compass, motifFrom });
}

/** Without fa and ti: the sets of chants and calls. */
function isChant(rung: Rung): boolean {
  return !rung.tones.some((tone) => /^[ft]/.test(tone));
}

function meansFor(composer: Composer, family: Family, take: number, random: Random): TuneMeans {
  const { rhythm, options, tables, weightOf } = composer;
  const best = take === 1;
  return {
    tables,
    ticksPerBeat: rhythm.metre.ticksPerBeat,
    motifFrom: 0,
    canon: composer.canon,
    frame: null,
    outline: null,
    compass: null,
    stretchAt: stretchesOf(rhythm),
    fancy: () => (best ? strongFancy(random, 80) : mildFancy(random)),
    given: givenTones(options, family),
    family,
    solve: (woven) =>
      (best ? bestPath(woven) : (pathSampler(woven, weightOf)?.(random) ?? null))?.choices ?? null,
  };
}

/** The octave that a take keeps to: the new tone and the close are in it. */
function compassOf({ rung, ground }: RungTables, random: Random): TuneMeans['compass'] {
  const needed = rung.tones.flatMap((tone, i) =>
    tone === rung.newTone || rung.closes.includes(tone) ? (ground.heights[i] ?? 0) : [],
  );
  return drawCompass(ground.heights, needed, random);
}

/** Counts strong beats: the bar's first, and the middle one of four. */
function stretchesOf({ metre, upbeatTicks }: Rhythm): (onset: Ticks) => number {
  const bar = ticksPerBar(metre);
  const stretch = beatsPerBar(metre) === 4 ? bar / 2 : bar;
  return (onset) => Math.floor((onset - upbeatTicks) / stretch);
}

/** What must stand: the teacher's tones before the slur's. */
function givenTones({ rung, fixed = [] }: MelodyOptions, family: Family): Given {
  const slur = rung.slur ?? family.slur;
  return (phrase, sound, place, sounds) => {
    for (const given of fixed) {
      const at = given.sound < 0 ? sounds + given.sound : given.sound;
      if (given.phrase === phrase && at === sound && place.slur !== 'stop')
        return toneIndex(rung, given.tone);
    }
    if (place.slur === null || slur === null) return -1;
    return toneIndex(rung, slur[place.slur === 'start' ? 0 : 1]);
  };
}

/**
 * What stands in the way, when no tune of any take does: the first tone asked for without which there is one, and the
 * first rule, or pair of rules, in the order of `HARD_RULES`, without which it might stand.
 */
function whyNot(composer: Composer): Problem {
  const { options, rhythm } = composer;
  const can = (change: Partial<Composer>): boolean =>
    drawTune({ ...composer, ...change }, 1, noFamily, 0) !== null;
  const { fixed = [] } = options;
  const wish =
    fixed.find((one) => can({ options: { ...options, fixed: fixed.filter((each) => each !== one) } })) ??
    null;
  if (composer.canon !== null && can({ canon: null })) {
    return impossible(rhythm, options, { wish, rules: ['canon'] });
  }
  const singles = HARD_RULES.map((name) => [name]);
  const pairs = singles.flatMap(([a = ''], i) => HARD_RULES.slice(i + 1).map((b) => [a, b]));
  const rules =
    [...singles, ...pairs].find((names) => can({ tables: rungTables(options.rung, names) })) ?? [];
  return impossible(rhythm, options, { wish, rules });
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

/** A number that differs from rhyme to rhyme, so that the same seed does not give every rhyme the same form. */
function saltOf(rhythm: Rhythm): number {
  let salt = rhythm.metre.ticksPerBeat;
  for (const phrase of rhythm.phrases) {
    for (const note of phrase.notes) salt = mixed(salt, note.onset * 2 + (note.rest ? 1 : 0));
    for (const word of phrase.wordKeys)
      for (const letter of word) salt = mixed(salt, letter.codePointAt(0) ?? 0);
  }
  return salt;
}

/** Two integers into one of 32 bits, each bit of both counting. */
function mixed(a: number, b: number): number {
  let z = Math.imul((a ^ 0x9e3779b9) + Math.imul(b + 1, 0x85ebca6b), 0xc2b2ae35);
  z = Math.imul(z ^ (z >>> 15), 0x27d4eb2f);
  return (z ^ (z >>> 13)) >>> 0;
}
