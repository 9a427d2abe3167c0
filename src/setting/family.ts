/**
 * Families: the same rhyme on the next rung, altered as little as its new tone needs, so that children read on from
 * what they know. Between near rungs the form, the slur and the tones are kept; an alteration is a motif, not a note
 * here and there, and it never goes against the rung's own ways. Between rungs far apart only the form and the tones
 * that phrases end on are kept: the tune is the rung's own.
 */
import type { Tone } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import type { Song, SongPhrase } from '../song.ts';
import type { Ticks } from '../time.ts';

export interface Family {
  /** Tone index at an onset in the easier song, or -1 where it has none that the rung knows. */
  readonly toneAt: (onset: Ticks) => number;
  /** What it costs to leave its tones. */
  readonly hold: Hold;
  readonly form: KeptForm | null;
  /** The easier song's slur where both its tones are on the rung. */
  readonly slur: readonly [Tone, Tone] | null;
  /** Where its slurs begin. */
  readonly slurOnsets: ReadonlySet<Ticks>;
}

/** What leaving the easier song's tones costs: the first altered note of a motif, and each one after it. */
export interface Hold {
  readonly begin: number;
  readonly goOn: number;
}

/** Where the close alone brings the new tone, as do on so-mi-la-do, nothing before it need change. */
const CLOSE_HOLD: Hold = { begin: 1000, goOn: 1000 };
/** In other chants the new tone comes in a motif of two or three notes; nothing else need change. */
const CHANT_HOLD: Hold = { begin: 600, goOn: 150 };
/** A motif may change by right of the rung's ways; more than its new tone needs it seldom does. */
const NEAR_HOLD: Hold = { begin: 450, goOn: 160 };
const NO_HOLD: Hold = { begin: 0, goOn: 0 };
/** Between rungs far apart the last tones of phrases are kept where they serve as well. */
const FAR_HOLD: Hold = { begin: 100, goOn: 100 };

/** Near: the rung has every tone of the easier one, and at most two more. */
function isNear(before: readonly string[], rung: Rung): boolean {
  return before.every((tone) => rung.tones.some((t) => t === tone)) && rung.tones.length <= before.length + 2;
}

/** The form of the easier song. */
export interface KeptForm {
  /** Base letter of each phrase. */
  readonly letters: readonly string[];
  /** How many sounds at the end a return that closes may change at least: more where the tune is a new one. */
  readonly leastTail: number;
  /** How many sounds at the end of phrase `i` lie from its first departure from phrase `source` on. */
  readonly changed: (source: number, i: number) => number;
}

export const noFamily: Family = {
  toneAt: () => -1,
  hold: NO_HOLD,
  form: null,
  slur: null,
  slurOnsets: new Set(),
};

export function familyOf(song: Song, rung: Rung): Family {
  const tones = new Map<Ticks, number>();
  const onsets = new Set<Ticks>();
  const before = song.tones.split(' ');
  const near = isNear(before, rung);
  let slur: readonly [Tone, Tone] | null = null;
  for (const { notes } of song.phrases) {
    const last = notes.findLastIndex((n) => n.tone !== null && n.tie !== 'stop' && n.tie !== 'both');
    notes.forEach((note, i) => {
      if (note.tone === null || note.tie === 'stop' || note.tie === 'both') return;
      if (near || i === last) tones.set(note.onset, rung.tones.indexOf(note.tone));
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
    hold: near ? holdOf(rung) : FAR_HOLD,
    form: {
      leastTail: near ? 0 : 3,
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

/** How firmly a near rung holds on to the easier song: chants, which have no re yet, most of all. */
function holdOf(rung: Rung): Hold {
  if (rung.tones.some((tone) => /^[rft]/.test(tone))) return NEAR_HOLD;
  return rung.newTone !== null && rung.closes.includes(rung.newTone) ? CLOSE_HOLD : CHANT_HOLD;
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
