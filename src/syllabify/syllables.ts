/**
 * Words to syllables: each typed word with its readings, their written parts, and the beats that the teacher gave.
 */
import type { GivenMark, WordSource } from '../verse.ts';
import { divide } from './divide.ts';
import type { DraftReading, DraftWord } from './draft.ts';
import type { Lexicon } from './lexicon.ts';
import { numberWords, ordinalWords } from './numerals.ts';
import { speak } from './speak.ts';
import type { Spoken } from './speak.ts';
import { isDigit } from './letters.ts';
import type { TypedChar, TypedWord, TypedWords } from './words.ts';

/** What look-ups need, and what they have found so far in this rhyme. */
export interface Speaker {
  readonly lexicon: Lexicon;
  readonly given: ReadonlyMap<string, readonly Spoken[]>;
  /** Filled as words are met; never outlives the call. */
  readonly known: Map<string, readonly Spoken[]>;
}

export interface SpokenWord {
  readonly draft: DraftWord;
  /** One `on` or `off` for each syllable of the first reading, empty beats between; empty in a plain line. */
  readonly marks: readonly GivenMark[];
}

/** The words of a line, numbers written out. */
export function spokenWords(line: TypedWords, speaker: Speaker): readonly SpokenWord[] {
  return line.words.flatMap(writeOut).map((word) => spokenWord(word, line.given, speaker));
}

function spokenWord(word: TypedWord, given: boolean, speaker: Speaker): SpokenWord {
  const key = word.chars
    .map((char) => char.letter)
    .join('')
    .replace(/[^a-z']/g, '');
  const pieces = hyphenPieces(word.chars);
  const spokenPieces = pieces.map((piece) => ways(keyOf(piece), speaker));
  const count = Math.max(...spokenPieces.map((list) => list.length));
  const readings: DraftReading[] = [];
  for (let pick = 0; pick < count; pick++) {
    const chosen = spokenPieces.map((list) => list[Math.min(pick, list.length - 1)]);
    readings.push(reading(pieces, chosen, word.chars));
  }
  const [first, ...others] = readings;
  if (first === undefined) throw new RangeError('A word has at least one reading.');
  const source: WordSource = spokenPieces.every((list) => list[0]?.source === 'dictionary')
    ? 'dictionary'
    : 'rule';
  const text = word.chars.map((char) => char.text).join('');
  const draft = {
    text,
    span: word.span,
    source,
    edge: word.edge,
    key,
    readings: [first, ...others],
  } as const;
  if (!given) return { draft, marks: [] };
  return given_(draft, word);
}

/** TEMPORARY ORDER: the reading that the teacher's marks name, and her marks for it. */
function given_(draft: DraftWord, word: TypedWord): SpokenWord {
  const cuts = word.marks.filter((mark) => mark.at > 0 && (mark.beat || mark.divides)).map((mark) => mark.at);
  let chosen: DraftReading = draft.readings[0];
  if (cuts.length > 0) {
    const texts = [0, ...cuts].map((from, index) =>
      word.chars
        .slice(from, cuts[index] ?? word.chars.length)
        .map((char) => char.text)
        .join(''),
    );
    const same = draft.readings.find((candidate) => candidate.syllables.length === texts.length);
    const longest = draft.readings[0];
    chosen = {
      syllables: texts.map((text, index) => ({
        text,
        stress: (same ?? longest).syllables[index]?.stress ?? 0,
      })),
      cost: 0,
      rhyme: (same ?? longest).rhyme,
      phones: same?.phones ?? [],
    };
  }
  const starts = [0, ...cuts];
  const marks: GivenMark[] = [];
  let syllable = 0;
  for (const mark of word.marks) {
    while (syllable < starts.length && (starts[syllable] ?? 0) < mark.at) {
      marks.push({ kind: word.marks.some((m) => m.at === starts[syllable] && m.beat) ? 'on' : 'off' });
      syllable++;
    }
    for (const sound of mark.empties) marks.push({ kind: 'empty', sound });
  }
  while (syllable < chosen.syllables.length) {
    marks.push({ kind: word.marks.some((m) => m.at === starts[syllable] && m.beat) ? 'on' : 'off' });
    syllable++;
  }
  return { draft: { ...draft, readings: [chosen] }, marks };
}

function ways(key: string, speaker: Speaker): readonly Spoken[] {
  const known = speaker.given.get(key) ?? speaker.known.get(key);
  if (known !== undefined) return known;
  const found = speak(speaker.lexicon, key);
  speaker.known.set(key, found);
  return found;
}

/** A stretch of a word's characters between real hyphens, the hyphen at its end. */
interface Piece {
  readonly from: number;
  readonly chars: readonly TypedChar[];
}

function hyphenPieces(chars: readonly TypedChar[]): readonly Piece[] {
  const pieces: Piece[] = [];
  let from = 0;
  chars.forEach((char, index) => {
    if (char.letter !== '-') return;
    pieces.push({ from, chars: chars.slice(from, index + 1) });
    from = index + 1;
  });
  pieces.push({ from, chars: chars.slice(from) });
  return pieces.filter((piece) => /[a-z?]/.test(keyOf(piece)));
}

function keyOf(piece: Piece): string {
  return piece.chars
    .map((char) => char.letter)
    .join('')
    .replace(/[^a-z'?]/g, '');
}

/** One reading of the whole word from one way to speak each piece. */
function reading(
  pieces: readonly Piece[],
  chosen: readonly (Spoken | undefined)[],
  chars: readonly TypedChar[],
): DraftReading {
  const starts: number[] = [];
  const stresses: (0 | 1 | 2)[] = [];
  const phones: string[] = [];
  let cost = 0;
  pieces.forEach((piece, index) => {
    const spoken = chosen[index];
    if (spoken === undefined) return;
    const places = piece.chars.flatMap((char, at) => (/[a-z?]/.test(char.letter) ? [piece.from + at] : []));
    const cuts = divide(spoken.spelled, spoken.seams);
    starts.push(piece.from, ...cuts.map((cut) => places[cut] ?? piece.from));
    stresses.push(...spoken.spelled.nuclei.map((nucleus) => nucleus.stress));
    phones.push(...spoken.phones);
    cost += spoken.cost;
  });
  starts[0] = 0;
  const syllables = starts.map((start, index) => ({
    text: chars
      .slice(start, starts[index + 1] ?? chars.length)
      .map((char) => char.text)
      .join(''),
    stress: stresses[index] ?? 0,
  }));
  return { syllables, cost, rhyme: chosen.at(-1)?.rhyme ?? '', phones };
}

/** A word that has digits or `&` as the words that are sung; any other word as it is. */
function writeOut(word: TypedWord): readonly TypedWord[] {
  const letters = word.chars.map((char) => char.letter);
  if (!letters.some((letter) => isDigit(letter) || letter === '&')) return [word];
  const text = word.chars.map((char) => char.text).join('');
  const match = /^([^0-9&]*)([0-9][0-9,]*|&)(st|nd|rd|th)?(.*)$/su.exec(text);
  if (match === null) return [word];
  const [, before = '', digits = '', ordinal, after = ''] = match;
  const plain = digits.replaceAll(',', '');
  const sung = digits === '&' ? ['and'] : ordinal === undefined ? numberWords(plain) : ordinalWords(plain);
  return sung.map((name, index) => {
    const printed = (index === 0 ? before : '') + name + (index === sung.length - 1 ? after : '');
    const chars = Array.from(printed, (char) => ({
      text: char,
      letter: /[a-z]/i.test(char) ? char.toLowerCase() : char === '-' ? '-' : '',
    }));
    const last = index === sung.length - 1;
    return {
      chars,
      span: word.span,
      edge: last ? word.edge : 0,
      marks: index === 0 ? word.marks.filter((mark) => mark.at === 0) : [],
    };
  });
}
