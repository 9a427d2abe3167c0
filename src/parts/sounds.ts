/**
 * A song as what sounds when: the ground that every part is measured against. Knows no rule of part-writing.
 */
import { midiNumber, pitchOf, readPitch, type Pitch, type Tone } from '../pitch.ts';
import type { NoteSyllable, Song, SongNote } from '../song.ts';
import { strengthAt, ticksPerBar, type Strength, type Ticks } from '../time.ts';

/** One sounding tone, ties joined. */
export interface Sound {
  readonly onset: Ticks;
  /** Where it stops, exclusive. */
  readonly end: Ticks;
  readonly tone: Tone;
  /** MIDI key number. */
  readonly key: number;
  readonly syllable: NoteSyllable | null;
  readonly slur: 'start' | 'stop' | null;
}

/** A felt beat of the song. */
export interface Beat {
  readonly at: Ticks;
  /** Number of its bar as singers count: 0 in the upbeat bar. */
  readonly bar: number;
  /** Its place in the bar, from 1. */
  readonly beat: number;
  readonly strength: Strength;
}

/** Every tone of the song in order. */
export function soundsOf(song: Song): readonly Sound[] {
  return joinTies(song.phrases.flatMap((phrase) => phrase.notes));
}

export function joinTies(notes: readonly SongNote[]): readonly Sound[] {
  const sounds: Sound[] = [];
  for (const { onset, duration, tone, pitch, tie, syllable, slur } of notes) {
    if (tone === null || pitch === null) continue;
    const before = sounds.at(-1);
    const end = onset + duration;
    if (before !== undefined && (tie === 'stop' || tie === 'both')) {
      sounds[sounds.length - 1] = { ...before, end, slur: before.slur ?? slur };
    } else {
      sounds.push({ onset, end, tone, key: keyOf(pitch), syllable, slur });
    }
  }
  return sounds;
}

/** What sounds at a moment, or null in a rest. `sounds` are in order and do not overlap. */
export function soundAt(sounds: readonly Sound[], at: Ticks): Sound | null {
  let low = 0;
  let high = sounds.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const sound = sounds[middle];
    if (sound === undefined) return null;
    if (at < sound.onset) high = middle - 1;
    else if (at >= sound.end) low = middle + 1;
    else return sound;
  }
  return null;
}

/** All felt beats from the start of the song to `end`. */
export function beatsOf(song: Song, end: Ticks = songEnd(song)): readonly Beat[] {
  const { metre, upbeatTicks } = song;
  const bar = ticksPerBar(metre);
  const { ticksPerBeat } = metre;
  const beats: Beat[] = [];
  for (let at = upbeatTicks % ticksPerBeat; at < end; at += ticksPerBeat) {
    const into = (((at - upbeatTicks) % bar) + bar) % bar;
    beats.push({
      at,
      bar: Math.floor((at - upbeatTicks) / bar) + 1,
      beat: into / ticksPerBeat + 1,
      strength: strengthAt(metre, into),
    });
  }
  return beats;
}

/** Where the song's last note or rest ends. */
export function songEnd(song: Song): Ticks {
  const last = song.phrases.at(-1)?.notes.at(-1);
  return last === undefined ? 0 : last.onset + last.duration;
}

export function keyOf(name: string): number {
  const pitch = readPitch(name);
  if (pitch === null) throw new RangeError(`"${name}" is no pitch.`);
  return midiNumber(pitch);
}

/** The song's do as a pitch. */
export function doOf(song: Pick<Song, 'do'>): Pitch {
  const pitch = readPitch(song.do);
  if (pitch === null) throw new RangeError(`"${song.do}" is no pitch for do.`);
  return pitch;
}

export function toneKey(song: Pick<Song, 'do'>, tone: Tone): number {
  return midiNumber(pitchOf(tone, doOf(song)));
}
