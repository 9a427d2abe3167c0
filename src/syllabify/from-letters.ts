/**
 * A word that nothing is known of but its letters: the model's guess, divided.
 */
import { align, nucleiOf } from './align.ts';
import { divide } from './divide.ts';
import { guess } from './guess.ts';
import type { Known } from './known-parts.ts';
import { wordSounds } from './speaker.ts';
import type { Speaker, Spoken } from './speaker.ts';
import { withoutMuteParts } from './spell.ts';

export function fromLetters(speaker: Speaker, letters: string): Spoken {
  const { nuclei, graphemes } = guess(speaker.model, letters, (word) => knownWord(speaker, word));
  const spelled = {
    letters,
    nuclei: nuclei.map((nucleus) => ({ ...nucleus, short: nucleus.end - nucleus.start === 1 })),
    graphemes,
  };
  const strong = nuclei.findLastIndex((nucleus) => nucleus.stress > 0);
  const way: Spoken = {
    cuts: divide(spelled, []),
    stresses: nuclei.map((nucleus) => nucleus.stress),
    vowels: nuclei.map((nucleus) => nucleus.start),
    phones: [],
    rhyme: letters.slice(nuclei[Math.max(0, strong)]?.start ?? 0),
    cost: 0,
    source: 'rule',
  };
  return withoutMuteParts(letters, way);
}

/** A dictionary word's vowels and stress, as evidence for a word that has it as a part. */
function knownWord(speaker: Speaker, word: string): Known | null {
  const [phones] = wordSounds(speaker, word);
  if (phones === undefined) return null;
  const nuclei = nucleiOf(align(word, phones, speaker.spellings), phones, word);
  if (nuclei === null || nuclei.length === 0) return null;
  const primary = nuclei.findLastIndex((nucleus) => nucleus.stress === 2);
  return { vowels: nuclei.map((nucleus) => nucleus.start), primary: Math.max(0, primary) };
}
