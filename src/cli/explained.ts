/**
 * Why the notes are these notes, as text: for each phrase its form, its cadence and the rules that decided; and what a
 * song of a family altered.
 */
import {
  alterations,
  explainMelody,
  type Alteration,
  type Origin,
  type PhraseReasons,
  type Song,
} from '../index.ts';

/** Every song explained, a blank line between. */
export function explained(songs: readonly Song[], origins: readonly Origin[]): string {
  return songs
    .flatMap((song, i) => {
      const origin = origins[i];
      return origin === undefined ? [] : [songExplained(song, origin)];
    })
    .join('\n');
}

function songExplained(song: Song, { rhythm, melody }: Origin): string {
  const lines = [`Why these notes: ${song.title}, ${song.rung}, take ${String(song.take)}`];
  for (const phrase of explainMelody(rhythm, melody)) lines.push('', ...phraseExplained(phrase));
  if (melody.family !== null) {
    lines.push('', `Altered from ${melody.family.rung}:`);
    lines.push(...alterationLines(alterations(melody.family, song)));
  }
  return `${lines.join('\n')}\n`;
}

function phraseExplained({ line, form, cadence, tune, reasons }: PhraseReasons): readonly string[] {
  return [
    `Line ${String(line)}   ${form}   ${cadence}   ${tune}`,
    ...reasons.map(({ words, notes }) => `  ${counted(notes)}: ${words}`),
  ];
}

/** One line of text for each line of the rhyme. */
function alterationLines(all: readonly Alteration[]): readonly string[] {
  if (all.length === 0) return ['  nothing'];
  const lines = [...new Set(all.map(({ line }) => line))];
  return lines.map((number) => {
    const notes = all
      .filter(({ line }) => line === number)
      .map(({ syllable, from, to }) => {
        const where = syllable === null ? '' : `${syllable.replace(/[.,;:!?]+$/, '')} `;
        return `${where}${from === null ? `gets ${to} as well` : `${from} to ${to}`}`;
      });
    return `  Line ${String(number)}: ${notes.join(', ')}`;
  });
}

function counted(notes: number): string {
  return notes === 1 ? ' 1 note ' : `${String(notes).padStart(2)} notes`;
}
