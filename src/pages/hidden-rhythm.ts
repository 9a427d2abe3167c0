/**
 * Where a rhythm is hidden: which stretches, and where letters and words stand over them.
 */
import { hasLetter, type Blanks, type HiddenPart } from './blanks.ts';
import type { Song, SongNote } from '../song.ts';
import { ticksPerBar, type Ticks } from '../time.ts';

/** A stretch of a row whose rhythm is hidden; never across a bar line. */
export interface HiddenStretch {
  readonly start: Ticks;
  readonly end: Ticks;
  readonly notes: readonly SongNote[];
}

/** True when this part of the note is hidden. */
export function isBlank(blanks: Blanks, part: HiddenPart, note: SongNote): boolean {
  return blanks.part === part && blanks.notes.has(note);
}

/** Where letters and words stand over a hidden rhythm: evenly, for their distances would tell it. */
export function evenPlaces(song: Song, blanks: Blanks): Map<SongNote, number> {
  const places = new Map<SongNote, number>();
  for (const phrase of song.phrases) {
    for (const stretch of hiddenStretches(song, blanks, phrase.notes)) {
      const sung = stretch.notes.filter(hasLetter);
      sung.forEach((note, i) =>
        places.set(note, stretch.start + (i / sung.length) * (stretch.end - stretch.start)),
      );
    }
  }
  return places;
}

/** The stretches of these notes whose rhythm is hidden, cut at bar lines. */
export function hiddenStretches(
  song: Song,
  blanks: Blanks,
  notes: readonly SongNote[],
): readonly HiddenStretch[] {
  const bar = ticksPerBar(song.metre);
  const stretches: { start: Ticks; end: Ticks; notes: SongNote[] }[] = [];
  for (const note of notes) {
    if (!isBlank(blanks, 'rhythm', note)) continue;
    const last = stretches.at(-1);
    const end = note.onset + note.duration;
    const onBar = (note.onset - song.upbeatTicks) % bar === 0;
    if (last?.end === note.onset && !onBar) {
      last.end = end;
      last.notes.push(note);
    } else {
      stretches.push({ start: note.onset, end, notes: [note] });
    }
  }
  return stretches;
}
