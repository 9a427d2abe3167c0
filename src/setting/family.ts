/**
 * Families: the same rhyme on the next rung, altered as little as its new tone needs, so that children read on from
 * what they know. What is kept is the form, the slur and every tone that the rung still has.
 */
import type { Tone } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import type { Song, SongPhrase } from '../song.ts';
import type { Ticks } from '../time.ts';

export interface Family {
  /** Tone index at an onset in the easier song, or -1 where it has none that the rung knows. */
  readonly toneAt: (onset: Ticks) => number;
  readonly form: KeptForm | null;
  /** The easier song's slur where both its tones are on the rung. */
  readonly slur: readonly [Tone, Tone] | null;
  /** Where its slurs begin. */
  readonly slurOnsets: ReadonlySet<Ticks>;
}

/** The form of the easier song. */
export interface KeptForm {
  /** Base letter of each phrase. */
  readonly letters: readonly string[];
  /** How many sounds at the end of phrase `i` lie from its first departure from phrase `source` on. */
  readonly changed: (source: number, i: number) => number;
}

export const noFamily: Family = { toneAt: () => -1, form: null, slur: null, slurOnsets: new Set() };

export function familyOf(song: Song, rung: Rung): Family {
  const tones = new Map<Ticks, number>();
  const onsets = new Set<Ticks>();
  let slur: readonly [Tone, Tone] | null = null;
  for (const { notes } of song.phrases) {
    notes.forEach((note, i) => {
      if (note.tone === null || note.tie === 'stop' || note.tie === 'both') return;
      tones.set(note.onset, rung.tones.indexOf(note.tone));
      if (note.slur !== 'start') return;
      onsets.add(note.onset);
      const second = notes[i + 1]?.tone ?? null;
      if (second !== null && rung.tones.includes(note.tone) && rung.tones.includes(second))
        slur = [note.tone, second];
    });
  }
  const sounds = song.phrases.map(soundsOf);
  return {
    toneAt: (onset) => tones.get(onset) ?? -1,
    form: {
      letters: song.phrases.map((phrase) => phrase.form.replace(/'+$/, '')),
      changed(source, i) {
        const [a = [], b = []] = [sounds[source], sounds[i]];
        const first = b.findIndex((tone, k) => tone !== a[k]);
        return first < 0 ? 0 : b.length - first;
      },
    },
    slur,
    slurOnsets: onsets,
  };
}

/** The tones of a phrase, ties counted once and the second tone of a slur left out. */
function soundsOf(phrase: SongPhrase): readonly Tone[] {
  return phrase.notes.flatMap(({ tone, tie, slur }) =>
    tone === null || tie === 'stop' || tie === 'both' || slur === 'stop' ? [] : [tone],
  );
}

/** A note that the next rung altered. */
export interface Alteration {
  /** Number of the line, from 1. */
  readonly line: number;
  /** The syllable as printed, or null between syllables. */
  readonly syllable: string | null;
  /** Null where the easier song has no note of its own (the second tone of a new slur). */
  readonly from: Tone | null;
  readonly to: Tone;
}

/** What changed from the easier song to the next, in order of singing; both on the same rhythm. */
export function alterations(before: Song, after: Song): readonly Alteration[] {
  const known = new Map<Ticks, Tone | null>(
    before.phrases.flatMap((phrase) => phrase.notes.map((note) => [note.onset, note.tone] as const)),
  );
  return after.phrases.flatMap((phrase) =>
    phrase.notes.flatMap((note): Alteration[] => {
      const from = known.get(note.onset) ?? null;
      if (note.tone === null || note.tie === 'stop' || note.tie === 'both' || note.tone === from) return [];
      return [{ line: phrase.line, syllable: note.syllable?.text ?? null, from, to: note.tone }];
    }),
  );
}
