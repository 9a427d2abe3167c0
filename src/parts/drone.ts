/**
 * Drones: home and its fifth under the whole tune, or, where the tune does not bear that, the chords of home and of
 * its fifth bar by bar.
 *
 * A drone suits a tune of five tones except where the second degree stands on a strong beat, goes on over several
 * beats, or ends a phrase; once the fourth or the leading tone fall on strong beats, two chords are wanted. Home stands
 * on the strong beats, level with or below the lowest tone of the tune (university course sheet, Education 3877;
 * Cribari and Layton, "The Elemental Style", 2019; the rest common practice).
 */
import { toneSemitones, type SolfaLetter, type Tone } from '../pitch.ts';
import type { SongWithParts } from '../parts.ts';
import type { Problem } from '../problem.ts';
import type { Song } from '../song.ts';
import { beatsPerBar, ticksPerBar } from '../time.ts';
import { chordsByBar, type Chord } from './drone-chords.ts';
import { fillBars, type PartSound } from './fill.ts';
import { beatsOf, joinTies, songEnd, soundAt, soundsOf, toneKey } from './sounds.ts';

export const DRONE_FORMS = ['chord', 'broken', 'level', 'crossover'] as const;
/**
 * `chord`: both tones together; `broken`: home, then the fifth; `level`: the chord low, then high; `crossover`: home,
 * fifth, upper home, fifth.
 */
export type DroneForm = (typeof DRONE_FORMS)[number];

/** Letters that a drone on this home does not bear on strong beats: the second degree, the fourth, and ti under do. */
const UNBORNE: Readonly<Record<'d' | 'l', readonly SolfaLetter[]>> = {
  d: ['r', 'f', 't'],
  l: ['t', 'r', 'f'],
};
/** The second degree, which it does not bear for long, nor at the end of a phrase. */
const SECOND: Readonly<Record<'d' | 'l', SolfaLetter>> = { d: 'r', l: 't' };

/** Where and why a drone does not fit. */
export interface DroneClash {
  readonly bar: number;
  readonly beat: number;
  readonly tone: Tone;
  readonly why: 'strong-beat' | 'goes-on' | 'phrase-end';
}

export function homeLetter(song: Pick<Song, 'home'>): 'd' | 'l' {
  return song.home.startsWith('l') ? 'l' : 'd';
}

/** Every place where the tune rubs against a drone on home and fifth, in order; empty when the drone fits. */
export function droneClashes(song: Song): readonly DroneClash[] {
  const home = homeLetter(song);
  const sounds = soundsOf(song);
  const beats = beatsOf(song);
  const letterAt = (at: number): Tone | null => soundAt(sounds, at)?.tone ?? null;
  const clashes: DroneClash[] = [];
  beats.forEach(({ at, bar, beat, strength }, i) => {
    const tone = letterAt(at);
    if (tone === null) return;
    const letter = tone[0] as SolfaLetter;
    if (strength >= 2 && UNBORNE[home].includes(letter))
      clashes.push({ bar, beat, tone, why: 'strong-beat' });
    const next = beats[i + 1];
    const goesOn = next !== undefined && letterAt(next.at)?.startsWith(letter) === true;
    if (strength < 2 && letter === SECOND[home] && goesOn) clashes.push({ bar, beat, tone, why: 'goes-on' });
  });
  for (const phrase of song.phrases) {
    const last = joinTies(phrase.notes).at(-1);
    if (last?.tone.startsWith(SECOND[home]) !== true) continue;
    const place = beats.findLast((beat) => beat.at <= last.onset);
    if (place !== undefined)
      clashes.push({ bar: place.bar, beat: place.beat, tone: last.tone, why: 'phrase-end' });
  }
  return clashes;
}

/**
 * The song with a drone. Where `droneClashes` finds any, the chords of home and fifth change by bar instead, and a
 * warning `drone-changed` says why.
 */
export function addDrone(song: Song, form: DroneForm): SongWithParts {
  const clashes = droneClashes(song);
  const bars = barCount(song);
  const chords = clashes.length === 0 ? Array<Chord>(bars).fill('home') : chordsByBar(song);
  const sounds = chords.flatMap((chord, i) => barSounds(song, form, tonesOf(song, chord), i));
  const end = songEnd(song);
  const notes = fillBars(
    song,
    sounds.filter((sound) => sound.onset < end),
  );
  const name = clashes.length === 0 ? 'Drone' : 'Two chords';
  return {
    song,
    parts: [{ kind: 'drone', name, instrument: 'mallet', notes }],
    problems: clashes.length === 0 ? [] : [changed(song, clashes)],
  };
}

/** Bars after the upbeat bar, the last one counted though it may be short. */
function barCount(song: Song): number {
  return Math.ceil((songEnd(song) - song.upbeatTicks) / ticksPerBar(song.metre));
}

/** Root and fifth of a chord, from low to high; for the chord of the fifth the root lies a fourth below home. */
export function tonesOf(song: Song, chord: Chord): readonly [Tone, Tone] {
  if (homeLetter(song) === 'l') return chord === 'home' ? ['l,', 'm'] : ['m,', 't,'];
  const lowest = Math.min(...soundsOf(song).map((sound) => sound.key));
  const low = toneKey(song, 'd') > lowest;
  if (chord === 'fifth') return ['s,', 'r'];
  return low ? ['d,', 's,'] : ['d', 's'];
}

/** What each beat of a bar plays; bars of three beats lean on the first. */
function barSounds(
  song: Song,
  form: DroneForm,
  [root, fifth]: readonly [Tone, Tone],
  bar: number,
): readonly PartSound[] {
  const beats = beatsPerBar(song.metre);
  const beat = song.metre.ticksPerBeat;
  const start = song.upbeatTicks + bar * ticksPerBar(song.metre);
  const up = (tone: Tone): Tone => higher(tone);
  const hit = (index: number, length: number, ...tones: Tone[]): PartSound => ({
    onset: start + index * beat,
    end: start + (index + length) * beat,
    tones: [...tones].sort((a, b) => toneSemitones(a) - toneSemitones(b)),
    syllable: null,
    slur: null,
  });
  const places = Array.from({ length: beats }, (_, i) => i);
  switch (form) {
    case 'chord':
      return beats === 4 ? [hit(0, 2, root, fifth), hit(2, 2, root, fifth)] : [hit(0, beats, root, fifth)];
    case 'broken':
      return places.map((i) => hit(i, 1, isLow(i, beats) ? root : fifth));
    case 'level':
      return places.map((i) => (isLow(i, beats) ? hit(i, 1, root, fifth) : hit(i, 1, up(root), up(fifth))));
    case 'crossover': {
      const cycle = [root, fifth, up(root), fifth];
      const from = beats === 2 && bar % 2 === 1 ? 2 : 0;
      return places.map((i) => hit(i, 1, cycle[(from + i) % 4] ?? root));
    }
  }
}

/** Beats that home takes: every other one in two and four, the first in three. */
function isLow(index: number, beats: number): boolean {
  return beats === 3 ? index === 0 : index % 2 === 0;
}

/** The tone an octave higher, as far as letters go. */
function higher(tone: Tone): Tone {
  const letter = tone[0] as SolfaLetter;
  return tone.endsWith(',') ? letter : `${letter}'`;
}

const WHY: Readonly<Record<DroneClash['why'], string>> = {
  'strong-beat': 'on the strong beat of',
  'goes-on': 'over several beats from',
  'phrase-end': 'at the end of a phrase in',
};

function changed(song: Song, clashes: readonly DroneClash[]): Problem {
  const places = clashes.slice(0, 4).map(({ tone, why, bar }) => `${tone} ${WHY[why]} bar ${String(bar)}`);
  const more = clashes.length > 4 ? ` and ${String(clashes.length - 4)} more` : '';
  const [home, fifth] = homeLetter(song) === 'd' ? ['do', 'so'] : ['la', 'mi'];
  return {
    code: 'drone-changed',
    severity: 'warning',
    message:
      `A drone on ${home} rubs against the tune: ${places.join(', ')}${more}. ` +
      `It is changed to two chords, on ${home} and on ${fifth}, bar by bar.`,
  };
}
