/**
 * Movable-do tones and spelled pitches. A tone is a degree in an octave counted from do; a pitch is a note name
 * with its octave. Spelling is worked out from letters, never from a MIDI number, so F sharp stays F sharp.
 */

/** Solfa letters of the major scale, in scale order from do. */
export const SOLFA_LETTERS = ['d', 'r', 'm', 'f', 's', 'l', 't'] as const;
export type SolfaLetter = (typeof SOLFA_LETTERS)[number];

/** A solfa letter, with `,` for the octave below do and `'` for the octave above: `s,` `m` `d'`. */
export type Tone = SolfaLetter | `${SolfaLetter},` | `${SolfaLetter}'`;

/** Semitones of each degree above do: the major scale. */
const SEMITONES = [0, 2, 4, 5, 7, 9, 11] as const;
/** Semitones of the natural letters above C. */
const NATURALS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const LETTERS = 'CDEFGAB';

export function isTone(text: string): text is Tone {
  return /^[drmfslt][,']?$/.test(text);
}

/** Diatonic steps from do: `d` 0, `s` 4, `l,` -2, `d'` 7. */
export function toneStep(tone: Tone): number {
  const degree = SOLFA_LETTERS.indexOf(tone[0] as SolfaLetter);
  return degree + (tone[1] === ',' ? -7 : tone[1] === "'" ? 7 : 0);
}

/** Semitones from do: `d` 0, `s` 7, `l,` -3, `d'` 12. */
export function toneSemitones(tone: Tone): number {
  const step = toneStep(tone);
  const octave = Math.floor(step / 7);
  return (SEMITONES[step - 7 * octave] ?? 0) + 12 * octave;
}

/** A spelled pitch. `alter` is -1 for a flat, 1 for a sharp; octave 4 starts at middle C. */
export interface Pitch {
  readonly letter: 'C' | 'D' | 'E' | 'F' | 'G' | 'A' | 'B';
  readonly alter: -2 | -1 | 0 | 1 | 2;
  readonly octave: number;
}

/** Read a pitch name such as `D4`, `Bb3`, `F#4`; `♭` and `♯` are read too. Null when it is none. */
export function readPitch(name: string): Pitch | null {
  const match = /^([A-Ga-g])(bb|b|##|#|♭|♯)?(-?\d)$/.exec(name.trim());
  if (match === null) return null;
  const [, letter = '', sign = '', octave = ''] = match;
  const alter = ({ bb: -2, b: -1, '♭': -1, '#': 1, '♯': 1, '##': 2 } as const)[sign] ?? 0;
  return { letter: letter.toUpperCase() as Pitch['letter'], alter, octave: Number(octave) };
}

/** `F#4`, `Bb3`: the form used in JSON and on the command line. */
export function pitchName(pitch: Pitch): string {
  const sign = { '-2': 'bb', '-1': 'b', '0': '', '1': '#', '2': '##' }[String(pitch.alter)] ?? '';
  return `${pitch.letter}${sign}${String(pitch.octave)}`;
}

/** MIDI key number: C4 is 60, A4 is 69. */
export function midiNumber(pitch: Pitch): number {
  return 12 * (pitch.octave + 1) + (NATURALS[pitch.letter] ?? 0) + pitch.alter;
}

/**
 * The pitch of a tone when do is given, spelled in do's major scale.
 *
 * @example pitchName(pitchOf('m', readPitch('D4'))) // => 'F#4'
 */
export function pitchOf(tone: Tone, doPitch: Pitch): Pitch {
  const step = LETTERS.indexOf(doPitch.letter) + toneStep(tone);
  const octave = doPitch.octave + Math.floor(step / 7);
  const letter = LETTERS[((step % 7) + 7) % 7] as Pitch['letter'];
  const wanted = midiNumber(doPitch) + toneSemitones(tone);
  const alter = wanted - midiNumber({ letter, alter: 0, octave });
  return { letter, alter: alter as Pitch['alter'], octave };
}

/**
 * Sharps (positive) or flats (negative) of the major key on this do: the circle of fifths.
 *
 * @example keyFifths(readPitch('D4')) // => 2
 */
export function keyFifths(doPitch: Pitch): number {
  return ({ F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5 } as const)[doPitch.letter] + 7 * doPitch.alter;
}
