/**
 * A song with what is played or sung beside it: a drone, an ostinato, the followers of a canon, a partner song, a
 * second voice. A part fills the same bars as the song, so that every exporter can write them side by side.
 */
import type { Problem } from './problem.ts';
import type { Tone } from './pitch.ts';
import type { NoteSyllable, Song } from './song.ts';
import type { Ticks } from './time.ts';

export type PartKind = 'drone' | 'ostinato' | 'canon' | 'partner' | 'second';

/** A note, a chord or a rest of a part. */
export interface PartNote {
  /** Ticks from the start of the song's upbeat bar, as in the song. */
  readonly onset: Ticks;
  /** More than 0; a printable note value; never crosses a bar line. */
  readonly duration: Ticks;
  /** From low to high; empty for a rest. */
  readonly tones: readonly Tone[];
  /** Scientific pitch names, one for each tone, spelled as `pitchOf` spells them. */
  readonly pitches: readonly string[];
  /** On the first note of a syllable; null elsewhere. */
  readonly syllable: NoteSyllable | null;
  readonly slur: 'start' | 'stop' | null;
  readonly tie: 'start' | 'stop' | 'both' | null;
}

export interface Part {
  readonly kind: PartKind;
  /** As printed before the staff: `Drone`, `Second voice`. */
  readonly name: string;
  readonly instrument: 'voice' | 'mallet';
  /** Follow one another without gap or overlap, rests included, and fill the song's bars. */
  readonly notes: readonly PartNote[];
}

export interface SongWithParts {
  /** The song itself; where a canon or a partner needs more bars, with rests added at its end. */
  readonly song: Song;
  /** At least one. */
  readonly parts: readonly Part[];
  /** What was refused or changed, and why; clashes by bar and interval. */
  readonly problems: readonly Problem[];
}
