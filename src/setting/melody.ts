/**
 * Rhythm + Rung -> Song. In stages: the slur's place and the form first, drawn by seed and take from the evidence of
 * the words; then the phrases in order of singing. Each phrase is exact given the form and the phrases before it:
 * take 1 has the cheapest tones of all, every other take is an exact draw from the same costs.
 */
import { bestPath, pathSampler, weightTable, type Woven } from '../lattice.ts';
import { pitchName, pitchOf, type Pitch, type Tone } from '../pitch.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import { seededRandom, type Random } from '../random.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import { makeSong, type Song, type SongNote, type SongPhrase } from '../song.ts';
import { TICKS_PER_QUARTER } from '../time.ts';
import { cadenceOf } from './cadence.ts';
import { counterpart, draw, planForm, type PhrasePlan } from './form.ts';
import { chooseKey, usualTempo, type VoiceBand } from './keys.ts';
import type { Moment } from './melody-costs.ts';
import { phraseLattice, rungTables, type PhraseTask, type RungTables } from './melody-model.ts';
import { placesOf, type PhrasePlaces } from './melody-places.ts';
import { slurredNotes, slurSpots, spotsForReturns } from './slur.ts';

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
  /** The same rhyme on an easier rung, whose notes are kept where the rung allows; or null. */
  readonly family: Song | null;
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

/** The song of one take. Problems: `no-melody`, `new-tone-missing`, `few-takes`, `out-of-range`. */
export function setMelody(rhythm: Rhythm, options: MelodyOptions): Outcome<Song> {
  return setTakes(rhythm, options, options.take, options.take)[0] ?? failed(noMelody(options.rung));
}

/** Songs of the takes `from` to `to`, as `setMelody` gives them one by one, but worked out in one go. */
export function setTakes(
  rhythm: Rhythm,
  options: MelodyOptions,
  from: number,
  to: number,
): readonly Outcome<Song>[] {
  const composer = makeComposer(rhythm, options);
  const seen = new Set<string>();
  const songs: Outcome<Song>[] = [];
  for (let take = 1; take <= to; take += 1) {
    let tune: Tune | null = null;
    for (let attempt = 0; attempt < 60; attempt += 1) {
      tune = composer.tune(take, attempt);
      if (tune === null || !seen.has(tune.key)) break;
    }
    if (tune === null) return [...songs, failed(noMelody(options.rung))];
    const again = seen.has(tune.key);
    seen.add(tune.key);
    if (take >= from) songs.push(composer.song(take, tune, again ? [fewTakes(seen.size)] : []));
  }
  return songs;
}

/** The tones of a whole song, with the plan and the places they stand on. */
interface Tune {
  readonly phrases: readonly PhrasePlaces[];
  readonly plans: readonly PhrasePlan[];
  /** Tone indexes, one for each place of each phrase. */
  readonly tones: readonly (readonly number[])[];
  readonly newToneSounds: boolean;
  /** The same for two tunes only when they sound the same. */
  readonly key: string;
}

interface Composer {
  readonly tune: (take: number, attempt: number) => Tune | null;
  readonly song: (take: number, tune: Tune, problems: readonly Problem[]) => Outcome<Song>;
}

function makeComposer(rhythm: Rhythm, options: MelodyOptions): Composer {
  const tables = rungTables(options.rung);
  const weightOf = weightTable();
  const salt = saltOf(rhythm);
  return {
    tune(take, attempt) {
      const random = seededRandom(mixed(mixed(mixed(options.seed, take), attempt), salt));
      const phrases = placesOf(rhythm, slurNotes(rhythm, options, random));
      const plans = planForm(phrases, random, {
        fewTones: options.rung.tones.length <= 4,
        letters: options.family?.phrases.map((phrase) => phrase.form) ?? null,
      });
      const solve = (woven: Woven): readonly number[] | null =>
        (take === 1 ? bestPath(woven) : (pathSampler(woven, weightOf)?.(random) ?? null))?.choices ?? null;
      return tuneOf(rhythm, phrases, plans, { tables, options, random, solve });
    },
    song: (take, tune, problems) => songOf(rhythm, options, take, tune, problems),
  };
}

interface Means {
  readonly tables: RungTables;
  readonly options: MelodyOptions;
  readonly random: Random;
  readonly solve: (woven: Woven) => readonly number[] | null;
}

/** Phrase by phrase: the plan's hold on earlier phrases first, loosened only where the rules leave no way. */
function tuneOf(
  rhythm: Rhythm,
  phrases: readonly PhrasePlaces[],
  plans: readonly PhrasePlan[],
  means: Means,
): Tune | null {
  const { rung } = means.options;
  const motif =
    rung.newTone === null || rung.closes.includes(rung.newTone) ? -1 : rung.tones.indexOf(rung.newTone);
  const fancies = new Map<string, readonly number[]>();
  const tones: (readonly number[])[] = [];
  let motifDue = motif >= 0;
  for (const i of phrases.keys()) {
    const plan = plans[i];
    if (plan === undefined) return null;
    const tasks: PhraseTask[] = [];
    for (const hold of plan.kind === 'copy' || plan.kind === 'tail'
      ? (['firm', 'loose'] as const)
      : (['loose'] as const)) {
      for (const due of motifDue ? (['beat', 'any', 'none'] as const) : (['none'] as const)) {
        tasks.push(taskOf(i, plan, hold, due));
      }
    }
    let found: readonly number[] | null = null;
    for (const task of tasks) {
      found = means.solve(phraseLattice(task, means.tables));
      if (found === null) continue;
      if (task.motif >= 0) motifDue = false;
      break;
    }
    if (found === null) return null;
    tones.push(found);
  }
  const newToneSounds = motif < 0 || !motifDue || tones.some((phrase) => phrase.includes(motif));
  const key = phrases
    .map(({ places }, i) => places.map((p, k) => `${String(p.onset)}:${String(tones[i]?.[k])}`).join(' '))
    .join('|');
  return { phrases, plans, tones, newToneSounds, key };

  function taskOf(
    i: number,
    plan: PhrasePlan,
    hold: 'firm' | 'loose',
    due: 'beat' | 'any' | 'none',
  ): PhraseTask {
    const places = phrases[i]?.places ?? [];
    const source = plan.source === null ? null : (phrases[plan.source]?.places ?? null);
    const sourceTones = plan.source === null ? [] : (tones[plan.source] ?? []);
    const memory = source === null ? null : places.map((place) => counterpart(source, place));
    const held = hold === 'firm' ? places.length - plan.tail : 0;
    const asked = (means.options.fixed ?? []).filter((f) => f.phrase === i);
    const fixed = places.map((place, k) => {
      const given = asked.find((f) => (f.sound < 0 ? places.length + f.sound : f.sound) === k);
      if (given !== undefined) return rung.tones.indexOf(given.tone);
      if (place.slur !== null && rung.slur !== null)
        return rung.tones.indexOf(rung.slur[place.slur === 'start' ? 0 : 1]);
      return k < held ? (sourceTones[memory?.[k] ?? -1] ?? -1) : -1;
    });
    const moments = places.map((place, k): Moment => {
      const at = memory?.[k] ?? -1;
      return {
        rung,
        place,
        ticksPerBeat: rhythm.metre.ticksPerBeat,
        first: k === 0,
        last: k === places.length - 1,
        closes: plan.closes,
        asks: plan.asks,
        remembered: sourceTones[at] ?? -1,
        memoryCost: source?.[at]?.at === place.at ? 250 : 120,
        family: -1,
        fancy: fancyAt(plan.letter, place),
      };
    });
    return {
      places,
      moments,
      fixed,
      before: tones[i - 1]?.at(-1) ?? -1,
      motif: due === 'none' ? -1 : motif,
      motifOnBeat: due === 'beat',
    };
  }

  /** The seed's leaning at a beat (or between beats) of a section: the same wherever the section comes back. */
  function fancyAt(letter: string, place: PhrasePlaces['places'][number]): readonly number[] {
    const slot = `${letter}${String(Math.floor(place.at / rhythm.metre.ticksPerBeat))}${place.strength > 0 ? '' : '+'}`;
    let fancy = fancies.get(slot);
    if (fancy === undefined) {
      fancy = rung.tones.map(() => (means.random() % 81) - 40);
      fancies.set(slot, fancy);
    }
    return fancy;
  }
}

/** Notes of every phrase with the rung's slur in them, at a place that the seed chooses among those that can bear it. */
function slurNotes(
  rhythm: Rhythm,
  options: MelodyOptions,
  random: Random,
): ReturnType<typeof slurredNotes>[] {
  const spots = options.slur && options.rung.slur !== null ? slurSpots(rhythm) : [];
  const chosen =
    spots.length === 0
      ? undefined
      : spots[
          draw(
            random,
            spots.map(() => 1),
          )
        ];
  const all = chosen === undefined ? [] : spotsForReturns(rhythm, chosen, spots);
  return rhythm.phrases.map((phrase, i) =>
    slurredNotes(phrase, all.find((spot) => spot.phrase === i)?.note ?? null, rhythm.metre.ticksPerBeat),
  );
}

function songOf(
  rhythm: Rhythm,
  options: MelodyOptions,
  take: number,
  tune: Tune,
  found: readonly Problem[],
): Outcome<Song> {
  const { rung } = options;
  const sung = rung.tones.filter((_, tone) => tune.tones.some((phrase) => phrase.includes(tone)));
  const key = chooseKey(rung, sung, { do: options.do, voice: options.voice });
  const problems = [...found, ...(tune.newToneSounds ? [] : [newToneMissing(rung)]), ...key.problems];
  const pitches = new Map(rung.tones.map((tone) => [tone, pitchName(pitchOf(tone, key.do))]));
  const names = formNames(tune);
  const phrases = tune.phrases.map(({ phrase, notes, places }, i): SongPhrase => {
    const tones: (Tone | null)[] = notes.map(() => null);
    places.forEach((place, k) => {
      const tone = rung.tones[tune.tones[i]?.[k] ?? -1] ?? null;
      for (let note = place.firstNote; note <= place.lastNote; note += 1) tones[note] = tone;
    });
    const last = places.at(-1);
    const final = last === undefined ? null : (tones[last.firstNote] ?? null);
    return {
      line: phrase.line,
      stanza: phrase.stanza,
      text: phrase.text,
      form: names[i] ?? 'a',
      cadence:
        last === undefined || final === null
          ? 'open'
          : cadenceOf(rung, final, last, {
              closesStrophe: tune.plans[i]?.closes ?? false,
              ticksPerBeat: rhythm.metre.ticksPerBeat,
            }),
      notes: notes.map((note, k): SongNote => {
        const tone = tones[k] ?? null;
        return {
          onset: note.onset,
          duration: note.duration,
          tone,
          pitch: tone === null ? null : (pitches.get(tone) ?? null),
          syllable:
            note.syllable === null
              ? null
              : { text: note.syllable.text, word: note.syllable.word, division: note.syllable.division },
          slur: note.slur,
          tie: note.tie,
          breath: note.rest ? null : note.breath,
        };
      }),
    };
  });
  const song = makeSong({
    title: rhythm.title,
    rung: rung.name,
    tones: rung.tones.join(' '),
    newTone: rung.newTone,
    home: rung.home,
    seed: options.seed,
    take,
    do: pitchName(key.do),
    tempoBpm: options.tempoBpm ?? usualTempo(options.voice),
    ticksPerQuarter: TICKS_PER_QUARTER,
    metre: rhythm.metre,
    upbeatTicks: rhythm.upbeatTicks,
    phrases,
    problems,
  });
  return made(song, problems);
}

/** `a`, `b` ... by the plan, with a prime for each changed version of a section that has come before. */
function formNames(tune: Tune): readonly string[] {
  const versions = new Map<string, string[]>();
  return tune.plans.map((plan, i) => {
    const places = tune.phrases[i]?.places ?? [];
    const outline = places
      .filter((place) => place.strength > 0)
      .map((place) => `${String(place.at)}:${String(tune.tones[i]?.[places.indexOf(place)])}`)
      .join(' ');
    const known = versions.get(plan.letter) ?? [];
    versions.set(plan.letter, known);
    if (!known.includes(outline)) known.push(outline);
    return plan.letter + "'".repeat(known.indexOf(outline));
  });
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

function noMelody(rung: Rung): Problem {
  return {
    code: 'no-melody',
    severity: 'error',
    message: `No tune on ${rung.name} keeps every rule with this rhythm and the tones asked for.`,
    hint: 'Take away a tone that was fixed, or sing it on another rung.',
  };
}

function newToneMissing(rung: Rung): Problem {
  return {
    code: 'new-tone-missing',
    severity: 'warning',
    message: `The rhythm leaves no room for a clear motif with ${rung.newTone ?? ''}, the new tone of ${rung.name}.`,
    hint: 'A longer rhyme, or a line with an empty beat less, gives it room.',
  };
}

function fewTakes(count: number): Problem {
  return {
    code: 'few-takes',
    severity: 'note',
    message: `Only ${String(count)} different songs were found on this rung; this take repeats one of them.`,
  };
}
