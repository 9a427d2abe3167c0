/**
 * A line as the search sees it: every syllable of every reading is a node, and each node knows which may follow.
 * Nothing here knows beats.
 */
import type { Line, Syllable } from '../verse.ts';

export interface Node {
  readonly syllable: Syllable;
  /** The syllable's letters, lower-case: the same word said again has the same. */
  readonly key: string;
  /** Index of the word in the line, and of the reading in the word. */
  readonly word: number;
  readonly reading: number;
  /** Index of the syllable in the reading, and how many the reading has. */
  readonly index: number;
  readonly count: number;
  /** Hundredths of log-odds of standing on a beat. */
  readonly prominence: number;
  /** What taking this node's reading costs; charged on the reading's first syllable only. */
  readonly readingCost: number;
  /** The phrase edge after this syllable: 0 inside words and phrases, 1 comma, 2 stop or the line's end. */
  readonly edge: 0 | 1 | 2;
  /** Nodes that may come next; empty after the last word. */
  readonly next: readonly number[];
}

export interface LineLattice {
  readonly line: Line;
  /** In the order of the words; every successor has a higher index. */
  readonly nodes: readonly Node[];
  /** Nodes that may begin the line. */
  readonly first: readonly number[];
}

/**
 * The lattice of a line. A line whose beats are given keeps only the first reading of each word, because the given
 * marks count the syllables of first readings.
 */
export function latticeOf(line: Line): LineLattice {
  const starts = wordStarts(line);
  const nodes: Node[] = [];
  line.words.forEach((word, wordIndex) => {
    const last = wordIndex === line.words.length - 1;
    const readings = line.given === null ? word.readings : word.readings.slice(0, 1);
    readings.forEach((reading, readingIndex) => {
      const count = reading.syllables.length;
      reading.syllables.forEach((syllable, index) => {
        const ends = index === count - 1;
        nodes.push({
          syllable,
          key: syllable.text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, ''),
          word: wordIndex,
          reading: readingIndex,
          index,
          count,
          prominence: syllable.prominence,
          readingCost: index === 0 ? reading.cost : 0,
          edge: !ends ? 0 : last ? 2 : word.edge,
          next: ends ? (starts[wordIndex + 1] ?? []) : [nodes.length + 1],
        });
      });
    });
  });
  return { line, nodes, first: starts[0] ?? [] };
}

/** For each word, the nodes of its readings' first syllables. */
function wordStarts(line: Line): readonly (readonly number[])[] {
  let node = 0;
  return line.words.map((word) => {
    const readings = line.given === null ? word.readings : word.readings.slice(0, 1);
    return readings.map((reading) => {
      const start = node;
      node += reading.syllables.length;
      return start;
    });
  });
}

/**
 * All of a lattice that a search can see, as a string: lines of one signature are placed alike, whatever their words.
 */
export function signatureOf({ nodes }: LineLattice): string {
  let signature = '';
  for (const node of nodes) {
    const again = node.next.filter((next) => nodes[next]?.key === node.key).join('+');
    const { prominence, word, reading, count, edge, readingCost } = node;
    signature += [
      prominence,
      word,
      reading,
      count,
      edge,
      readingCost,
      node.syllable.stress > 0,
      again,
    ].join();
    signature += ';';
  }
  return signature;
}
