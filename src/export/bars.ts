/**
 * Where in its bar a moment of a song falls. Shared by the exporters that draw bar lines.
 */
import type { Song, SongNote } from '../song.ts';
import { ticksPerBar, type Ticks } from '../time.ts';

/** Ticks from the last bar line to this onset: 0 on a bar line, less than a bar. An upbeat stands at the end of its bar. */
export function ticksIntoBar(song: Song, onset: Ticks): Ticks {
  const bar = ticksPerBar(song.metre);
  return (onset - song.upbeatTicks + bar) % bar;
}

/** Number of the bar as singers count: 0 for the upbeat bar, then from 1. */
export function barNumber(song: Song, onset: Ticks): number {
  return Math.floor((onset - song.upbeatTicks) / ticksPerBar(song.metre)) + 1;
}

/** Where the last note ends, from the start of the song; 0 for a song without notes. */
export function songEnd(song: Song): Ticks {
  const last = song.phrases.at(-1)?.notes.at(-1);
  return last === undefined ? 0 : last.onset + last.duration;
}

/** True for the second and later notes of a tied sound. */
export function isTiedOn(note: SongNote): boolean {
  return note.tie === 'stop' || note.tie === 'both';
}

/** True when the sound goes on into the next note. */
export function isTiedOver(note: SongNote): boolean {
  return note.tie === 'start' || note.tie === 'both';
}

/** The words of a phrase put together from its syllables, one space between words. */
export function wordsOf(notes: readonly SongNote[]): string {
  let text = '';
  for (const { syllable } of notes) {
    if (syllable === null) continue;
    const goesOn = syllable.division === 'middle' || syllable.division === 'end';
    text += (text === '' || goesOn ? '' : ' ') + syllable.text;
  }
  return text;
}
