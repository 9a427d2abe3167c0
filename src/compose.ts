/**
 * Text + wishes -> songs: the whole way on one screen. Each stage is a pure function of the one before.
 *
 *     text --readVerse--> Verse --placeBeats--> Placement --setRhythm--> Rhythm --setMelody--> Song
 */
import { readRhymeFile, settle, type Options, type RhymeFile } from './options.ts';
import type { Placement } from './placement.ts';
import { andThen, made, type Outcome, type Problem } from './problem.ts';
import type { Rhythm } from './rhythm.ts';
import { fixTones } from './setting/fixed-tones.ts';
import { setTakes, type FixedTone, type MelodyOptions } from './setting/melody.ts';
import { placeBeats } from './setting/placement.ts';
import { byEarOnly } from './setting/rhythm-ladder.ts';
import { setRhythm } from './setting/rhythm.ts';
import { makeSong, type Song } from './song.ts';
import { readVerse } from './syllabify/index.ts';
import type { Lexicon } from './syllabify/lexicon.ts';
import { linesOf, type Line } from './verse.ts';
import type { Wishes } from './wishes.ts';

/** A rhyme with its words on beats, and what it was placed by. */
export interface PlacedRhyme {
  readonly file: RhymeFile;
  readonly options: Options;
  readonly placement: Placement;
}

/** What came of a rhyme: a song for every rung and take asked for, less those that could not be made. */
export interface Composition {
  /** Rung after rung, take after take; each song's problems include those of the stages before. */
  readonly songs: readonly Song[];
  /** How each song was made, in the same order; `explainMelody` takes it. */
  readonly origins: readonly Origin[];
  /** How many songs were asked for. */
  readonly asked: number;
  /** What the text says at its top. */
  readonly written: Wishes;
}

/** What a song was made of: the same `setMelody` gives the same song. */
export interface Origin {
  readonly rhythm: Rhythm;
  readonly melody: MelodyOptions;
}

/**
 * Read a rhyme file and put its words on beats. What is asked for goes before what the file's front matter says.
 *
 * Problems: those of `readRhymeFile`, `readVerse` and `placeBeats`, each with its span in the text as typed.
 *
 * @example
 * const rhyme = await placeRhyme('Bee, bee, bumblebee', lexicon);
 * if (rhyme.ok) rhyme.value.placement.lines.length; // => 1
 */
export async function placeRhyme(
  text: string,
  lexicon: Lexicon,
  asked: Wishes = {},
): Promise<Outcome<PlacedRhyme>> {
  return andThen(await readRhymeFile(text, asked.ladder), (file) => {
    const options = settle(asked, file.wishes);
    const { title, words, metre, beats } = options;
    const verse = readVerse(file.body, {
      lexicon,
      words,
      offset: file.offset,
      ...(title === null ? {} : { title }),
    });
    return andThen(verse, (read) => {
      const placed = placeBeats(read, { beatClass: metre?.beatClass ?? null, beats });
      const rhyme = andThen(placed, (placement) => made({ file, options, placement }));
      return located(rhyme, linesOf(read));
    });
  });
}

/**
 * Set a rhyme to tunes: one song for each rung and take. Not `ok` when the rhyme itself cannot be set; a rung or
 * take that alone cannot be made is missing from the songs, and a problem says why.
 *
 * Problems: those of `placeRhyme`, `setRhythm` and `setMelody`, each once.
 *
 * @example
 * const outcome = await compose('Bee, bee, bumblebee', lexicon);
 * if (outcome.ok) outcome.value.songs[0]?.rung; // => 'so-mi'
 */
export async function compose(
  text: string,
  lexicon: Lexicon,
  asked: Wishes = {},
): Promise<Outcome<Composition>> {
  const placed = await placeRhyme(text, lexicon, asked);
  return andThen(placed, ({ file, placement, options }) => {
    const { metre, rhythms } = options;
    const emptyBeats = rhythms?.some((rung) => rung.name === 'half-note') === true ? 'held' : 'rest';
    const set = andThen(setRhythm(placement, { metre, emptyBeats }), (rhythm) =>
      made(rhythm, rhythms === null ? [] : byEarOnly(rhythm, rhythms)),
    );
    const before = [...placed.problems, ...set.problems];
    const sung = andThen(set, (rhythm) =>
      andThen(fixTones(options.fixed, rhythm), (fixed) =>
        singRungs(rhythm, options, { fixed, before, written: file.wishes }),
      ),
    );
    return located(
      sung,
      placement.lines.map(({ line }) => line),
    );
  });
}

/**
 * A song for each rung and take. On several rungs they are a family, unless that is not wished: in each take a rung's
 * tune alters that of the rung before as little as it can, so takes count from 1 there even when only later ones are
 * asked for. A rhyme with fixed tones has no slurs, which would move them to other syllables.
 */
function singRungs(
  rhythm: Rhythm,
  options: Options,
  given: Pick<Composition, 'written'> & {
    readonly fixed: readonly FixedTone[];
    readonly before: readonly Problem[];
  },
): Outcome<Composition> {
  const { takes, rungs, tempoBpm, seed, voice, canon: forCanon } = options;
  const { fixed, before, written } = given;
  const slur = options.slur && fixed.length === 0;
  const isFamily = options.family && rungs.length > 1;
  const first = isFamily ? 1 : takes.first;
  const songs: Song[] = [];
  const origins: Origin[] = [];
  const problems: Problem[] = [];
  let families: readonly (Song | null)[] = [];
  for (const rung of rungs) {
    const wish = { rung, do: options.do, tempoBpm, seed, slur, voice, fixed, forCanon };
    const melody: MelodyOptions = { ...wish, take: first, family: null };
    const outcomes = setTakes(rhythm, melody, { first, last: takes.last, families });
    // where the rules leave no way, the last outcome says so and no more takes follow
    const wanted = outcomes.slice(Math.min(takes.first - first, outcomes.length - 1));
    for (const outcome of wanted) {
      problems.push(...outcome.problems);
      if (!outcome.ok) continue;
      const song = makeSong({ ...outcome.value, problems: [...before, ...outcome.value.problems] });
      songs.push(song);
      origins.push({
        rhythm,
        melody: { ...melody, take: song.take, family: families[song.take - 1] ?? null },
      });
    }
    if (isFamily) families = outcomes.map((outcome) => (outcome.ok ? outcome.value : null));
  }
  return made({ songs, origins, written, asked: rungs.length * (takes.last - takes.first + 1) }, problems);
}

/** Give each problem that names a line of the rhyme the place of that line in the text. */
function located<T>(outcome: Outcome<T>, lines: readonly Line[]): Outcome<T> {
  const problems = outcome.problems.map((problem): Problem => {
    const span = problem.span ?? lines.find((line) => line.number === problem.line)?.span;
    return span === undefined ? problem : { ...problem, span };
  });
  return { ...outcome, problems };
}
