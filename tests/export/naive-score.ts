/**
 * A second reader of scores, for tests only: it knows the names of ta-ti by heart, counts, and shares no line of code
 * with the program. It reads scores without upbeats inside lines, in any metre.
 */

/** Sixteenths of each name; a name in brackets, or made of z, is silent. */
const SIXTEENTHS: Readonly<Record<string, number>> = {
  'ta-a-a-a': 16,
  'ta-a-a': 12,
  'tam-am': 12,
  'ta-a': 8,
  tam: 6,
  ta: 4,
  tim: 3,
  ti: 2,
  ka: 1,
};

export interface NaiveLine {
  /** Sixteenths of each sound, in order; rests are negative, `tika` is two ones. */
  readonly lengths: readonly number[];
  readonly letters: readonly string[];
  /** Syllables as they stand, hyphens and all. */
  readonly syllables: readonly string[];
}

export function naiveScore(text: string, beatSixteenths: number): readonly NaiveLine[] {
  const body = text.split('\n---\n')[1] ?? '';
  const blocks = body
    .split('\n\n')
    .map((block) => block.split('\n').filter((line) => line.trim() !== ''))
    .filter((lines) => lines.length > 1);
  return blocks.map((lines) => {
    const [rhythm = '', letters = '', words = ''] = lines.filter((line) => !/^(Line|Stanza)/.test(line));
    return {
      lengths: rhythm
        .replace(/\|+/g, ' ')
        .trim()
        .split(/\s+/)
        .flatMap((group) => groupLengths(group.replace(/-+/g, '-').replaceAll(',', ''), beatSixteenths)),
      letters: letters.match(/[drmfslt][,']?|-/g) ?? [],
      syllables: words.replace(/\|+/g, ' ').trim().split(/\s+/),
    };
  });
}

function groupLengths(group: string, beat: number): number[] {
  const lengths: number[] = [];
  let rest = group;
  while (rest !== '') {
    const name = Object.keys(SIXTEENTHS).find((each) => rest === each || rest.startsWith(`${each}-`));
    const silent = /^\(([a-z-]+)\)/.exec(rest);
    if (rest.startsWith('tika')) {
      lengths.push(1, 1);
      rest = rest.slice(4);
    } else if (silent !== null) {
      lengths.push(-(SIXTEENTHS[silent[1] ?? ''] ?? NaN));
      rest = rest.slice(silent[0].length);
    } else if (/^z(-z)*$/.test(rest)) {
      lengths.push(-beat * rest.split('-').length);
      rest = '';
    } else if (rest === 'z' || rest.startsWith('z-')) {
      lengths.push(-beat);
      rest = rest.slice(1);
    } else if (name !== undefined) {
      lengths.push(SIXTEENTHS[name] ?? NaN);
      rest = rest.slice(name.length);
    } else {
      throw new Error(`"${rest}"`);
    }
    rest = rest.replace(/^-/, '');
  }
  return lengths;
}
