/**
 * The rhythm of one bar in names by note value (ta, ti-ti): each word lasts as long as it says.
 */
import type { Problem } from '../problem.ts';
import { figuresOf, type Figure, type RhythmNames, type ValueNames } from '../rhythm-names.ts';
import { nearest } from '../suggest.ts';
import type { Metre } from '../time.ts';
import { fault, spanOf } from './score-text.ts';
import { groupsOf, wordsOfGroup, type ReadBar, type Sound, type Word } from './score-words.ts';

/** The reader of a value family in a metre; spaces and hyphens between its words are for the eye. */
export function valueReader(names: ValueNames, metre: Metre): ReadBar {
  const figures = figuresOf(names, metre.beatClass).map((figure) => ({
    ...figure,
    words: figure.says.toLowerCase().split('-'),
  }));
  // the longest figure first: `ta-a-a` before `ta-a` before `ta`
  figures.sort((a, b) => b.words.length - a.words.length);
  const figureAt = (words: readonly Word[], i: number): (Figure & { words: string[] }) | undefined =>
    figures.find(({ words: said }) =>
      said.every((text, k) => {
        const word = words[i + k];
        return word?.text.toLowerCase() === text && (k === said.length - 1 || !word.breath);
      }),
    );
  return (bar, _place, problems) => {
    const sounds: Sound[] = [];
    let at = 0;
    for (const [segment, { rhythm }] of bar.segments.entries()) {
      for (const group of groupsOf(rhythm)) {
        const words = wordsOfGroup(group.text, group.start);
        for (let i = 0; i < words.length;) {
          const figure = figureAt(words, i);
          if (figure === undefined) {
            problems.push(unknownName(words[i] ?? { ...group, breath: false }, names, figures));
            return null;
          }
          const last = words[i + figure.words.length - 1];
          figure.ticks.forEach((duration, k) => {
            const isLast = k === figure.ticks.length - 1;
            const piece = { text: figure.says, start: words[i]?.start ?? group.start };
            const breath = isLast && last?.breath === true;
            sounds.push({ at, duration, rest: figure.rest, breath, segment, piece });
            at += duration;
          });
          i += figure.words.length;
        }
      }
    }
    return sounds;
  };
}

function unknownName(word: Word, names: RhythmNames, figures: readonly Figure[]): Problem {
  const known = figures.filter((figure) => !figure.rest || figure.says === 'z').map((figure) => figure.says);
  const near = nearest(word.text, known);
  return fault(
    'rhythm-name',
    `"${word.text}" is not a rhythm name of the family ${names.name}. Its names are ${known.join(', ')}; in brackets they are rests.`,
    spanOf(word),
    near === null ? 'Another family is chosen by names: at the top of the score.' : `Did you mean ${near}?`,
  );
}
