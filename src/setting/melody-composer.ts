/**
 * One attempt at a take: everything that is settled before the notes (slur, form, outline, octave), and what the search
 * is asked to do. Where no attempt succeeds, what stands in the way.
 */
import { bestPath, pathSampler, weightTable } from '../lattice.ts';
import type { Tone } from '../pitch.ts';
import type { Problem } from '../problem.ts';
import { seededRandom, type Random } from '../random.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';
import { canonPlan, type CanonPlan } from './canon-frame.ts';
import { mildFancy, strongFancy } from './fancy.ts';
import { noFamily, type Family } from './family.ts';
import { planForm } from './form.ts';
import { chooseKey, type Key } from './keys.ts';
import { rungTables, type RungTables } from './melody-model.ts';
import { placesOf, type PhrasePlaces } from './melody-places.ts';
import { HARD_RULES, impossible } from './melody-problems.ts';
import { pitchesOf } from './melody-song.ts';
import { toneIndex, tuneOf, type Given, type Tune, type TuneMeans } from './melody-tune.ts';
import type { MelodyOptions } from './melody.ts';
import { drawCompass, drawOutline } from './outline.ts';
import { drawSlurs, slurSpots, type SlurSpot } from './slur.ts';

interface KeyAndPitches {
  readonly key: Key;
  readonly pitches: ReadonlyMap<Tone, string>;
}

/** A rhythm and a wish, with all that is worked out once for all takes. */
export interface Composer {
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

export function composerFor(rhythm: Rhythm, options: MelodyOptions): Composer {
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
export function drawTune(composer: Composer, take: number, family: Family, attempt: number): Tune | null {
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

export function meansFor(composer: Composer, family: Family, take: number, random: Random): TuneMeans {
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

/**
 * What stands in the way, when no tune of any take does: the first tone asked for without which there is one, and the
 * first rule, or pair of rules, in the order of `HARD_RULES`, without which it might stand.
 */
export function whyNot(composer: Composer): Problem {
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
