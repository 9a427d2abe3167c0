/**
 * A simple second voice, note against note, on the rung's tones, all of it under the tune or all of it over it: the
 * cheapest of all, by the rules of second-costs.ts. Exact: each choice depends on the one before it only.
 * O(tones of the tune x tones of the rung squared).
 */
import { bestPath, FORBIDDEN, weave } from '../lattice.ts';
import type { SongWithParts } from '../parts.ts';
import { isTone, type Tone } from '../pitch.ts';
import { failed, made, type Outcome } from '../problem.ts';
import type { Song } from '../song.ts';
import { strengthAt, ticksPerBar, type Strength, type Ticks } from '../time.ts';
import { homeLetter } from './drone.ts';
import { fillBars, type PartSound } from './fill.ts';
import {
  movingRules,
  standingRules,
  SECOND_RULES,
  sumOf,
  type PairPlace,
  type SecondRule,
} from './second-costs.ts';
import { joinTies, toneKey, type Sound } from './sounds.ts';

/** A3 as a MIDI key number: no tune and no second voice goes below it. */
const LOWEST_KEY = 57;
/** D5: no second voice goes above it, or above the tune's own highest tone where that is higher. */
const HIGHEST_KEY = 74;

/** On which side of the tune the second voice sings. */
export type Side = 'under' | 'over';

/** One charge of the ledger. */
export interface SecondCharge {
  readonly rule: SecondRule;
  readonly cost: number;
  /** Index of the tone of the tune, from 0, ties joined. */
  readonly tone: number;
}

export interface SecondVoice {
  readonly side: Side;
  /** One for each tone of the tune. */
  readonly tones: readonly Tone[];
  readonly cost: number;
  readonly ledger: readonly SecondCharge[];
}

/** A tone of the tune with what the rules need to know of its place. */
export interface TuneTone {
  readonly sound: Sound;
  readonly place: PairPlace;
  /** True on the first tone of a phrase, where no motion is judged. */
  readonly first: boolean;
}

/** The tune as the rules see it. */
export function tuneTones(song: Song): readonly TuneTone[] {
  return song.phrases.flatMap((phrase) => {
    const sounds = joinTies(phrase.notes);
    return sounds.map((sound, i): TuneTone => {
      const place = {
        strength: strongest(song, sound),
        last: i === sounds.length - 1,
        closed: phrase.cadence === 'closed',
        home: homeLetter(song),
      };
      return { sound, place, first: i === 0 };
    });
  });
}

/** The strongest moment while a tone sounds: both voices stand on it, though they may have begun before. */
function strongest(song: Song, { onset, end }: Sound): Strength {
  const bar = ticksPerBar(song.metre);
  const { ticksPerBeat } = song.metre;
  const into = (at: Ticks): Ticks => (((at - song.upbeatTicks) % bar) + bar) % bar;
  let most = strengthAt(song.metre, into(onset));
  // felt beats lie where the bars' do
  const toNextBeat = (ticksPerBeat - (into(onset) % ticksPerBeat)) % ticksPerBeat;
  for (let at = onset + toNextBeat; at < end; at += ticksPerBeat) {
    const strength = strengthAt(song.metre, into(at));
    if (strength > most) most = strength;
  }
  return most;
}

/** Tones of the rung that a second voice may use beside a tone: never across it, not below A3, not above D5. */
export function tonesBeside(song: Song, sound: Sound, side: Side): readonly Tone[] {
  const highest = Math.max(HIGHEST_KEY, sound.key);
  return song.tones
    .split(' ')
    .filter(isTone)
    .filter((tone) => {
      const key = toneKey(song, tone);
      return side === 'under' ? key <= sound.key && key >= LOWEST_KEY : key >= sound.key && key <= highest;
    });
}

/** The cheapest second voice; null when the tune has a tone that its rung has not. Of equals the one under the tune. */
export function bestSecond(song: Song): SecondVoice | null {
  const under = bestOn(song, 'under');
  const over = bestOn(song, 'over');
  if (under === null || over === null) return under ?? over;
  return over.cost < under.cost ? over : under;
}

/** The cheapest second voice on one side; null when a tone of the tune has none there. Of equals the lower one early on. */
export function bestOn(song: Song, side: Side): SecondVoice | null {
  const tune = tuneTones(song);
  const tones = song.tones.split(' ').filter(isTone);
  const path = bestPath(
    weave({
      layers: tune.length,
      states: tones.length + 1,
      choices: tones.length,
      start: tones.length,
      edges: (layer, state, costs, nexts) => {
        const here = tune[layer];
        if (here === undefined) return;
        const allowed = tonesBeside(song, here.sound, side);
        tones.forEach((second, choice) => {
          const before = tones[state] ?? null;
          costs[choice] = allowed.includes(second)
            ? sumOf(rulesBroken(tune, layer, before, second))
            : FORBIDDEN;
          nexts[choice] = choice;
        });
      },
    }),
  );
  if (path === null) return null;
  const chosen = path.choices.map((choice) => tones[choice] ?? 'd');
  const ledger = chosen.flatMap((second, i) =>
    rulesBroken(tune, i, chosen[i - 1] ?? null, second).map((rule) => ({
      rule,
      cost: SECOND_RULES[rule],
      tone: i,
    })),
  );
  return { side, tones: chosen, cost: path.cost, ledger };
}

/** Rules that a tone of the second voice breaks after the one before it. */
export function rulesBroken(
  tune: readonly TuneTone[],
  index: number,
  before: Tone | null,
  second: Tone,
): readonly SecondRule[] {
  const here = tune[index];
  if (here === undefined) return [];
  const pair = { tune: here.sound.tone, second };
  const standing = standingRules(pair, here.place);
  const earlier = tune[index - 1];
  if (here.first || earlier === undefined || before === null) return standing;
  return [...standing, ...movingRules({ tune: earlier.sound.tone, second: before }, pair, here.place)];
}

/**
 * The song with its second voice on the same words. Problems: `no-part` (error) when the tune sings a tone that its
 * rung has not; `parts-clash` (warning) when a strong beat rubs all the same.
 */
export function addSecond(song: Song): Outcome<SongWithParts> {
  const second = bestSecond(song);
  if (second === null) {
    return failed({
      code: 'no-part',
      severity: 'error',
      message: `The tune sings tones that ${song.rung} has not, so its tones give no second voice.`,
    });
  }
  const sounds = joinHeld(tuneTones(song).map(({ sound }, i) => beside(sound, second.tones[i] ?? 'd')));
  const part = {
    kind: 'second',
    name: 'Second voice',
    instrument: 'voice',
    notes: fillBars(song, sounds),
  } as const;
  const rubbing = second.ledger.filter((charge) => charge.rule === 'rub-strong').length;
  const problem = {
    code: 'parts-clash',
    severity: 'warning',
    message: `The tones of ${song.rung} leave ${String(rubbing)} strong ${rubbing === 1 ? 'beat' : 'beats'} where the two voices rub.`,
  } as const;
  return made({ song, parts: [part], problems: rubbing === 0 ? [] : [problem] });
}

function beside({ onset, end, syllable, slur }: Sound, tone: Tone): PartSound {
  return { onset, end, tones: [tone], syllable, slur };
}

/** Under a slur of the tune a tone that stays is held, and needs no slur of its own. */
function joinHeld(sounds: readonly PartSound[]): readonly PartSound[] {
  const joined: PartSound[] = [];
  for (const sound of sounds) {
    const before = joined.at(-1);
    const stays = sound.slur === 'stop' && before?.slur === 'start' && before.tones[0] === sound.tones[0];
    if (before !== undefined && stays) joined[joined.length - 1] = { ...before, end: sound.end, slur: null };
    else joined.push(sound);
  }
  return joined;
}
