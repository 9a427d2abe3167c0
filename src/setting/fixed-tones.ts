/**
 * Tones that the teacher or the class has made up for a line: as typed (`s m s m`, `... m d`) -> tones that must
 * stand on given sounds of the rhythm.
 */
import { isTone, type Tone } from '../pitch.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Span } from '../verse.ts';
import type { FixedTone } from './melody.ts';

/** The tones asked for in one line. */
export interface FixedLine {
  /** Number of the line, from 1. */
  readonly line: number;
  /** From the first sound on; null where the tone is left open. */
  readonly head: readonly (Tone | null)[];
  /** Up to the last sound, after `...`; null without `...`: then the head is the whole line. */
  readonly tail: readonly (Tone | null)[] | null;
  /** Where it stands in the text as typed. */
  readonly span: Span;
}

/** What is wrong with a line's tones, and where in its text. */
export interface FixedFault {
  readonly message: string;
  readonly part: Span;
}

/**
 * Read the tones of a line: letters with spaces, `?` or `_` for an open tone, once `...` for any number of them.
 *
 * @example readFixedTones('... m d') // => { head: [], tail: ['m', 'd'] }
 */
export function readFixedTones(text: string): Pick<FixedLine, 'head' | 'tail'> | FixedFault {
  const head: (Tone | null)[] = [];
  let tail: (Tone | null)[] | null = null;
  for (const match of text.matchAll(/\.{2,}|\u2026|[^\s.\u2026]+|\./g)) {
    const [word] = match;
    const tone = word.replace(/[\u2019\u2032]/g, "'");
    if (/^(?:\.{2,}|\u2026)$/.test(word) && tail === null) tail = [];
    else if (word === '?' || word === '_') (tail ?? head).push(null);
    else if (isTone(tone)) (tail ?? head).push(tone);
    else {
      const message = `"${word}" is no tone. Write d r m f s l t (with , below do and ' above), ? for one that is left open, ... for all that are left.`;
      return { message, part: { start: match.index, end: match.index + word.length } };
    }
  }
  return { head, tail };
}

/**
 * The sounds on which the tones of the lines must stand. A note that is tied on is one sound with the note before.
 * Problem: `bad-value` for a line that is not there or that has another number of sounds.
 */
export function fixTones(lines: readonly FixedLine[], rhythm: Rhythm): Outcome<readonly FixedTone[]> {
  const problems: Problem[] = [];
  const fixed = lines.flatMap(({ line, head, tail, span }): readonly FixedTone[] => {
    const phrase = rhythm.phrases.findIndex((each) => each.line === line);
    const notes = rhythm.phrases[phrase]?.notes ?? [];
    const sounds = notes.filter((n) => !n.rest && n.tie !== 'stop' && n.tie !== 'both').length;
    const given = head.length + (tail?.length ?? 0);
    const message =
      phrase < 0
        ? `Tones are fixed for line ${String(line)}, but the rhyme has ${counted(rhythm.phrases.length, 'line')}.`
        : given > sounds || (tail === null && given < sounds)
          ? `Line ${String(line)} has ${counted(sounds, 'note')} to sing; here ${given === 1 ? 'stands' : 'stand'} ${counted(given, 'tone')}.`
          : null;
    if (message !== null) {
      const hint = 'Write a tone for each note, ? for one that is left open, ... for all that are left.';
      problems.push({ code: 'bad-value', severity: 'error', message, span, line, hint });
      return [];
    }
    return [
      ...head.flatMap((tone, sound) => (tone === null ? [] : [{ phrase, sound, tone }])),
      ...(tail ?? []).flatMap((tone, k) =>
        tone === null ? [] : [{ phrase, sound: k - (tail?.length ?? 0), tone }],
      ),
    ];
  });
  return problems.length > 0 ? failed(...problems) : made(fixed);
}

function counted(count: number, what: string): string {
  return `${String(count)} ${what}${count === 1 ? '' : 's'}`;
}
