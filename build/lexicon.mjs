/**
 * Compile the CMU Pronouncing Dictionary (npm package cmu-pronouncing-dictionary, development only) into
 * dist/pronunciations.bin, which src/syllabify/lexicon.ts searches without reading it into objects.
 *
 * The file: "CWP1", then little-endian u32 block count, u32 offset of the block table, u32 offset of the model
 * of unknown words, u32 its length; then blocks of 32 headwords in byte order. An entry is: letters shared with
 * the headword before (1 byte), letters of its own (1 byte and the letters), number of pronunciations (1 byte),
 * each pronunciation as its number of phones (1 byte) and one byte a phone. The table holds a u32 a block.
 * Headwords are lower-case letters and apostrophes; hyphenated and dotted headwords are left out, since
 * hyphenated words are read part by part.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dictionary } from 'cmu-pronouncing-dictionary';

const BLOCK = 32;
const CONSONANTS = 'B CH D DH F G HH JH K L M N NG P R S SH T TH V W Y Z ZH'.split(' ');
const VOWELS = 'AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW'.split(' ');

/** One byte a phone: consonants from 1, vowels 64 + 3 times the vowel + the stress digit. */
function phoneByte(phone) {
  const consonant = CONSONANTS.indexOf(phone);
  if (consonant >= 0) return consonant + 1;
  const vowel = VOWELS.indexOf(phone.slice(0, -1));
  const stress = Number(phone.slice(-1));
  if (vowel < 0 || !(stress >= 0 && stress <= 2)) throw new Error(`unknown phone ${phone}`);
  return 64 + 3 * vowel + stress;
}

/** Headword to its pronunciations as byte arrays, comments and repeats dropped, the dictionary's order kept. */
export function readDictionary() {
  const words = new Map();
  for (const [entry, value] of Object.entries(dictionary)) {
    const headword = entry.replace(/\(\d+\)$/, '');
    if (!/^[a-z']+$/.test(headword) || !/[a-z]/.test(headword)) continue;
    const phones = value.replace(/#.*/, '').trim().split(/\s+/);
    const known = words.get(headword) ?? [];
    if (!known.some((other) => other.join(' ') === phones.join(' '))) known.push(phones);
    words.set(headword, known);
  }
  return words;
}

function compile(words, model) {
  const headwords = [...words.keys()].sort((a, b) => (a < b ? -1 : 1));
  const bytes = [0x43, 0x57, 0x50, 0x31, ...new Array(16).fill(0)];
  const table = [];
  headwords.forEach((headword, index) => {
    let shared = 0;
    if (index % BLOCK === 0) table.push(bytes.length);
    else {
      const before = headwords[index - 1];
      while (shared < before.length && before[shared] === headword[shared]) shared++;
    }
    const pronunciations = words.get(headword);
    bytes.push(
      shared,
      headword.length - shared,
      ...Buffer.from(headword.slice(shared)),
      pronunciations.length,
    );
    for (const phones of pronunciations) bytes.push(phones.length, ...phones.map(phoneByte));
  });
  while (bytes.length % 4 !== 0) bytes.push(0);
  const tableAt = bytes.length;
  const whole = Buffer.alloc(tableAt + 4 * table.length + model.length);
  whole.set(bytes);
  table.forEach((offset, index) => whole.writeUInt32LE(offset, tableAt + 4 * index));
  whole.set(model, tableAt + 4 * table.length);
  whole.writeUInt32LE(table.length, 4);
  whole.writeUInt32LE(tableAt, 8);
  whole.writeUInt32LE(tableAt + 4 * table.length, 12);
  whole.writeUInt32LE(model.length, 16);
  return whole;
}

/** Write the file and say what is in it. */
export function writeLexicon(target) {
  const words = readDictionary();
  const modelFile = new URL('unknown-words.bin', import.meta.url);
  const model = existsSync(modelFile) ? readFileSync(modelFile) : Buffer.alloc(0);
  const whole = compile(words, model);
  mkdirSync(new URL('.', target), { recursive: true });
  writeFileSync(target, whole);
  const pronunciations = [...words.values()].reduce((sum, list) => sum + list.length, 0);
  console.log(
    `pronunciations.bin: ${whole.length} bytes, ${words.size} headwords, ${pronunciations} pronunciations, ` +
      `${model.length} bytes of model for unknown words`,
  );
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  writeLexicon(new URL('../dist/pronunciations.bin', import.meta.url));
}
