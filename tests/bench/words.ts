/**
 * How well unknown words are guessed: cross-validation on the pronunciation dictionary, all inflections of a stem in
 * one fold. `npm run bench:words -- [--folds 10] [--only 3] [--misses]`; with `--random` words are shared out to folds
 * at random, as most published figures are made; `--write FILE` trains on everything and stores the model.
 */
import { writeFileSync } from 'node:fs';
import { guessStress, guessVowels } from '../../src/syllabify/guess.ts';
import type { GuessModel } from '../../src/syllabify/guess.ts';
import { knownParts } from '../../src/syllabify/known-parts.ts';
import { isVowel, stressOf } from '../../src/syllabify/phones.ts';
import { buildWord } from '../../src/syllabify/stems.ts';
import { foldOf, knownFor, modelBytes, readDictionary, readEntries, train, TRAINING } from './words-train.ts';
import type { Entry } from './words-train.ts';

const flag = (name: string, fallback: number): number => {
  const at = process.argv.indexOf(name);
  return at < 0 ? fallback : Number(process.argv[at + 1]);
};
const options = {
  ...TRAINING,
  letterBits: flag('--letter-bits', TRAINING.letterBits),
  stressBits: flag('--stress-bits', TRAINING.stressBits),
  letterRounds: flag('--letter-rounds', TRAINING.letterRounds),
  stressRounds: flag('--stress-rounds', TRAINING.stressRounds),
  stressDrop: flag('--stress-drop', TRAINING.stressDrop),
  letterDrop: flag('--letter-drop', TRAINING.letterDrop),
};
const pronunciations = readDictionary();
const entries = readEntries(pronunciations);
const random = process.argv.includes('--random');

interface Tally {
  words: number;
  count: number;
  longer: number;
  both: number;
  place: number;
  givenCount: number;
  usedCount: number;
  usedBoth: number;
}

function measure(
  model: GuessModel,
  test: readonly Entry[],
  dictionary: ReadonlyMap<string, Entry>,
  misses: string[],
): Tally {
  const tally = {
    words: 0,
    count: 0,
    longer: 0,
    both: 0,
    place: 0,
    givenCount: 0,
    usedCount: 0,
    usedBoth: 0,
  };
  for (const entry of test) {
    const word = { letters: entry.word, parts: knownParts(entry.word, knownFor(entry, dictionary)) };
    const vowels = guessVowels(model, word);
    const right = entry.listed.filter((listed) => listed.count === vowels.length);
    tally.words++;
    if (right.length > 0) tally.count++;
    const stress = guessStress(model, word, vowels);
    // As the program does it: a stem in the dictionary first, then the model.
    const used = asUsed(entry, dictionary) ?? { count: vowels.length, stress };
    const usedRight = entry.listed.filter((listed) => listed.count === used.count);
    if (usedRight.length > 0) tally.usedCount++;
    if (!entry.listed.some((listed) => listed.count > 1)) continue;
    tally.longer++;
    if (usedRight.some((listed) => listed.primaries.includes(used.stress))) tally.usedBoth++;
    if (right.some((listed) => listed.primaries.includes(stress))) tally.both++;
    else misses.push(`${entry.word} ${String(stress + 1)}/${String(vowels.length)}`);
    if (entry.listed.some((listed) => listed.primaries.includes(stress))) tally.place++;
    const taught = entry.taught;
    if (taught === null) continue;
    const given = guessStress(model, word, taught.vowels);
    if (entry.listed.some((l) => l.count === taught.vowels.length && l.primaries.includes(given)))
      tally.givenCount++;
  }
  return tally;
}

/** The word built from a stem among the learnt words, if it has one. */
function asUsed(
  entry: Entry,
  dictionary: ReadonlyMap<string, Entry>,
): { count: number; stress: number } | null {
  const lookUp = (word: string): readonly (readonly string[])[] => {
    const found = dictionary.get(word);
    return found === undefined || (!random && found.stem === entry.stem)
      ? []
      : (pronunciations.get(word) ?? []);
  };
  const vowels = buildWord(entry.word, lookUp)?.phones.filter(isVowel);
  if (vowels === undefined) return null;
  return { count: vowels.length, stress: vowels.findIndex((vowel) => stressOf(vowel) === 2) };
}

/** A share in per cent with its 95 % interval (normal approximation). */
function share(part: number, whole: number): string {
  const p = part / whole;
  return `${(100 * p).toFixed(2)} % ± ${(196 * Math.sqrt((p * (1 - p)) / whole)).toFixed(2)} of ${String(whole)}`;
}

const write = process.argv.indexOf('--write');
if (write > 0) {
  const bytes = modelBytes(train(entries, options));
  writeFileSync(process.argv[write + 1] ?? '', bytes);
  console.log(`${String(entries.length)} headwords, ${String(bytes.length)} bytes`);
} else {
  const folds = flag('--folds', 10);
  const only = flag('--only', folds);
  const total: Tally = {
    words: 0,
    count: 0,
    longer: 0,
    both: 0,
    place: 0,
    givenCount: 0,
    usedCount: 0,
    usedBoth: 0,
  };
  const misses: string[] = [];
  for (let fold = 0; fold < Math.min(folds, only); fold++) {
    const learnt = entries.filter((entry) => foldOf(random ? entry.word : entry.stem, folds) !== fold);
    const held = entries.filter((entry) => foldOf(random ? entry.word : entry.stem, folds) === fold);
    const start = performance.now();
    const model = train(learnt, options);
    const dictionary = new Map(learnt.map((entry) => [entry.word, entry]));
    const tally = measure(model, held, dictionary, misses);
    for (const key of Object.keys(total) as (keyof Tally)[]) total[key] += tally[key];
    const seconds = ((performance.now() - start) / 1000).toFixed(0);
    console.log(
      `fold ${String(fold + 1)}: count ${share(tally.count, tally.words)}; stress ${share(tally.both, tally.longer)} (${seconds} s)`,
    );
  }
  console.log(`syllable count right:                         ${share(total.count, total.words)} words`);
  console.log(
    `count and primary stress right:               ${share(total.both, total.longer)} words of two syllables and more`,
  );
  console.log(`primary stress on the right syllable number:  ${share(total.place, total.longer)}`);
  console.log(`primary stress, true vowels given:            ${share(total.givenCount, total.longer)}`);
  console.log(`as used, stems first: count right             ${share(total.usedCount, total.words)}`);
  console.log(`as used, stems first: count and stress right  ${share(total.usedBoth, total.longer)}`);
  if (process.argv.includes('--misses')) console.log(misses.join(', '));
}
