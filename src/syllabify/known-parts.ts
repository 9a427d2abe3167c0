/**
 * Known words inside an unknown one: the longest that begins it, the longest that ends it, and the most even pair that
 * makes it up. What they say of its vowels and stress is evidence for the guess, not a verdict.
 */

/** A known word's vowels, as letter indexes, and which of them has the primary stress. */
export interface Known {
  readonly vowels: readonly number[];
  /** Index into `vowels`. */
  readonly primary: number;
}

/** Finds a known word of letters a to z; null when there is none. */
export type KnownWords = (word: string) => Known | null;

export interface Part extends Known {
  /** Where the known word begins and ends in the unknown one; a dropped e may stand beyond its end. */
  readonly from: number;
  readonly to: number;
}

export interface KnownParts {
  readonly left: Part | null;
  readonly right: Part | null;
  /** Two known words that meet and leave nothing over. */
  readonly pair: readonly [Part, Part] | null;
}

/** Shortest known word that counts as evidence at the beginning or end. */
const SHORTEST = 3;

/** The known words inside a word of letters a to z. O(letters) look-ups. */
export function knownParts(letters: string, known: KnownWords): KnownParts {
  return { left: leftPart(letters, known), right: rightPart(letters, known), pair: pairOf(letters, known) };
}

function leftPart(letters: string, known: KnownWords): Part | null {
  for (let to = letters.length - 1; to >= SHORTEST; to--) {
    const stem = letters.slice(0, to);
    const twin = stem.at(-1) === stem.at(-2);
    const found =
      known(stem) ?? (to > SHORTEST ? (known(`${stem}e`) ?? (twin ? known(stem.slice(0, -1)) : null)) : null);
    if (found !== null) return { ...found, from: 0, to };
  }
  return null;
}

function rightPart(letters: string, known: KnownWords): Part | null {
  for (let from = 1; from <= letters.length - SHORTEST; from++) {
    const found = known(letters.slice(from));
    if (found !== null) return { ...found, from, to: letters.length };
  }
  return null;
}

function pairOf(letters: string, known: KnownWords): readonly [Part, Part] | null {
  for (let half = letters.length >> 1; half >= 2; half--) {
    for (const at of half * 2 === letters.length ? [half] : [half, letters.length - half]) {
      const left = known(letters.slice(0, at));
      const right = left === null ? null : known(letters.slice(at));
      if (left === null || right === null) continue;
      return [
        { ...left, from: 0, to: at },
        { ...right, from: at, to: letters.length },
      ];
    }
  }
  return null;
}
