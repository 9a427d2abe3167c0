/** The rhymes of the examples, set on every rung by the program as a teacher gets it. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { compose } from '../../src/compose.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import type { Song } from '../../src/song.ts';
import { openLexicon } from '../../src/syllabify/lexicon.ts';

const examples = new URL('../../examples/', import.meta.url);
const lexicon = new URL('../../dist/pronunciations.bin', import.meta.url);

/** Rhyme after rhyme, rung after rung; those that a rung cannot carry are missing. */
export async function exampleSongs(): Promise<readonly { readonly name: string; readonly song: Song }[]> {
  const words = openLexicon(readFileSync(fileURLToPath(lexicon)));
  const songs: { name: string; song: Song }[] = [];
  for (const file of readdirSync(examples).filter((name) => name.endsWith('.txt'))) {
    const outcome = await compose(readFileSync(new URL(file, examples), 'utf8'), words, { rung: RUNGS });
    if (outcome.ok)
      for (const song of outcome.value.songs) songs.push({ name: `${file} on ${song.rung}`, song });
  }
  return songs;
}
