/**
 * What sounds at each moment, worked out tick by tick from the song record alone: the ground of the independent checks.
 * Uses nothing of src but types and the pitch table.
 */
import type { Part } from '../../src/parts.ts';
import { midiNumber, readPitch } from '../../src/pitch.ts';
import type { Song } from '../../src/song.ts';

export interface Moment {
  readonly tone: string;
  readonly key: number;
}

export function keyOf(name: string): number {
  const pitch = readPitch(name);
  if (pitch === null) throw new Error(name);
  return midiNumber(pitch);
}

export function songAt(song: Song, at: number): Moment | null {
  for (const phrase of song.phrases) {
    for (const note of phrase.notes) {
      if (at >= note.onset && at < note.onset + note.duration) {
        return note.tone === null || note.pitch === null ? null : { tone: note.tone, key: keyOf(note.pitch) };
      }
    }
  }
  return null;
}

export function partAt(part: Part, at: number): readonly Moment[] {
  const note = part.notes.find((each) => at >= each.onset && at < each.onset + each.duration);
  return note === undefined ? [] : note.tones.map((tone, i) => ({ tone, key: keyOf(note.pitches[i] ?? '') }));
}

/** Felt beats from bar 1 on: tick, bar, strong (first of the bar, middle of four). */
export function beats(song: Song, end: number): { at: number; bar: number; beat: number; strong: boolean }[] {
  const beat = song.metre.beatType === 8 ? 720 : 480;
  const bar = (song.metre.beats * 1920) / song.metre.beatType;
  const found = [];
  for (let at = 0; at < end; at++) {
    const from = at - song.upbeatTicks;
    const into = ((from % bar) + bar) % bar;
    if (into % beat !== 0) continue;
    const strong = into === 0 || (bar / beat === 4 && into === bar / 2);
    found.push({ at, bar: Math.floor(from / bar) + 1, beat: into / beat + 1, strong });
  }
  return found;
}

export function endOf(song: Song): number {
  return song.phrases
    .flatMap((p) => p.notes)
    .reduce((end, note) => Math.max(end, note.onset + note.duration), 0);
}

/**
 * Semitones of the intervals that may stand on strong beats in two-part singing, octaves taken away: unison, thirds,
 * fourth, fifth, sixths (common practice; the stated table of the brief for canons).
 */
const FITS = new Set([0, 3, 4, 5, 7, 8, 9]);

export function clash(a: number, b: number): boolean {
  return !FITS.has(Math.abs(a - b) % 12);
}

/** A part fills the song's bars: no gap, no overlap, no note over a bar line. */
export function faultsOf(song: Song, part: Part): string[] {
  const faults: string[] = [];
  const bar = (song.metre.beats * 1920) / song.metre.beatType;
  let at = 0;
  let tied: string | null = null;
  for (const note of part.notes) {
    if (note.onset !== at) faults.push(`gap at ${String(at)}`);
    at += note.duration;
    const barOf = (tick: number): number => Math.floor((tick - song.upbeatTicks) / bar);
    if (barOf(note.onset) !== barOf(note.onset + note.duration - 1))
      faults.push(`bar line in ${String(note.onset)}`);
    if (note.tones.length !== note.pitches.length) faults.push(`pitches at ${String(note.onset)}`);
    const goesOn = note.tie === 'stop' || note.tie === 'both';
    if (goesOn !== (tied !== null) || (goesOn && tied !== note.pitches.join()))
      faults.push(`tie at ${String(note.onset)}`);
    tied = note.tie === 'start' || note.tie === 'both' ? note.pitches.join() : null;
    if (note.tones.length === 0 && (note.syllable !== null || note.slur !== null))
      faults.push('a rest sings');
  }
  if (at !== endOf(song)) faults.push(`ends at ${String(at)}`);
  return faults;
}
