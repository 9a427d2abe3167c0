/**
 * The notes of a score as phrases of a song: ties, slurs and words joined over bar lines, letters as pitches.
 */
import { pitchName, pitchOf, toneStep, type Tone } from '../pitch.ts';
import type { Division } from '../placement.ts';
import type { Problem } from '../problem.ts';
import type { NoteSyllable, SongNote } from '../song.ts';
import type { DraftNote, DraftPhrase } from './draft.ts';
import type { MarkedNote } from './score-bars.ts';
import { SLUR_HINT } from './score-letters.ts';
import type { ScoreSettings } from './score-settings.ts';
import { fault, spanOf, type PhraseText } from './score-text.ts';

/**
 * Make phrases of marked notes; what a label leaves open is worked out. Problems: `broken-tie`, `broken-slur`,
 * `broken-word`.
 */
export function draftPhrases(
  texts: readonly PhraseText[],
  notes: readonly (readonly MarkedNote[])[],
  settings: ScoreSettings,
  problems: Problem[],
): readonly DraftPhrase[] {
  const tones = new Set<Tone>(settings.tones);
  const drafted = texts.map((text, p): DraftPhrase => {
    const marked = notes[p] ?? [];
    const slurs = readSlurs(marked, problems);
    const syllables = readWords(marked, text, problems);
    const own = tieTones(marked, problems).map((tone, i): DraftNote => {
      const { sound, onset } = marked[i] ?? MISSING;
      if (tone !== null && tone !== '?') checkTone(tone, marked[i], { tones, settings, problems });
      return {
        onset,
        duration: sound.duration,
        tone,
        pitch: tone === null || tone === '?' ? null : pitchName(pitchOf(tone, settings.doPitch)),
        syllable: syllables[i] ?? null,
        slur: slurs[i] ?? null,
        tie: tieOf(marked, i),
        breath: sound.rest ? null : sound.breath,
      };
    });
    return {
      line: text.line,
      stanza: text.stanza,
      text: text.text ?? wordsText(own),
      form: text.form ?? '',
      cadence: text.cadence ?? 'open',
      notes: own,
    };
  });
  return nameForms(drafted, texts);
}

const MISSING: MarkedNote = {
  onset: 0,
  sound: { at: 0, duration: 0, rest: true, breath: false, segment: 0, piece: { text: '', start: 0 } },
  letter: null,
  syllable: null,
};

/** The tone of each note: its letter's, or for a tied one that of the note before. */
function tieTones(marked: readonly MarkedNote[], problems: Problem[]): readonly (Tone | '?' | null)[] {
  const tones: (Tone | '?' | null)[] = [];
  for (const { letter, sound } of marked) {
    const before = tones.at(-1) ?? null;
    if (letter?.kind === 'tied' && before === null) {
      const message = `The hyphen under "${sound.piece.text}" holds on a note, but none sounds before it in this line.`;
      problems.push(fault('broken-tie', message, spanOf(letter.piece), 'Write a solfa letter there.'));
    }
    if (letter === null) tones.push(null);
    else tones.push(letter.kind === 'tied' ? before : letter.kind === 'open' ? '?' : letter.tone);
  }
  return tones;
}

function tieOf(marked: readonly MarkedNote[], i: number): SongNote['tie'] {
  const on = marked[i]?.letter?.kind === 'tied';
  const over = marked[i + 1]?.letter?.kind === 'tied';
  return on ? (over ? 'both' : 'stop') : over ? 'start' : null;
}

function readSlurs(marked: readonly MarkedNote[], problems: Problem[]): readonly SongNote['slur'][] {
  let open: MarkedNote | null = null;
  const add = (note: MarkedNote, message: string): void => {
    const piece = note.letter?.piece ?? note.sound.piece;
    problems.push(fault('broken-slur', message, spanOf(piece), SLUR_HINT));
  };
  const slurs = marked.map((note): SongNote['slur'] => {
    const { letter } = note;
    if (letter === null) {
      if (open !== null && note.sound.rest) {
        add(note, `A rest, "${note.sound.piece.text}", stands inside a slur.`);
        open = null;
      }
      return null;
    }
    if (letter.opensSlur && letter.closesSlur)
      add(note, `The slur around "${letter.piece.text}" holds one note only.`);
    else if (letter.opensSlur && open !== null) add(note, 'A slur opens here inside another.');
    else if (letter.closesSlur && open === null) add(note, 'A slur closes here that was not opened.');
    const inside = open !== null;
    if (letter.opensSlur) open = note;
    if (letter.closesSlur) open = null;
    return letter.opensSlur ? 'start' : letter.closesSlur && inside ? 'stop' : null;
  });
  if (open !== null) add(open, 'The slur that opens here is not closed in its line.');
  return slurs;
}

/** Number the words and say where in its word each syllable stands. */
function readWords(
  marked: readonly MarkedNote[],
  text: PhraseText,
  problems: Problem[],
): readonly (NoteSyllable | null)[] {
  let word = -1;
  let inside = false;
  let last: MarkedNote | null = null;
  const syllables = marked.map((note): NoteSyllable | null => {
    if (note.syllable === null) return null;
    const { goesOn } = note.syllable;
    if (!inside) word += 1;
    const division: Division = inside ? (goesOn ? 'middle' : 'end') : goesOn ? 'begin' : 'single';
    inside = goesOn;
    last = note;
    return { text: note.syllable.text, word, division };
  });
  const open = last as MarkedNote | null;
  if (inside && open !== null && open.syllable !== null) {
    const message = `The word of "${open.syllable.piece.text}" goes on, but line ${String(text.line)} ends.`;
    const hint =
      'Take the hyphen away, or write the rest of the word. A hyphen to be sung as it stands is \\-';
    problems.push(fault('broken-word', message, spanOf(open.syllable.piece), hint));
  }
  return syllables;
}

/** The letter must belong to the tones of the song: its octave surely, the letter itself with a warning. */
function checkTone(
  tone: Tone,
  note: MarkedNote | undefined,
  at: { tones: ReadonlySet<Tone>; settings: ScoreSettings; problems: Problem[] },
): void {
  const letter = note?.letter;
  if (at.settings.tones === null || at.tones.has(tone) || letter?.kind !== 'tone') return;
  const all = at.settings.tones.join(' ');
  const [near] = at.settings.tones
    .filter((each) => each[0] === tone[0])
    .sort((a, b) => Math.abs(toneStep(a) - toneStep(tone)) - Math.abs(toneStep(b) - toneStep(tone)));
  if (near === undefined) {
    at.problems.push({
      code: 'outside-tones',
      severity: 'warning',
      message: `"${letter.piece.text}" is not among the tones of this song, ${all}.`,
      span: spanOf(letter.piece),
      hint: 'If it is meant, add it to tones: at the top of the score.',
    });
    return;
  }
  const where = toneStep(tone) > toneStep(near) ? 'above' : 'below';
  const message = `"${letter.piece.text}" lies an octave ${where} what this song reaches; its tones are ${all}.`;
  const hint = `Write ${near}, or add ${tone} to tones: at the top of the score.`;
  at.problems.push(fault('tone-octave', message, spanOf(letter.piece), hint));
}

/** The words of a phrase put together from its syllables. */
export function wordsText(notes: readonly DraftNote[]): string {
  const words: string[] = [];
  for (const { syllable } of notes) {
    if (syllable !== null) words[syllable.word] = (words[syllable.word] ?? '') + syllable.text;
  }
  return words.join(' ');
}

/**
 * Form and cadence where the labels are silent: lines with equal tones and rhythm have one letter, in order of first
 * use; the last line of each stanza closes, the others stay open. A line with open tones has no tune yet: its form
 * stays ''.
 */
export function nameForms(
  drafted: readonly DraftPhrase[],
  texts: readonly Pick<PhraseText, 'form' | 'cadence'>[],
): readonly DraftPhrase[] {
  const letters = new Map<string, string>();
  const given = new Set(texts.flatMap((text) => text.form ?? []));
  const free = [...'abcdefghijklmnopqrstuvwxyz'].filter((letter) => !given.has(letter));
  return drafted.map((phrase, p): DraftPhrase => {
    const tune = phrase.notes.map((note) => `${note.tone ?? 'z'}${String(note.duration)}`).join(' ');
    const isOpen = phrase.notes.some((note) => note.tone === '?');
    const named = isOpen ? '' : (letters.get(tune) ?? free[letters.size % free.length] ?? 'a');
    const form = texts[p]?.form ?? named;
    if ((texts[p]?.form ?? null) === null && !isOpen) letters.set(tune, form);
    const isLast = drafted[p + 1]?.stanza !== phrase.stanza;
    return { ...phrase, form, cadence: texts[p]?.cadence ?? (isLast ? 'closed' : 'open') };
  });
}
