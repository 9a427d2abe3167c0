/**
 * The rhyme as words: what `readVerse` gives and `placeBeats` takes. Nothing here knows beats or time,
 * except the beats that the teacher wrote herself.
 */

/** A stretch of the text as typed: UTF-16 offsets from its first character, `end` exclusive. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** Lexical stress: 2 primary, 1 secondary, 0 none. A word of one syllable that carries meaning has 2. */
export type Stress = 0 | 1 | 2;

/** One sung syllable, in one reading of its word. */
export interface Syllable {
  /** The written part, punctuation of the word attached, no hyphen for the division: `Hick`, `o`, `ry,`. */
  readonly text: string;
  readonly stress: Stress;
  /**
   * How much the syllable wants a beat in its line, as an integer: 100 times the natural logarithm of the odds
   * of standing on a beat. 0 is even odds; about -300 an article, about +300 the stressed syllable of a noun.
   */
  readonly prominence: number;
  /** In a teacher's words, what decided the prominence: `stressed syllable`, `article`, `particle` ... */
  readonly reason: string;
}

/** One way to speak a word: `ev-ery` or `ev-er-y`. */
export interface Reading {
  /** At least one. Their texts joined give the word as typed, a real hyphen kept at the end of its syllable. */
  readonly syllables: readonly Syllable[];
  /** 0 for the usual reading; what the search pays to take this one. */
  readonly cost: number;
  /** Sounds from the last stressed vowel on; two words with the same string rhyme. Empty when unknown. */
  readonly rhyme: string;
}

/** Where a word's syllables and stress come from: the dictionary, a rule or model, or the teacher. */
export type WordSource = 'dictionary' | 'rule' | 'given';

export interface Word {
  /** As typed, with the punctuation that touches it: `"Hickory,`. */
  readonly text: string;
  readonly span: Span;
  readonly source: WordSource;
  /** The usual reading first, then rarer ones by rising cost. */
  readonly readings: readonly [Reading, ...Reading[]];
  /** The phrase edge after the word as punctuation shows it: 0 none, 1 comma, 2 stop, colon or dash. The line's end counts as 2. */
  readonly edge: 0 | 1 | 2;
}

/**
 * One mark of a line whose beats the teacher wrote, in order of time: a syllable on a beat, a syllable off the
 * beat, or a beat on which no syllable begins (`|-` either way, `|=` held, `|z` silent).
 */
export type GivenMark =
  { readonly kind: 'on' } | { readonly kind: 'off' } | { readonly kind: 'empty'; readonly sound: EmptySound };

/** What sounds on a beat where no syllable begins. `free`: decided by the rhythms that have been taught. */
export type EmptySound = 'free' | 'held' | 'silent';

/** One line of text, which is one phrase of the song. */
export interface Line {
  /** Counts from 1 through the whole rhyme; comments and blank lines do not count. */
  readonly number: number;
  /** Counts from 1. */
  readonly stanza: number;
  /** The words as typed, beat marks and division marks taken out, spaces folded. */
  readonly text: string;
  readonly span: Span;
  /** At least one. */
  readonly words: readonly Word[];
  /** One `on` or `off` for each syllable of the words' first readings, empty beats between; null when not given. */
  readonly given: readonly GivenMark[] | null;
}

export interface Stanza {
  /** Counts from 1. */
  readonly number: number;
  /** At least one. */
  readonly lines: readonly Line[];
}

export interface Verse {
  /** From the front matter, else the first line without its closing punctuation. */
  readonly title: string;
  /** At least one. */
  readonly stanzas: readonly Stanza[];
}

/** All lines in order, stanza after stanza. */
export function linesOf(verse: Verse): readonly Line[] {
  return verse.stanzas.flatMap((stanza) => stanza.lines);
}
