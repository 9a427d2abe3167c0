/**
 * Single characters: which are letters, apostrophes, dashes or opening marks, and the plain letter that each letter
 * is looked up by. The tables are written here, so that they never change with the Unicode tables of a Node version.
 */

/** Letters that do not come apart into a plain letter and an accent. */
const PLAIN: Readonly<Record<string, string>> = {
  æ: 'e',
  œ: 'e',
  ø: 'o',
  ł: 'l',
  đ: 'd',
  ð: 'd',
  þ: 't',
  ß: 's',
  ı: 'i',
  ŋ: 'n',
  ħ: 'h',
};
const APOSTROPHES = "'’‘ʼ`´′ʻ";
const OPENING = '([{“«¿¡„‹';
const LETTER = /\p{L}/u;
const ACCENT = /\p{M}/u;

/**
 * The lower-case letter from a to z that a character is looked up by: `É` gives `e`. `?` for a letter of another
 * alphabet, an empty string for anything that is no letter.
 */
export function plainLetter(char: string): string {
  if (char >= 'a' && char <= 'z') return char;
  if (char >= 'A' && char <= 'Z') return char.toLowerCase();
  if (char < '\u0080' || !LETTER.test(char)) return '';
  const lower = char.toLowerCase();
  const base = lower.normalize('NFD')[0] ?? '';
  return PLAIN[lower] ?? (/^[a-z]$/.test(base) ? base : '?');
}

/** An accent that belongs to the letter before it, as in text whose accents are apart from their letters. */
export function isAccent(char: string): boolean {
  return char >= '\u0300' && ACCENT.test(char);
}

export function isApostrophe(char: string): boolean {
  return APOSTROPHES.includes(char);
}

/** A mark that belongs to the word after it. */
export function isOpening(char: string): boolean {
  return OPENING.includes(char);
}

export function isDigit(char: string): boolean {
  return (char >= '0' && char <= '9') || char === '½' || char === '¼' || char === '¾';
}

/** En dash, em dash, horizontal bar: each parts two words. */
export function isDash(char: string): boolean {
  return char === '–' || char === '—' || char === '―' || char === '‒' || char === '−';
}

export function isSpace(char: string): boolean {
  return (
    char === ' ' ||
    char === '\t' ||
    (char > '~' && /^[\s\ufeff\u200b]$/.test(char)) ||
    (char >= '\v' && char <= '\f')
  );
}
