/**
 * Tonic sol-fa letters -> Song: reads what `writeTonicSolfa` writes and what is typed from old books. What the notation
 * does not say (rung, form, breaths) gets the usual values of a score; lengths are cut into notes that can be printed.
 */
import { pitchName, toneStep } from '../pitch.ts';
import { failed, type Outcome, type Problem } from '../problem.ts';
import type { Song } from '../song.ts';
import { finishDraft, type DraftPhrase } from './draft.ts';
import { nameForms, wordsText } from './score-phrases.ts';
import { fault, trimmed, type Piece } from './score-text.ts';
import { draftProblems } from './sound-draft.ts';
import { readHeader } from './tonic-solfa-header.ts';
import { phraseNotes } from './tonic-solfa-notes.ts';
import { readPulses } from './tonic-solfa-pulses.ts';
import { metreOf, timelineOf } from './tonic-solfa-timeline.ts';

/**
 * Read a song: title, key line, then a line of letters and a line of words for each phrase, blank lines between.
 *
 * Problems: `unknown-key`, `score-rows`, `tone-name`, `rhythm-name` (a mark out of place), `note-value`, `bar-length`,
 * `upbeat-length`, `broken-tie`, `broken-slur`, `syllables-count`, `broken-word`.
 */
export function readTonicSolfa(source: string): Outcome<Song> {
  const problems: Problem[] = [];
  const header = readHeader(source);
  if (header === null) {
    return failed(
      fault(
        'unknown-key',
        'No line of this text gives the key.',
        { start: 0, end: 1 },
        'Write it above the music: Key D.',
      ),
    );
  }
  const lines = readLines(source, header.end);
  const pulses = readPulses(
    lines.map((line) => line.music),
    problems,
  );
  const metre = problems.length === 0 ? metreOf(pulses, problems) : null;
  if (metre === null) return failed(...problems);
  const timeline = timelineOf(pulses, metre, problems);
  if (problems.length > 0) return failed(...problems);
  const phrases = lines.map((line, p): DraftPhrase => {
    const sounds = timeline.sounds.filter((sound) => sound.phrase === p);
    const notes = phraseNotes(sounds, line.words, { ...timeline, metre, doPitch: header.doPitch, problems });
    return { line: p + 1, stanza: 1, text: wordsText(notes), form: '', cadence: 'open', notes };
  });
  if (problems.length > 0) return failed(...problems);
  const tones = [...new Set(timeline.sounds.flatMap((sound) => sound.tone ?? []))];
  const draft = {
    title: header.title,
    rung: 'own',
    tones: tones.sort((a, b) => toneStep(a) - toneStep(b)).join(' '),
    newTone: null,
    home: header.isLah ? (tones.includes('l,') ? ('l,' as const) : ('l' as const)) : ('d' as const),
    seed: 1,
    take: 1,
    do: pitchName(header.doPitch),
    tempoBpm: header.tempoBpm,
    ticksPerQuarter: 480,
    metre,
    upbeatTicks: timeline.upbeatTicks,
    phrases: nameForms(
      phrases,
      phrases.map(() => ({ form: null, cadence: null })),
    ),
    problems: [],
  };
  const faults = draftProblems(draft);
  return faults.length > 0 ? failed(...faults) : finishDraft(draft);
}

/** A line of letters with its words. */
interface Line {
  readonly music: Piece;
  readonly words: Piece | null;
}

function readLines(source: string, from: number): readonly Line[] {
  const lines: { music: Piece; words: Piece | null }[] = [];
  let inBlock = false;
  for (const match of source.slice(from).matchAll(/([^\r\n]*)(?:\r\n|\n|\r|$)/g)) {
    const piece = { text: match[1] ?? '', start: from + match.index };
    const last = lines.at(-1);
    if (piece.text.trim() === '') inBlock = false;
    else if (inBlock && last !== undefined && last.words === null) last.words = trimmed(piece);
    else {
      lines.push({ music: piece, words: null });
      inBlock = true;
    }
  }
  return lines;
}
