/**
 * bench: every rule of every rung, read by the reader that shares no code with the search. Arguments: how many rhythms
 * to make by seed (default 1000), then files of rhymes with beat marks (blocks that begin with `== name`).
 */
import { readFileSync } from 'node:fs';
import type { Rhythm } from '../../src/rhythm.ts';
import { setTakes } from '../../src/setting/melody.ts';
import { placeBeats } from '../../src/setting/placement.ts';
import { setRhythm } from '../../src/setting/rhythm.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import type { Song } from '../../src/song.ts';
import { openLexicon, readVerse } from '../../src/syllabify/index.ts';
import { departures } from '../setting/rules-of-the-rung.ts';
import { someRhythm } from '../setting/some-rhythm.ts';

const [count = '1000', ...paths] = process.argv.slice(2);
const rhythms: Rhythm[] = [];
for (let seed = 1; seed <= Number(count); seed += 1) rhythms.push(someRhythm(seed));
const made = rhythms.length;
for (const path of paths) rhythms.push(...rhymesOf(path));
console.log(`${String(made)} rhythms made by seed, ${String(rhythms.length - made)} rhymes from files`);

let [songs, refused, missing, wrong] = [0, 0, 0, 0];
const kinds = new Map<string, number>();
rhythms.forEach((rhythm, n) => {
  let family: readonly (Song | null)[] = [];
  for (const rung of RUNGS) {
    const slur = n % 4 !== 0;
    const options = { rung, do: null, tempoBpm: null, seed: n, take: 1, slur, voice: null, family: null };
    // Every other rhythm climbs the ladder as a family.
    const families = n % 2 === 0 ? [] : family;
    const outcomes = setTakes(rhythm, options, { first: 1, last: 5, families });
    family = outcomes.map((o) => (o.ok ? o.value : null));
    for (const outcome of outcomes) {
      if (!outcome.ok) {
        refused += 1;
        console.log(`rhythm ${String(n)} on ${rung.name}: ${outcome.problems[0]?.message ?? ''}`);
        continue;
      }
      songs += 1;
      if (outcome.problems.some((p) => p.code === 'new-tone-missing')) missing += 1;
      const found = departures(outcome.value, rhythm, { slur });
      if (found.length > 0) wrong += 1;
      for (const what of found) {
        const kind = what.replace(/line \d+|take \d+/g, '').replace(/\d+/g, 'n');
        if (!kinds.has(kind)) console.log(`rhythm ${String(n)}: ${what}`);
        kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
      }
    }
  }
});
console.log(`${String(songs)} songs, ${String(wrong)} with a departure, ${String(refused)} not made`);
console.log(`${String(missing)} songs without room for the new tone, each reported`);
for (const [kind, n] of kinds) console.log(`  ${String(n)} x ${kind}`);

function rhymesOf(path: string): readonly Rhythm[] {
  const lexicon = openLexicon(readFileSync('dist/pronunciations.bin'));
  const blocks = readFileSync(path, 'utf8')
    .split(/^== .*$/m)
    .slice(1);
  return blocks.flatMap((block) => {
    const text = block
      .split('\n')
      .filter((line) => !/^[~#]/.test(line))
      .join('\n')
      .trim();
    const verse = readVerse(text, { lexicon });
    if (!verse.ok) return [];
    const placed = placeBeats(verse.value, { beatClass: null, beats: null });
    const rhythm = placed.ok ? setRhythm(placed.value, { metre: null, emptyBeats: 'rest' }) : placed;
    return rhythm.ok ? [rhythm.value] : [];
  });
}
