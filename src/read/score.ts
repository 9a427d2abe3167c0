/**
 * Score -> Song: reads what `writeScore` writes and what a teacher makes of it. Bars and cells are read, never columns;
 * spaces are forgiven, music is not: every bar must add up and every syllable have its note.
 */
import { toneStep, type Tone } from '../pitch.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import type { RhythmNames } from '../rhythm-names.ts';
import type { Song } from '../song.ts';
import { finishDraft, type DraftPhrase, type SongDraft } from './draft.ts';
import { readBars, type MarkedNote } from './score-bars.ts';
import { draftPhrases } from './score-phrases.ts';
import { doName, readSettings, type Matter } from './score-settings.ts';
import { divideBars } from './score-divided.ts';
import { fault, readPhrases, spanOf, type PhraseText } from './score-text.ts';

/** A score taken apart by whoever reads YAML. */
export interface ScoreText extends Matter {
  /** What follows the front matter. */
  readonly body: string;
  /** Where the body begins in the text as typed; spans of problems count from there. */
  readonly offset: number;
}

/**
 * Read a score as a song.
 *
 * `families` are rhythm names beyond the built-in ones. Problems, each with its span: those of the settings
 * (`not-a-score`, `unknown-option`, `bad-value`), of the form (`score-label`, `score-rows`, `bar-lines-differ`), of the
 * rhythm (`rhythm-name`, `note-value`, `bar-length`, `upbeat-length`), of the tones (`tone-name`, `tone-octave`,
 * `tones-count`, `tone-not-set`, `broken-tie`, `broken-slur`; `outside-tones` is a warning) and of the words
 * (`syllables-count`, `broken-word`); `nothing-to-sing` for a score without notes.
 */
export function readScore(text: ScoreText, families: readonly RhythmNames[] = []): Outcome<Song> {
  const draft = readScoreDraft(text, families, 'refused');
  if (!draft.ok) return draft;
  const song = finishDraft(draft.value);
  return song.ok ? made(song.value, draft.problems) : song;
}

/** What becomes of open tones (`?`): a draft keeps them, a song that must be whole refuses them. */
export type OpenTones = 'kept' | 'refused';

/** Read a score in which tones may still be open (`?`); otherwise as `readScore`. */
export function readScoreDraft(
  text: ScoreText,
  families: readonly RhythmNames[] = [],
  openTones: OpenTones = 'kept',
): Outcome<SongDraft> {
  const problems: Problem[] = [];
  const settings = readSettings(text, families, problems);
  if (settings === null) return failed(...problems);
  const phraseTexts = readPhrases(text.body, text.offset, problems);
  const bars = divideBars(phraseTexts, problems);
  if (bars.length === 0 && problems.length === 0) {
    const span = { start: text.offset, end: text.offset + text.body.length };
    return failed(
      fault(
        'nothing-to-sing',
        'This score has settings but no music.',
        span,
        'A line of it is a rhythm, letters and words.',
      ),
    );
  }
  const { notes, upbeatTicks } = readBars(bars, settings, problems);
  const phrases = draftPhrases(phraseTexts, notes, settings, problems);
  if (openTones === 'refused') problems.push(...openTonesIn(phraseTexts, notes));
  if (problems.some((problem) => problem.severity === 'error')) return failed(...firstFaults(problems));
  return made(
    {
      title: settings.title,
      rung: settings.rung,
      tones: (settings.tones ?? tonesOf(phrases)).join(' '),
      newTone: settings.newTone,
      home: settings.home,
      seed: settings.seed,
      take: settings.take,
      do: doName(settings),
      tempoBpm: settings.tempoBpm,
      ticksPerQuarter: 480,
      metre: settings.metre,
      upbeatTicks,
      phrases,
      problems: settings.problems,
    },
    problems,
  );
}

/** The first open tone of each line. */
function openTonesIn(
  texts: readonly PhraseText[],
  notes: readonly (readonly MarkedNote[])[],
): readonly Problem[] {
  return texts.flatMap(({ line }, p): readonly Problem[] => {
    const piece = notes[p]?.find(({ letter }) => letter?.kind === 'open')?.letter?.piece;
    if (piece?.text !== '?') return [];
    const message = `Line ${String(line)} has a tone that is still open (?).`;
    const hint = 'Write a solfa letter in its place, or let chantwright sing set it.';
    return [{ ...fault('tone-not-set', message, spanOf(piece), hint), line }];
  });
}

/** Without the wrong counts of syllables that a slur or tie gone wrong brings with it. */
function firstFaults(problems: readonly Problem[]): readonly Problem[] {
  const broken = problems.some(({ code }) => code === 'broken-slur' || code === 'broken-tie');
  return broken ? problems.filter(({ code }) => code !== 'syllables-count') : problems;
}

/** The tones that are sung, from low to high. */
function tonesOf(phrases: readonly DraftPhrase[]): readonly Tone[] {
  const tones = new Set<Tone>();
  for (const { tone } of phrases.flatMap((phrase) => phrase.notes)) {
    if (tone !== null && tone !== '?') tones.add(tone);
  }
  return [...tones].sort((a, b) => toneStep(a) - toneStep(b));
}
