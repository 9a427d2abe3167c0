/**
 * Sounds of a part -> printed notes that fill the song's bars: cut at bar lines and into note values, rests between.
 */
import { pitchName, pitchOf, type Tone } from '../pitch.ts';
import type { PartNote } from '../parts.ts';
import { splitRest, splitSound } from '../setting/note-values.ts';
import type { NoteSyllable, Song, SongNote } from '../song.ts';
import { ticksPerBar, type Ticks } from '../time.ts';
import { doOf, songEnd } from './sounds.ts';

/** What a part sounds, before it is printed. */
export interface PartSound {
  readonly onset: Ticks;
  readonly end: Ticks;
  /** From low to high, at least one. */
  readonly tones: readonly Tone[];
  readonly syllable: NoteSyllable | null;
  readonly slur: 'start' | 'stop' | null;
}

/**
 * The notes of a part from the start of the song to its end. Sounds are in order and do not overlap; what goes beyond
 * the end is cut.
 */
export function fillBars(song: Song, sounds: readonly PartSound[]): readonly PartNote[] {
  const end = songEnd(song);
  const notes: PartNote[] = [];
  let at = 0;
  for (const sound of sounds) {
    if (sound.onset >= end) break;
    notes.push(...printed(song, at, sound.onset, null));
    at = Math.min(sound.end, end);
    notes.push(...printed(song, sound.onset, at, sound));
  }
  return [...notes, ...printed(song, at, end, null)];
}

function printed(song: Song, start: Ticks, end: Ticks, sound: PartSound | null): readonly PartNote[] {
  if (start >= end) return [];
  const bar = ticksPerBar(song.metre);
  const fromBarLine = (((start - song.upbeatTicks) % bar) + bar) % bar;
  const pieces = (sound === null ? splitRest : splitSound)(song.metre, fromBarLine, end - start);
  const doPitch = doOf(song);
  const tones = sound?.tones ?? [];
  return pieces.map((piece, i): PartNote => {
    const first = i === 0;
    const last = i === pieces.length - 1;
    return {
      onset: start + piece.offset,
      duration: piece.duration,
      tones,
      pitches: tones.map((tone) => pitchName(pitchOf(tone, doPitch))),
      syllable: first ? (sound?.syllable ?? null) : null,
      slur: first && sound?.slur === 'start' ? 'start' : last && sound?.slur === 'stop' ? 'stop' : null,
      tie: sound === null || pieces.length === 1 ? null : first ? 'start' : last ? 'stop' : 'both',
    };
  });
}

/** The song with rests at its end, so many ticks longer. */
export function lengthened(song: Song, extra: Ticks): Song {
  const end = songEnd(song);
  const phrases = song.phrases.map((phrase, i) =>
    i === song.phrases.length - 1
      ? { ...phrase, notes: [...phrase.notes, ...rests(song, end, end + extra)] }
      : phrase,
  );
  return { ...song, phrases };
}

/**
 * The song with a longer upbeat bar, rests before its first note, so that it begins its bars where another song with
 * that upbeat does. The last bar gives the time back, in rests of a further bar.
 */
export function withUpbeat(song: Song, upbeatTicks: Ticks): Song {
  const by = upbeatTicks - song.upbeatTicks;
  if (by === 0) return song;
  const moved = song.phrases.map((phrase) => ({
    ...phrase,
    notes: phrase.notes.map((note) => ({ ...note, onset: note.onset + by })),
  }));
  const phrases = moved.map((phrase, i) =>
    i === 0 ? { ...phrase, notes: [...rests({ ...song, upbeatTicks }, 0, by), ...phrase.notes] } : phrase,
  );
  return lengthened({ ...song, upbeatTicks, phrases }, ticksPerBar(song.metre) - by);
}

function rests(song: Song, start: Ticks, end: Ticks): readonly SongNote[] {
  return printed(song, start, end, null).map(({ onset, duration }) => ({
    onset,
    duration,
    tone: null,
    pitch: null,
    syllable: null,
    slur: null,
    tie: null,
    breath: null,
  }));
}
