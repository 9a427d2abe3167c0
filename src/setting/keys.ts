/**
 * Voices and keys: which do suits a tone set and a class, and how fast. Comfortable ranges are common practice with
 * no one source; they only warn, and they give way to the teacher and to local policy.
 */
import { midiNumber, pitchName, pitchOf, readPitch, type Pitch, type Tone } from '../pitch.ts';
import type { Problem } from '../problem.ts';
import type { Rung } from '../rung.ts';

/** A class by age or grade. */
export interface VoiceBand {
  /** As typed: `K-1`. */
  readonly name: string;
  /** Comfortable range of the class, lowest and highest pitch. */
  readonly low: Pitch;
  readonly high: Pitch;
  /** Beats a minute: slowest, usual, fastest. */
  readonly tempoBpm: readonly [slowest: number, usual: number, fastest: number];
}

const at = (letter: Pitch['letter'], octave: number): Pitch => ({ letter, alter: 0, octave });

/** Youngest first. Tempo: measured tapping of children, best near 120 a minute and slower as they grow. */
export const VOICES: readonly VoiceBand[] = [
  { name: '3-5', low: at('D', 4), high: at('A', 4), tempoBpm: [100, 112, 126] },
  { name: 'K-1', low: at('D', 4), high: at('B', 4), tempoBpm: [100, 112, 126] },
  { name: '2-3', low: at('C', 4), high: at('D', 5), tempoBpm: [84, 100, 120] },
  { name: '4-5', low: at('B', 3), high: at('E', 5), tempoBpm: [72, 96, 120] },
  { name: '6+', low: at('A', 3), high: at('E', 5), tempoBpm: [60, 92, 132] },
];

/** The tempo of a song whose teacher names none: that of grades K-1, or of the band given. */
export function usualTempo(voice: VoiceBand | null): number {
  return voice?.tempoBpm[1] ?? 112;
}

/** No tune goes below this pitch (A3). */
const FLOOR: Pitch = at('A', 3);

/** Keys tried after the usual ones, easy signatures first. */
const OTHER_DO = ['D', 'C', 'F', 'Eb', 'E', 'G', 'A', 'Bb'];

export interface Key {
  readonly do: Pitch;
  readonly problems: readonly Problem[];
}

/**
 * The do for a song: the one asked for, else the rung's first usual do with which every tone lies in the range,
 * else another do that fits, else the usual do that strays least.
 *
 * `tones` are those that the song sings. Without a band, the youngest band that the rung fits is meant. Problems:
 * `out-of-range` (warning) names the tones that lie outside, or says that do was raised to keep off the low voice.
 */
export function chooseKey(
  rung: Rung,
  tones: readonly Tone[],
  options: { readonly do: Pitch | null; readonly voice: VoiceBand | null },
): Key {
  if (options.do !== null) {
    const raised = raisedToFloor(tones, options.do);
    const problems = raised === options.do ? [] : [raisedProblem(options.do, raised)];
    const voice = options.voice ?? VOICES.at(-1) ?? null;
    return { do: raised, problems: [...problems, ...rangeProblems(tones, raised, voice)] };
  }
  const bands = options.voice === null ? VOICES.slice(1) : [options.voice];
  const usual = rung.usualDo.map(middleDo);
  for (const band of bands) {
    const fits = usual.find((d) => strayed(rung.tones, d, band) === 0);
    if (fits !== undefined) return { do: fits, problems: [] };
  }
  const band = bands.at(-1) ?? null;
  const others = [...usual, ...OTHER_DO.map(middleDo), ...OTHER_DO.map((name) => readDo(name, 3))];
  const byStray = (sung: readonly Tone[]): Pitch | undefined =>
    others.find((d) => strayed(sung, d, band) === 0 && aboveFloor(sung, d));
  const chosen = byStray(rung.tones) ?? byStray(tones) ?? leastStrayed(tones, usual, band);
  return { do: chosen, problems: rangeProblems(tones, chosen, band) };
}

/** `out-of-range` when tones of the song lie outside the band. */
export function rangeProblems(
  tones: readonly Tone[],
  doPitch: Pitch,
  voice: VoiceBand | null,
): readonly Problem[] {
  if (voice === null) return [];
  const outside = tones.filter((tone) => strayed([tone], doPitch, voice) > 0);
  if (outside.length === 0) return [];
  const list = outside.map((tone) => `${tone} (${pitchName(pitchOf(tone, doPitch))})`).join(', ');
  return [
    {
      code: 'out-of-range',
      severity: 'warning',
      message:
        `With do on ${pitchName(doPitch)}, ${list} ${outside.length === 1 ? 'lies' : 'lie'} outside the comfortable ` +
        `range ${pitchName(voice.low)} to ${pitchName(voice.high)} (${voice.name}).`,
      hint: 'Take another do, or sing it lightly and leave out what does not come easily.',
    },
  ];
}

/** How many semitones the tones lie outside the band, all together. */
function strayed(tones: readonly Tone[], doPitch: Pitch, voice: VoiceBand | null): number {
  if (voice === null) return 0;
  const [low, high] = [midiNumber(voice.low), midiNumber(voice.high)];
  return tones.reduce((sum, tone) => {
    const key = midiNumber(pitchOf(tone, doPitch));
    return sum + Math.max(0, low - key) + Math.max(0, key - high);
  }, 0);
}

function leastStrayed(tones: readonly Tone[], candidates: readonly Pitch[], voice: VoiceBand | null): Pitch {
  const sung = candidates.map((d) => raisedToFloor(tones, d));
  const costs = sung.map((d) => strayed(tones, d, voice));
  return sung[costs.indexOf(Math.min(...costs))] ?? middleDo('D');
}

function aboveFloor(tones: readonly Tone[], doPitch: Pitch): boolean {
  return tones.every((tone) => midiNumber(pitchOf(tone, doPitch)) >= midiNumber(FLOOR));
}

function raisedToFloor(tones: readonly Tone[], doPitch: Pitch): Pitch {
  let raised = doPitch;
  while (!aboveFloor(tones, raised)) raised = { ...raised, octave: raised.octave + 1 };
  return raised;
}

function raisedProblem(asked: Pitch, raised: Pitch): Problem {
  return {
    code: 'out-of-range',
    severity: 'warning',
    message: `Do on ${pitchName(asked)} would take the tune below A3; do is on ${pitchName(raised)} instead.`,
    hint: 'A tune for children stays at or above A3.',
  };
}

function middleDo(name: string): Pitch {
  return readDo(name, 4);
}

function readDo(name: string, octave: number): Pitch {
  const pitch = readPitch(`${name}${String(octave)}`);
  if (pitch === null) throw new RangeError(`${name} is no pitch name.`);
  return pitch;
}
