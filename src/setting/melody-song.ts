/**
 * Tune -> Song: pitches on the chosen do, form letters, cadences, and the notes as they will be printed.
 */
import { pitchName, pitchOf, type Tone } from '../pitch.ts';
import type { Problem } from '../problem.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import { makeSong, type Song, type SongNote, type SongPhrase } from '../song.ts';
import { TICKS_PER_QUARTER } from '../time.ts';
import { cadenceOf } from './cadence.ts';
import type { Key } from './keys.ts';
import type { PhrasePlaces } from './melody-places.ts';
import type { Tune } from './melody-tune.ts';

export interface SongFacts {
  readonly rung: Rung;
  readonly key: Key;
  readonly tempoBpm: number;
  readonly seed: number;
  readonly take: number;
  readonly problems: readonly Problem[];
  /** Pitch name of each tone of the rung. */
  readonly pitches: ReadonlyMap<Tone, string>;
}

/** The tones of the rung that a tune sings, from low to high. */
export function tonesSung(tune: Tune, rung: Rung): readonly Tone[] {
  return rung.tones.filter((_, tone) => tune.tones.some((phrase) => phrase.includes(tone)));
}

/** The pitch names of a rung's tones on a do. */
export function pitchesOf(rung: Rung, key: Key): ReadonlyMap<Tone, string> {
  return new Map(rung.tones.map((tone) => [tone, pitchName(pitchOf(tone, key.do))]));
}

export function songOf(rhythm: Rhythm, tune: Tune, facts: SongFacts): Song {
  const { rung, key, pitches } = facts;
  const names = formNames(tune);
  const phrases = tune.phrases.map(({ phrase, notes, places }, i): SongPhrase => {
    const tones = noteTones(notes.length, places, tune.tones[i] ?? [], rung);
    const last = places.at(-1);
    const final = last === undefined ? null : (tones[last.firstNote] ?? null);
    const options = {
      closesStrophe: tune.plans[i]?.closes ?? false,
      ticksPerBeat: rhythm.metre.ticksPerBeat,
    };
    return {
      line: phrase.line,
      stanza: phrase.stanza,
      text: phrase.text,
      form: names[i] ?? 'a',
      cadence: last === undefined || final === null ? 'open' : cadenceOf(rung, final, last, options),
      notes: notes.map((note, k): SongNote => {
        const tone = tones[k] ?? null;
        const { onset, duration, slur, tie } = note;
        return {
          onset,
          duration,
          tone,
          pitch: tone === null ? null : (pitches.get(tone) ?? null),
          syllable: note.syllable === null ? null : sungSyllable(note.syllable),
          slur,
          tie,
          breath: note.rest ? null : note.breath,
        };
      }),
    };
  });
  return makeSong({
    title: rhythm.title,
    rung: rung.name,
    tones: rung.tones.join(' '),
    newTone: rung.newTone,
    home: rung.home,
    seed: facts.seed,
    take: facts.take,
    do: pitchName(key.do),
    tempoBpm: facts.tempoBpm,
    ticksPerQuarter: TICKS_PER_QUARTER,
    metre: rhythm.metre,
    upbeatTicks: rhythm.upbeatTicks,
    phrases,
    problems: facts.problems,
  });
}

/** The tone of every note, ties included; null for rests. */
function noteTones(
  count: number,
  places: PhrasePlaces['places'],
  chosen: readonly number[],
  rung: Rung,
): readonly (Tone | null)[] {
  const tones: (Tone | null)[] = Array.from({ length: count }, () => null);
  places.forEach((place, k) => {
    tones.fill(rung.tones[chosen[k] ?? -1] ?? null, place.firstNote, place.lastNote + 1);
  });
  return tones;
}

function sungSyllable({ text, word, division }: NonNullable<SongNote['syllable']>): SongNote['syllable'] {
  return { text, word, division };
}

/** `a`, `b` ... by the plan, with a prime for each changed version of a section that has come before. */
function formNames(tune: Tune): readonly string[] {
  const versions = new Map<string, string[]>();
  return tune.plans.map((plan, i) => {
    const tones = tune.tones[i] ?? [];
    const onBeats = (tune.phrases[i]?.places ?? [])
      .map((place, k) => (place.strength > 0 ? `${String(place.at)}:${String(tones[k])}` : ''))
      .join(' ');
    const version = `${onBeats} ${String(tones.at(-1))}`;
    const known = versions.get(plan.letter) ?? [];
    versions.set(plan.letter, known);
    if (!known.includes(version)) known.push(version);
    return plan.letter + "'".repeat(known.indexOf(version));
  });
}
