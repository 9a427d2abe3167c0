/**
 * The places in a song where the rung's new tone is met: short stretches of whole bars that show how it is reached
 * and how it is left. On the first rung, which has no new tone, the stretches that have both of its tones.
 */
import type { Tone } from '../pitch.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';
import { ticksPerBar } from '../time.ts';
import { notesExcerpt, type Excerpt } from './excerpt.ts';

/** More than this many and the children have met the tone well enough. */
const MOST_MOTIFS = 3;

/** The distinct motifs of the song, in order of appearance, at most three; none when the tone is not sung. */
export function motifsOf(song: Song): readonly Excerpt[] {
  const found = new Map<string, Excerpt>();
  for (const phrase of song.phrases) {
    phrase.notes.forEach((note, i) => {
      if (!isTarget(song, phrase, i) || note.tie === 'stop' || note.tie === 'both') return;
      const motif = notesExcerpt(song, around(song, phrase, note));
      const key = motif.notes.map((n) => `${n.tone} ${String(n.onset)} ${String(n.duration)}`).join('|');
      if (new Set(motif.notes.map((n) => n.tone)).size > 1 && !found.has(key)) {
        found.set(key, { ...motif, lines: [phrase.line] });
      }
    });
  }
  return [...found.values()].slice(0, MOST_MOTIFS);
}

/** The new tone; on the first rung, a tone other than the one sung before it. */
function isTarget(song: Song, phrase: SongPhrase, index: number): boolean {
  const tone = phrase.notes[index]?.tone ?? null;
  if (tone === null) return false;
  if (song.newTone !== null) return tone === song.newTone;
  const before = phrase.notes.slice(0, index).findLast((note) => note.tone !== null);
  return before !== undefined && before.tone !== tone;
}

/** The bar of the note, with the bar before or after it where the neighbouring tone stands there. */
function around(song: Song, phrase: SongPhrase, note: SongNote): readonly SongNote[] {
  const bar = ticksPerBar(song.metre);
  const barOf = (each: SongNote): number => Math.floor((each.onset - song.upbeatTicks) / bar);
  const sounding = phrase.notes.filter((each) => each.tone !== null);
  const at = sounding.indexOf(note);
  const other = (each: SongNote): boolean => each.tone !== (note.tone as Tone);
  const before = sounding.slice(0, at).findLast(other);
  const after = sounding.slice(at + 1).find(other);
  const here = barOf(note);
  const from = before !== undefined && barOf(before) >= here - 1 ? barOf(before) : here;
  const to = after !== undefined && barOf(after) <= here + 1 ? barOf(after) : here;
  return phrase.notes.filter((each) => barOf(each) >= from && barOf(each) <= to);
}
