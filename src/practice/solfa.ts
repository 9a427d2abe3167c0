/** Solfa as it is sung and as it is written on the leader's page. */
import { midiNumber, pitchOf, readPitch, toneStep, type SolfaLetter, type Tone } from '../pitch.ts';
import type { Vowel } from '../lesson.ts';
import type { Song } from '../song.ts';

/** What each letter is sung as. */
const SUNG: Readonly<Record<SolfaLetter, string>> = {
  d: 'do',
  r: 're',
  m: 'mi',
  f: 'fa',
  s: 'so',
  l: 'la',
  t: 'ti',
};

/** @example sungName("d'") // => 'do' */
export function sungName(tone: Tone): string {
  return SUNG[tone[0] as SolfaLetter];
}

/** The vowel of the name. @example sungVowel('m') // => 'i' */
export function sungVowel(tone: Tone): Vowel {
  return sungName(tone).slice(1) as Vowel;
}

/** Tones with spaces between: `s m l`. */
export function toneRow(tones: readonly Tone[]): string {
  return tones.join(' ');
}

/** From low to high, each once. */
export function sortedTones(tones: readonly Tone[]): readonly Tone[] {
  return [...new Set(tones)].sort((a, b) => toneStep(a) - toneStep(b));
}

/** The chord of rest upwards: do mi so, or low la do mi where la is home. */
export function homeChord(home: Tone): readonly Tone[] {
  return home.startsWith('l') ? ['l,', 'd', 'm'] : ['d', 'm', 's'];
}

/** MIDI key number of a tone in the song's key. */
export function keyNumber(song: Pick<Song, 'do'>, tone: Tone): number {
  const pitch = readPitch(song.do);
  if (pitch === null) throw new RangeError(`"${song.do}" is no pitch for do.`);
  return midiNumber(pitchOf(tone, pitch));
}
