/**
 * Listening tasks for the whole song, with their answers taken from the song: a new one for each hearing (a task
 * for each of several hearings before singing is common practice).
 */
import type { Question } from '../lesson.ts';
import { midiNumber, readPitch } from '../pitch.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';

/** At least three, in the order in which they are asked. */
export function questionsAbout(song: Song): readonly Question[] {
  return [
    phrasesQuestion(song),
    highestQuestion(song),
    returnsQuestion(song),
    endingQuestion(song),
    longestQuestion(song),
  ];
}

function phrasesQuestion(song: Song): Question {
  return {
    ask: 'Keep the beat on your knees. How many phrases do you hear?',
    answer: String(song.phrases.length),
  };
}

function highestQuestion(song: Song): Question {
  const height = (note: SongNote): number => {
    const pitch = note.pitch === null ? null : readPitch(note.pitch);
    return pitch === null ? -1 : midiNumber(pitch);
  };
  const highest = Math.max(...song.phrases.flatMap((phrase) => phrase.notes.map(height)));
  return {
    ask: 'On which word is the highest tone?',
    answer: listed(song.phrases.flatMap((phrase) => wordsWhere(phrase, (note) => height(note) === highest))),
  };
}

function returnsQuestion(song: Song): Question {
  const groups = new Map<string, string[]>();
  song.phrases.forEach((phrase, i) => {
    const letter = phrase.form.replace(/'+$/, '');
    groups.set(letter, [...(groups.get(letter) ?? []), String(i + 1)]);
  });
  const alike = [...groups.values()].filter((numbers) => numbers.length > 1);
  return {
    ask: 'Which phrases begin with the same tune?',
    answer: alike.length === 0 ? 'none' : alike.map((numbers) => numbers.join(' and ')).join('; '),
  };
}

function endingQuestion(song: Song): Question {
  const closed = song.phrases.flatMap((phrase, i) => (phrase.cadence === 'closed' ? [String(i + 1)] : []));
  return {
    ask: 'Which phrases come to rest, as if the song could stop there?',
    answer: closed.length === 0 ? 'none' : closed.join(', '),
  };
}

function longestQuestion(song: Song): Question {
  const longest = Math.max(
    ...song.phrases.flatMap((phrase) => phrase.notes.filter(sounds).map((n) => n.duration)),
  );
  return {
    ask: 'Which word is sung the longest?',
    answer: listed(
      song.phrases.flatMap((phrase) => wordsWhere(phrase, (n) => sounds(n) && n.duration === longest)),
    ),
  };
}

function sounds(note: SongNote): boolean {
  return note.tone !== null;
}

/** Words of a phrase with a note of that sort; a note that a slur or tie continues belongs to the word before. */
function wordsWhere(phrase: SongPhrase, holds: (note: SongNote) => boolean): readonly string[] {
  const texts = new Map<number, string>();
  const chosen = new Set<number>();
  let word = -1;
  for (const note of phrase.notes) {
    if (note.syllable !== null) {
      word = note.syllable.word;
      texts.set(word, (texts.get(word) ?? '') + note.syllable.text);
    }
    if (word >= 0 && holds(note)) chosen.add(word);
  }
  return [...chosen].map((each) => (texts.get(each) ?? '').replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}]+$/gu, ''));
}

/** Up to four words, each once; more are counted. */
function listed(words: readonly string[]): string {
  const distinct = [...new Set(words.map((word) => word.toLowerCase()))];
  const shown = distinct.slice(0, 4).join(', ');
  const more = distinct.length - 4;
  return more > 0 ? `${shown} and ${String(more)} more` : shown;
}
