/**
 * Song -> what is sung, stretch by stretch: ties joined, rests left out, with the place in the bar where it begins
 * and the whole bars that a call takes, so that its echo begins at the same place.
 */
import { midiNumber, readPitch, type Tone } from '../pitch.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';
import { ticksPerBar, type Ticks } from '../time.ts';

/** One sounding note: a printed note with all that is tied to it. */
export interface SungNote {
  /** Ticks from the start of the excerpt. */
  readonly onset: Ticks;
  readonly duration: Ticks;
  readonly tone: Tone;
  /** MIDI key number. */
  readonly pitch: number;
  /** The syllable that begins here, with a hyphen when its word goes on; null under a slur. */
  readonly text: string | null;
  /** True when a slur leads on to the next note. */
  readonly slurred: boolean;
}

export interface Excerpt {
  /** Line numbers of its phrases, in order. */
  readonly lines: readonly number[];
  /** Its words as printed. */
  readonly words: string;
  /** Ticks from the last bar line to its first note; an upbeat is late in the bar. */
  readonly intoBar: Ticks;
  /** Whole bars: the fewest that hold everything that sounds. */
  readonly length: Ticks;
  /** At least one. */
  readonly notes: readonly SungNote[];
}

/** Phrases sung one after another, from the first note of the first to the end of the last. */
export function excerptOf(song: Song, phrases: readonly SongPhrase[]): Excerpt {
  const printed = phrases.flatMap((phrase) => phrase.notes);
  return {
    ...notesExcerpt(song, printed),
    lines: phrases.map((p) => p.line),
    words: phrases.map((p) => p.text).join(' / '),
  };
}

/**
 * The same for any stretch of printed notes in a row.
 *
 * Throws a RangeError when none of them sounds: phrases and motifs always sing.
 */
export function notesExcerpt(song: Song, printed: readonly SongNote[]): Excerpt {
  const bar = ticksPerBar(song.metre);
  const sung = joinTies(printed);
  const first = sung[0];
  const last = sung.at(-1);
  if (first === undefined || last === undefined)
    throw new RangeError('An excerpt has at least one note that sounds.');
  const start = first.onset;
  const end = last.onset + last.duration;
  return {
    lines: [],
    words: sung.map((note) => note.text ?? '').join(''),
    intoBar: (((start - song.upbeatTicks) % bar) + bar) % bar,
    length: Math.ceil((end - start) / bar) * bar,
    notes: sung.map((note) => ({ ...note, onset: note.onset - start })),
  };
}

function joinTies(printed: readonly SongNote[]): readonly SungNote[] {
  const sung: SungNote[] = [];
  for (const note of printed) {
    if (note.tone === null || note.pitch === null) continue;
    const before = sung.at(-1);
    if (before !== undefined && (note.tie === 'stop' || note.tie === 'both')) {
      sung[sung.length - 1] = {
        ...before,
        duration: before.duration + note.duration,
        slurred: note.slur === 'start',
      };
    } else {
      const pitch = readPitch(note.pitch);
      if (pitch === null) throw new RangeError(`"${note.pitch}" is no pitch.`);
      sung.push({
        onset: note.onset,
        duration: note.duration,
        tone: note.tone,
        pitch: midiNumber(pitch),
        text: textOf(note),
        slurred: note.slur === 'start',
      });
    }
  }
  return sung;
}

function textOf(note: SongNote): string | null {
  if (note.syllable === null) return null;
  const { text, division } = note.syllable;
  return division === 'begin' || division === 'middle' ? `${text}-` : text;
}

/**
 * Calls of up to `size` phrases, never across a stanza: a stanza of five phrases by two is 2 + 2 + 1.
 */
export function callsOf(song: Song, size: number): readonly Excerpt[] {
  const calls: Excerpt[] = [];
  for (let i = 0; i < song.phrases.length;) {
    const stanza = song.phrases[i]?.stanza;
    const group = song.phrases.slice(i, i + size).filter((phrase) => phrase.stanza === stanza);
    calls.push(excerptOf(song, group));
    i += group.length;
  }
  return calls;
}

/** The phrases of some lines only, as a song that begins at its first phrase. Every line given must be there. */
export function onlyLines(song: Song, lines: readonly number[]): Song {
  return { ...song, phrases: song.phrases.filter((phrase) => lines.includes(phrase.line)) };
}
