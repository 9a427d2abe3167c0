/** A song as its sounds: ties joined, rests left out, each with the word that it is sung to. */
import type { Tone } from '../pitch.ts';
import type { Song, SongPhrase } from '../song.ts';
import type { Standing } from './hard-rules.ts';

export interface CheckedSound extends Standing {
  readonly tone: Tone;
  readonly pitch: string;
  readonly onset: number;
  /** Index of the word in its line, and its text put together from its syllables; null without words. */
  readonly word: number | null;
  readonly wordText: string | null;
  /** Index of the syllable in its line, from 0; null on a sound that goes on with a syllable. */
  readonly syllable: number | null;
  readonly slur: 'start' | 'stop' | null;
}

/** The sounds of each phrase, in order. */
export function soundsOf(song: Song): readonly (readonly CheckedSound[])[] {
  return song.phrases.map((phrase, i) => {
    const closes = song.phrases[i + 1]?.stanza !== phrase.stanza;
    const words = wordTexts(phrase);
    const sounding = phrase.notes.filter((n) => n.tone !== null && n.tie !== 'stop' && n.tie !== 'both');
    let word: number | null = null;
    let syllables = 0;
    return sounding.flatMap((note, k): CheckedSound[] => {
      if (note.tone === null || note.pitch === null) return [];
      if (note.syllable !== null) word = note.syllable.word;
      return [
        {
          tone: note.tone,
          pitch: note.pitch,
          onset: note.onset,
          word,
          wordText: word === null ? null : (words.get(word) ?? null),
          syllable: note.syllable === null ? null : syllables++,
          slur: note.slur,
          first: k === 0,
          last: k === sounding.length - 1,
          closes,
        },
      ];
    });
  });
}

function wordTexts(phrase: SongPhrase): ReadonlyMap<number, string> {
  const words = new Map<number, string>();
  for (const { syllable } of phrase.notes) {
    if (syllable !== null) words.set(syllable.word, (words.get(syllable.word) ?? '') + syllable.text);
  }
  return words;
}
