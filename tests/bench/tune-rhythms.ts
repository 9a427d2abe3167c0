/**
 * Rhythms to set tunes to, read from files given by path: song books (`*.json` with sung syllables in beats), for
 * their rhythm and, where wanted, their tunes.
 */
import { readFileSync } from 'node:fs';
import { seededRandom } from '../../src/random.ts';
import type { Rhythm, RhythmNote, RhythmPhrase } from '../../src/rhythm.ts';
import { METRES, ticksPerBar, type MetreName } from '../../src/time.ts';

interface BookSong {
  readonly title: string;
  readonly metre: { readonly beats: number; readonly beatType: number; readonly changes?: unknown };
  readonly beatClass: 'simple' | 'compound';
  readonly key: { readonly tonicPc: number; readonly mode: 'major' | 'minor' };
  readonly lines: readonly {
    readonly text: string;
    readonly words: readonly string[];
    readonly syllables: readonly BookSyllable[];
  }[];
}
interface BookSyllable {
  readonly text: string;
  readonly word: number;
  readonly onset: number;
  readonly duration: number;
  readonly midi: readonly number[];
}

/** A rhythm with the tune that it had: semitones above do for each sound of each phrase. */
export interface BookTune {
  readonly title: string;
  readonly rhythm: Rhythm;
  readonly semitones: readonly (readonly number[])[];
}

/** Songs in plain metres, lines longer than six beats halved as the ear halves them. */
export function readBook(path: string): readonly BookTune[] {
  const songs = JSON.parse(readFileSync(path, 'utf8')) as readonly BookSong[];
  return songs.flatMap((song) => {
    const name = `${String(song.metre.beats)}/${String(song.metre.beatType)}` as MetreName;
    if (!Object.hasOwn(METRES, name) || song.metre.changes !== undefined || song.key.mode !== 'major')
      return [];
    return [bookTune(song, name)];
  });
}

function bookTune(song: BookSong, name: MetreName): BookTune {
  const metre = METRES[name];
  const beat = metre.ticksPerBeat;
  const all = song.lines.flatMap((line) => line.syllables);
  const lead = Math.max(0, Math.round(-(all[0]?.onset ?? 0) * beat));
  const upbeatTicks = lead % ticksPerBar(metre);
  const tick = (beats: number): number => Math.round(beats * beat) + lead;
  const chunks = song.lines.flatMap((line) =>
    halves(line.syllables).map((syllables) => ({ line, syllables })),
  );
  const starts = chunks.map(({ syllables }) => tick(syllables[0]?.onset ?? 0));
  const lastEnd = tick((all.at(-1)?.onset ?? 0) + (all.at(-1)?.duration ?? 1));
  const end = Math.ceil(lastEnd / ticksPerBar(metre)) * ticksPerBar(metre);
  starts[0] = 0;
  const phrases = chunks.map(({ line, syllables }, i): RhythmPhrase => {
    const notes: RhythmNote[] = [];
    let at = starts[i] ?? 0;
    const stop = starts[i + 1] ?? end;
    const rest = (until: number): void => {
      if (until > at) {
        notes.push({ onset: at, duration: until - at, rest: true, syllable: null, tie: null, breath: false });
      }
      at = Math.max(at, until);
    };
    syllables.forEach((syllable, k) => {
      rest(tick(syllable.onset));
      const next = syllables[k + 1] === undefined ? stop : tick(syllables[k + 1]?.onset ?? 0);
      const until = Math.min(next, Math.max(at + 60, tick(syllable.onset + syllable.duration)));
      const sung = {
        text: syllable.text,
        word: syllable.word,
        division: 'single',
        stress: 1,
        prominence: 0,
      } as const;
      notes.push({ onset: at, duration: until - at, rest: false, syllable: sung, tie: null, breath: false });
      at = until;
    });
    rest(stop);
    const keys = syllables.map((s) => s.text.toLowerCase().replace(/[^a-z]/g, ''));
    return { line: i + 1, stanza: 1, text: line.text, notes, rhyme: '', wordKeys: keys };
  });
  const midi = all.map((s) => s.midi[0] ?? 60);
  const middle = [...midi].sort((a, b) => a - b)[Math.floor(midi.length / 2)] ?? 60;
  // Do in the octave nearest below the middle of the tune.
  let home = song.key.tonicPc;
  while (home + 12 <= middle) home += 12;
  const semitones = chunks.map(({ syllables }) => syllables.map((s) => (s.midi[0] ?? 60) - home));
  return { title: song.title, rhythm: { title: song.title, metre, upbeatTicks, phrases }, semitones };
}

/** A line of more than six beats is two phrases: it is parted at the sound that begins nearest its middle beat. */
function halves(syllables: readonly BookSyllable[]): readonly (readonly BookSyllable[])[] {
  const first = Math.ceil(syllables[0]?.onset ?? 0);
  const span = (syllables.at(-1)?.onset ?? 0) - first;
  if (span < 5.5) return [syllables];
  const middle = first + Math.ceil(span / 4) * 2;
  const cut = syllables.findIndex((s) => s.onset >= middle - 0.01);
  return cut <= 0 ? [syllables] : [syllables.slice(0, cut), syllables.slice(cut)];
}

/** Patterns of a two-beat bar in eighths, of our own making: those that speech rhymes in 2/4 are chanted to. */
const BARS: readonly (readonly number[])[] = [
  [0, 1, 2, 3],
  [0, 1, 2, 3],
  [0, 1, 2],
  [0, 2, 3],
  [0, 2],
];
/** Bars in which a line ends: on a note and a rest, on two notes, on a pair and a note, on one long note. */
const LAST_BARS: readonly (readonly number[])[] = [[0, 2], [0, 2], [0, 1, 2], [0, 1, 2], [0]];

/**
 * A wordless rhythm in 2/4: four to six phrases of two bars from the patterns above, every other rhythm with upbeats,
 * and one in three of the later phrases in the rhythm of an earlier one.
 */
export function usualRhythm(seed: number): Rhythm {
  const random = seededRandom(seed);
  const oneOf = <T>(list: readonly T[], otherwise: T): T => list[random() % list.length] ?? otherwise;
  const count = 4 + (random() % 3);
  const upbeats = random() % 2 === 0;
  const shapes: (readonly number[])[] = [];
  for (let i = 0; i < count; i += 1) {
    const again = i > 0 && random() % 3 === 0 ? shapes[random() % i] : undefined;
    const upbeat = upbeats && random() % 4 > 0 ? [-1] : [];
    const bars = [...oneOf(BARS, [0]), ...oneOf(LAST_BARS, [0]).map((slot) => slot + 4)];
    shapes.push(again ?? [...upbeat, ...bars]);
  }
  const onsets = shapes.map((shape, i) => shape.map((slot) => (i * 8 + slot) * 240));
  const lead = Math.max(0, -(onsets[0]?.[0] ?? 0));
  const phrases = onsets.map((shape, i): RhythmPhrase => {
    const notes: RhythmNote[] = [];
    const end = onsets[i + 1]?.[0] ?? count * 8 * 240 - lead;
    const own = shape.filter((at) => at < end);
    own.forEach((at, k) => {
      const until = own[k + 1] ?? Math.min(end, at + 480);
      notes.push({
        onset: at + lead,
        duration: until - at,
        rest: false,
        syllable: null,
        tie: null,
        breath: false,
      });
    });
    const stop = (notes.at(-1)?.onset ?? 0) + (notes.at(-1)?.duration ?? 0);
    if (stop < end + lead) {
      notes.push({
        onset: stop,
        duration: end + lead - stop,
        rest: true,
        syllable: null,
        tie: null,
        breath: false,
      });
    }
    return { line: i + 1, stanza: 1, text: '', notes, rhyme: '', wordKeys: [] };
  });
  return { title: `Made ${String(seed)}`, metre: METRES['2/4'], upbeatTicks: lead, phrases };
}

/** Eight wordless lines in 2/4 without upbeats, from the usual rhythms. */
export function eightLines(): Rhythm {
  const phrases: RhythmPhrase[] = [];
  for (let seed = 1; phrases.length < 8; seed += 1) {
    const rhythm = usualRhythm(seed);
    const four = rhythm.phrases.slice(0, 4);
    const last = four.at(-1)?.notes.at(-1);
    if (rhythm.upbeatTicks !== 0 || (last?.onset ?? 0) + (last?.duration ?? 0) !== 4 * 1920) continue;
    const shift = phrases.length * 1920;
    for (const phrase of four) {
      const notes = phrase.notes.map((note) => ({ ...note, onset: note.onset + shift }));
      phrases.push({ ...phrase, line: phrases.length + 1, notes });
    }
  }
  return { title: 'Eight lines', metre: METRES['2/4'], upbeatTicks: 0, phrases };
}
