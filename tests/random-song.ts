/**
 * Songs at random for property tests, seeded by fast-check: every metre, upbeats, rests, slurs, ties across beats and
 * bars, sixteenths, many stanzas and words with odd letters. Legal songs, not good ones.
 */
import fc from 'fast-check';
import { isTone, pitchName, pitchOf, readPitch, type Tone } from '../src/pitch.ts';
import type { Problem } from '../src/problem.ts';
import { splitRest, splitSound } from '../src/setting/note-values.ts';
import type { NoteSyllable, Song, SongNote, SongPhrase } from '../src/song.ts';
import { METRES, ticksPerBar, type Metre, type MetreName, type Ticks } from '../src/time.ts';

/** Tone sets of the usual teaching order, with a home tone. */
const TONE_SETS: readonly (readonly [tones: string, home: Tone, rung: string])[] = [
  ['m s', 'd', 'so-mi'],
  ['m s l', 'd', 'so-mi-la'],
  ['d m s l', 'd', 'so-mi-la-do'],
  ["s, l, d r m s l d'", 'd', 'high-do'],
  ['l, t, d r m', 'l,', 'la-pentachord'],
  ["s, l, t, d r m f s l t d'", 'd', 'major'],
  ['m, s, l, t, d r m f s l', 'l,', 'natural-minor'],
];
const DOS = ['C4', 'D4', 'Eb4', 'F4', 'F#4', 'G3', 'G4', 'Ab3', 'A3', 'Bb3', 'B3'];
const FORMS = ['a', 'b', "a'", "a''", 'c', "b'"];
/** Words with every kind of letter that a rhyme may bring; each is a list of syllables. */
const WORDS: readonly (readonly string[])[] = [
  ['Bee,'],
  ['bum', 'ble', 'bee'],
  ['O', 'lé!'],
  ['"Hush,'],
  ["'tis"],
  ["o'er"],
  ['a:b'],
  ['4'],
  ['2nd'],
  ['x|y'],
  ['#one'],
  ['\\'],
  ['Bo-', 'Peep'],
  ['rock-', 'a-', 'bye,'],
  ['wh-'],
  ['_'],
  ['__'],
  ['--'],
  ['naïve'],
  ['Mmm…'],
  ['Rum', 'pel', 'stilt', 'skin'],
  ['(hey)'],
  ['(hey', 'ho)'],
  ['z'],
  ['ta'],
  ['ti-ti'],
  ['Line'],
  ['Stanza'],
  ['&'],
  ['<b>'],
  [']]>'],
  ['ő'],
  ['words:'],
  ['—'],
  ['„so“'],
  ['e\u0301'],
  ['𝄞'],
  ['null'],
  ['s,'],
  ["d'"],
  ['a│b'],
  ['%'],
];
const TITLES = [
  'Bee, bee',
  'The ferry: a song',
  '"Quoted"',
  '2/4',
  'null',
  'Olé # 1',
  "it's",
  '- dash',
  ' x ',
  'é',
  '---',
  'a\u2028b',
  '{a}',
];

/** One sound or silence before it is cut into notes that can be printed. */
interface Stretch {
  readonly ticks: Ticks;
  readonly kind: 'sound' | 'rest' | 'slur';
  readonly breath: boolean;
}

const stretch = (grid: Ticks): fc.Arbitrary<Stretch> =>
  fc.record({
    ticks: fc.oneof(
      { weight: 6, arbitrary: fc.constantFrom(grid, 2 * grid) },
      { weight: 2, arbitrary: fc.constantFrom(120, 240, 360, 480, 720) },
      { weight: 1, arbitrary: fc.integer({ min: 1, max: 40 }).map((n) => 120 * n) },
    ),
    kind: fc.constantFrom('sound', 'sound', 'sound', 'sound', 'rest', 'slur'),
    breath: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
  });

interface PhraseSeed {
  readonly stretches: readonly Stretch[];
  readonly tones: readonly number[];
  readonly words: readonly (readonly string[])[];
  readonly form: string;
  readonly open: boolean;
  readonly newStanza: boolean;
  readonly text: string | null;
}

const phraseSeed = (grid: Ticks): fc.Arbitrary<PhraseSeed> =>
  fc.record({
    stretches: fc.array(stretch(grid), { minLength: 1, maxLength: 12 }),
    tones: fc.array(fc.nat(99), { minLength: 24, maxLength: 24 }),
    words: fc.array(fc.constantFrom(...WORDS), { minLength: 24, maxLength: 24 }),
    form: fc.constantFrom(...FORMS),
    open: fc.boolean(),
    newStanza: fc.integer({ min: 0, max: 5 }).map((n) => n === 0),
    text: fc.option(fc.constantFrom('Rock — a bye', 'words: words', 'x'), { freq: 8 }),
  });

const problem: fc.Arbitrary<Problem> = fc.record(
  {
    code: fc.constantFrom('by-ear-only' as const, 'out-of-range' as const),
    severity: fc.constantFrom('note' as const, 'warning' as const),
    message: fc.constantFrom('Four sixteenths in line 2: not taught yet.', 'A "quoted": é \\ # one'),
    line: fc.integer({ min: 1, max: 9 }),
  },
  { requiredKeys: ['code', 'severity', 'message'] },
);

/** Any song that the program could make, words and settings odd on purpose. */
export const randomSong: fc.Arbitrary<Song> = fc
  .record({
    metre: fc.constantFrom(...(Object.keys(METRES) as MetreName[])),
    toneSet: fc.constantFrom(...TONE_SETS),
    newTone: fc.boolean(),
    do: fc.constantFrom(...DOS),
    tempoBpm: fc.integer({ min: 40, max: 200 }),
    seed: fc.integer({ min: 0, max: 2 ** 31 }),
    take: fc.integer({ min: 1, max: 20 }),
    title: fc.constantFrom(...TITLES),
    upbeat: fc.nat(40),
    problems: fc.array(problem, { maxLength: 2 }),
  })
  .chain((head) => {
    const metre = METRES[head.metre];
    const grid = metre.ticksPerBeat / (metre.beatClass === 'simple' ? 2 : 3);
    return fc
      .array(phraseSeed(grid), { minLength: 1, maxLength: 6 })
      .map((seeds) => buildSong(head, metre, seeds));
  });

interface Head {
  readonly toneSet: readonly [string, Tone, string];
  readonly newTone: boolean;
  readonly do: string;
  readonly tempoBpm: number;
  readonly seed: number;
  readonly take: number;
  readonly title: string;
  readonly upbeat: number;
  readonly problems: readonly Problem[];
}

function buildSong(head: Head, metre: Metre, seeds: readonly PhraseSeed[]): Song {
  const bar = ticksPerBar(metre);
  const upbeatTicks = (head.upbeat * 120) % bar;
  const tones = head.toneSet[0].split(' ').filter(isTone);
  const phrases: SongPhrase[] = [];
  let onset = 0;
  let stanza = 1;
  seeds.forEach((seed, i) => {
    if (i > 0 && seed.newStanza) stanza += 1;
    const stretches: Stretch[] = [...seed.stretches];
    if (stretches.every((s) => s.kind === 'rest'))
      stretches.push({ ticks: 480, kind: 'sound', breath: false });
    if (i === seeds.length - 1) {
      const total = onset + stretches.reduce((sum, s) => sum + s.ticks, 0);
      const missing = (bar - (total % bar)) % bar;
      if (missing > 0) stretches.push({ ticks: missing, kind: 'rest', breath: false });
    }
    const draft = { metre, upbeatTicks, tones, doName: head.do };
    const notes = phraseNotes(draft, seed, stretches, onset);
    onset = notes.reduce((at, note) => at + note.duration, onset);
    phrases.push({
      line: i + 1,
      stanza,
      text: seed.text ?? joinedWords(notes),
      form: seed.form,
      cadence: seed.open ? 'open' : 'closed',
      notes,
    });
  });
  return {
    title: head.title,
    rung: head.toneSet[2],
    tones: head.toneSet[0],
    newTone: head.newTone ? (tones.at(-1) ?? null) : null,
    home: head.toneSet[1],
    seed: head.seed,
    take: head.take,
    do: head.do,
    tempoBpm: head.tempoBpm,
    ticksPerQuarter: 480,
    metre,
    upbeatTicks,
    phrases,
    problems: head.problems,
  };
}

interface Draft {
  readonly metre: Metre;
  readonly upbeatTicks: Ticks;
  readonly tones: readonly Tone[];
  readonly doName: string;
}

function phraseNotes(
  draft: Draft,
  seed: PhraseSeed,
  stretches: readonly Stretch[],
  start: Ticks,
): SongNote[] {
  const bar = ticksPerBar(draft.metre);
  const syllables = seed.words.flatMap((word, w) => dividedWord(word, w));
  const notes: SongNote[] = [];
  let onset = start;
  let sung = 0;
  let tone = 0;
  for (const s of stretches) {
    const intoBar = (onset - draft.upbeatTicks + bar) % bar;
    const split = s.kind === 'rest' ? splitRest : splitSound;
    const pieces = split(draft.metre, intoBar, s.ticks);
    const slurred = s.kind === 'slur' && pieces.length > 1;
    const first = draft.tones[(seed.tones[tone++ % 24] ?? 0) % draft.tones.length] ?? 's';
    const second = draft.tones[(seed.tones[tone++ % 24] ?? 0) % draft.tones.length] ?? 's';
    const syllable = s.kind === 'rest' ? null : (syllables[sung++] ?? null);
    pieces.forEach((piece, i) => {
      const last = i === pieces.length - 1;
      // a slur changes tone on its last piece; the pieces before it are tied
      const tied = slurred ? pieces.slice(0, -1) : pieces;
      const toneHere = s.kind === 'rest' ? null : slurred && last ? second : first;
      notes.push({
        onset: onset + piece.offset,
        duration: piece.duration,
        tone: toneHere,
        pitch: toneHere === null ? null : pitchFor(toneHere, draft.doName),
        syllable: i === 0 ? syllable : null,
        slur: slurred ? (i === 0 ? 'start' : last ? 'stop' : null) : null,
        tie: s.kind === 'rest' ? null : tieAt(i, tied.length),
        breath: s.kind === 'rest' ? null : last && s.breath,
      });
    });
    onset += s.ticks;
  }
  return closeLastWord(notes);
}

function tieAt(i: number, count: number): SongNote['tie'] {
  if (count < 2 || i >= count) return null;
  return i === 0 ? 'start' : i === count - 1 ? 'stop' : 'both';
}

/** A phrase may run out of notes inside a word: what was sung of it becomes the whole word. */
function closeLastWord(notes: SongNote[]): SongNote[] {
  const at = notes.findLastIndex((note) => note.syllable !== null);
  const last = notes[at];
  if (last === undefined || last.syllable === null) return notes;
  const { division } = last.syllable;
  const closed = division === 'begin' ? 'single' : division === 'middle' ? 'end' : division;
  notes[at] = { ...last, syllable: { ...last.syllable, division: closed } };
  return notes;
}

function dividedWord(word: readonly string[], index: number): readonly NoteSyllable[] {
  return word.map((text, i) => ({
    text,
    word: index,
    division: word.length === 1 ? 'single' : i === 0 ? 'begin' : i === word.length - 1 ? 'end' : 'middle',
  }));
}

function pitchFor(tone: Tone, doName: string): string {
  const doPitch = readPitch(doName);
  if (doPitch === null) throw new Error(doName);
  return pitchName(pitchOf(tone, doPitch));
}

function joinedWords(notes: readonly SongNote[]): string {
  let text = '';
  let word = -1;
  for (const { syllable } of notes) {
    if (syllable === null) continue;
    text += (word !== -1 && syllable.word !== word ? ' ' : '') + syllable.text;
    word = syllable.word;
  }
  return text;
}
