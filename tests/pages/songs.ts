/** Songs for the page tests: every example on every rung, and rhymes that are hard to set on paper. */
import { readdirSync, readFileSync } from 'node:fs';
import { compose } from '../../src/compose.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import type { Song } from '../../src/song.ts';
import { openLexicon } from '../../src/syllabify/lexicon.ts';
import type { Rung } from '../../src/rung.ts';

const examples = new URL('../../examples/', import.meta.url);
const lexicon = openLexicon(readFileSync(new URL('../../dist/pronunciations.bin', import.meta.url)));

/** Accents of several languages, curly quotes and the flat sign; long words; eight stanzas; long and short lines. */
export const HARD_RHYMES: Readonly<Record<string, string>> = {
  accents:
    'Señor Ñandú, ¿qué hora é?\nŐ fűzfa sípot készít, “hé!”\nB♭ is flat — isn’t it?\nNaïve Zoë’s café crème',
  'long words':
    '|Rum-pel-stilts-kin |in-con-ceiv|ab-ly |straight-ened the\n|Strengths |scratched |squelched |stretched-out thoughts\nOh!',
  'eight stanzas': Array.from(
    { length: 8 },
    (_, i) =>
      `Seven little lanterns shining on the quay\nNumber ${String(i + 1)} is lonely, who will go and see?\nBlow, wind, blow, wind, blow the fog away\nBring the boats to harbour at the end of the day`,
  ).join('\n\n'),
  'twelve syllables':
    'A dozen and seventeen elephants wandering by\nWith hickory dickory umbrellas up to the sky\nCame marching and parping\nAnd never knew why',
  'one word': 'Hush!',
};

export function exampleNames(): readonly string[] {
  return readdirSync(examples).filter((name) => name.endsWith('.txt') && !name.endsWith('.score.txt'));
}

const known = new Map<string, Promise<readonly Song[]>>();

/** The songs of an example or a hard rhyme on these rungs; made once. */
export function songsOf(name: string, rungs: readonly Rung[] = RUNGS): Promise<readonly Song[]> {
  const key = `${name} ${rungs.map((rung) => rung.name).join()}`;
  const songs = known.get(key) ?? makeSongs(name, rungs);
  known.set(key, songs);
  return songs;
}

async function makeSongs(name: string, rungs: readonly Rung[]): Promise<readonly Song[]> {
  const text = HARD_RHYMES[name] ?? readFileSync(new URL(name, examples), 'utf8');
  const composed = await compose(text, lexicon, { rung: rungs });
  if (!composed.ok) throw new Error(composed.problems.map((problem) => problem.message).join(' '));
  return composed.value.songs;
}

export async function songOf(name: string, rung: string): Promise<Song> {
  const [song] = await songsOf(
    name,
    RUNGS.filter((each) => each.name === rung),
  );
  if (song === undefined) throw new Error(`${name} gives no song on ${rung}.`);
  return song;
}
