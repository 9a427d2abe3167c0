/**
 * The sounds of one line of tonic sol-fa letters as notes: cut where they cannot be printed, slurred, with their words.
 */
import { pitchName, pitchOf, type Pitch } from '../pitch.ts';
import type { Problem } from '../problem.ts';
import type { NoteSyllable } from '../song.ts';
import { ticksPerBar, type Metre, type Ticks } from '../time.ts';
import { cutLength } from './cut-length.ts';
import type { DraftNote } from './draft.ts';
import { readSyllables } from './score-letters.ts';
import { fault, spanOf, type Piece } from './score-text.ts';
import type { Sound } from './tonic-solfa-timeline.ts';

/** What the notes of all lines have in common. */
export interface Making {
  readonly metre: Metre;
  readonly upbeatTicks: Ticks;
  readonly doPitch: Pitch;
  readonly problems: Problem[];
}

/** Notes of one line. Problems: `note-value`, `broken-slur`, `syllables-count`, `broken-word`. */
export function phraseNotes(
  sounds: readonly Sound[],
  words: Piece | null,
  making: Making,
): readonly DraftNote[] {
  const slurOf = slurPlaces(sounds, making.problems);
  const takes = sounds.filter((sound) => sound.tone !== null && (slurOf.get(sound) ?? 'start') === 'start');
  const syllables = syllablesOf(words, takes, making.problems);
  const bar = ticksPerBar(making.metre);
  return sounds.flatMap((sound): readonly DraftNote[] => {
    const into = (sound.onset - making.upbeatTicks + bar) % bar;
    const lengths = cutLength(making.metre, into, sound.duration, sound.tone === null);
    if (lengths === null) {
      const message = 'This note or rest is shorter than a sixteenth, or does not end on one.';
      making.problems.push(fault('note-value', message, spanOf(sound.piece)));
      return [];
    }
    let onset = sound.onset;
    return lengths.map((duration, i): DraftNote => {
      const [isFirst, isLast] = [i === 0, i === lengths.length - 1];
      const place = slurOf.get(sound) ?? null;
      const tie = isFirst ? (isLast ? null : 'start') : isLast ? 'stop' : 'both';
      const note: DraftNote = {
        onset,
        duration,
        tone: sound.tone,
        pitch: sound.tone === null ? null : pitchName(pitchOf(sound.tone, making.doPitch)),
        syllable: isFirst ? (syllables.get(sound) ?? null) : null,
        slur: (place === 'start' && isFirst) || (place === 'stop' && isLast) ? place : null,
        tie: sound.tone === null ? null : tie,
        breath: sound.tone === null ? null : false,
      };
      onset += duration;
      return note;
    });
  });
}

/** `start`, `inside` or `stop` for each sound of a slur. */
function slurPlaces(
  sounds: readonly Sound[],
  problems: Problem[],
): ReadonlyMap<Sound, 'start' | 'inside' | 'stop'> {
  const places = new Map<Sound, 'start' | 'inside' | 'stop'>();
  for (const slur of new Set(sounds.map((sound) => sound.slur).filter((each) => each > 0))) {
    const joined = sounds.filter((sound) => sound.slur === slur && sound.tone !== null);
    joined.forEach((sound, i) =>
      places.set(sound, i === 0 ? 'start' : i === joined.length - 1 ? 'stop' : 'inside'),
    );
    const [only] = joined;
    if (joined.length === 1 && only !== undefined) {
      problems.push(
        fault('broken-slur', 'The line under this letter joins it to no other.', spanOf(only.piece)),
      );
    }
  }
  return places;
}

function syllablesOf(
  words: Piece | null,
  takes: readonly Sound[],
  problems: Problem[],
): ReadonlyMap<Sound, NoteSyllable> {
  const found = new Map<Sound, NoteSyllable>();
  if (words === null) return found;
  const written = readSyllables(words);
  const [extra, bare] = [written[takes.length], takes[written.length]];
  if (extra !== undefined || bare !== undefined) {
    const message = `There are ${String(written.length)} syllables for ${String(takes.length)} notes of this line.`;
    const piece = extra?.piece ?? bare?.piece ?? words;
    const hint = 'Notes on one syllable are joined by a line beneath, or stand in round brackets: (s.l)';
    problems.push(fault('syllables-count', message, spanOf(piece), hint));
    return found;
  }
  let word = -1;
  let inside = false;
  takes.forEach((sound, i) => {
    const { text = '', goesOn = false } = written[i] ?? {};
    if (!inside) word += 1;
    const division = inside ? (goesOn ? 'middle' : 'end') : goesOn ? 'begin' : 'single';
    found.set(sound, { text, word, division });
    inside = goesOn;
  });
  const last = written.at(-1);
  if (inside && last !== undefined) {
    const message = `The word of "${last.piece.text}" goes on, but the line ends.`;
    problems.push(fault('broken-word', message, spanOf(last.piece)));
  }
  return found;
}
