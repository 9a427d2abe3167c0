/**
 * Names for the files that are made: rhyme.rung.take.ext, safe on every file system, no two alike.
 */

import type { Song } from '../index.ts';

/** Longest stem in UTF-8 bytes; file systems allow 255 for the whole name. */
const MOST_BYTES = 120;
/** Names that Windows keeps for devices, with any ending. */
const DEVICE = /^(?:con|prn|aux|nul|com\d|lpt\d)$/i;

/**
 * A title or a file's name as the beginning of a file name. Letters of every script stay; what a file system or a
 * shell could take amiss becomes a hyphen.
 *
 * @example safeStem('Bee, bee, bumblebee') // => 'bee-bee-bumblebee'
 */
export function safeStem(text: string): string {
  const words = text
    .normalize('NFC')
    .toLowerCase()
    .replace(/['\u2018\u2019]/g, '')
    // classes of Unicode letters take milliseconds to compile, and most names are plain
    .replace(isAscii(text) ? /[^a-z0-9_]+/g : /[^\p{L}\p{M}\p{N}_]+/gu, '-');
  let stem = '';
  for (const character of words.replace(/^-+/, '')) {
    if (Buffer.byteLength(stem + character) > MOST_BYTES) break;
    stem += character;
  }
  stem = stem.replace(/-+$/, '');
  if (stem === '') return 'rhyme';
  return DEVICE.test(stem) ? `${stem}-rhyme` : stem;
}

function isAscii(text: string): boolean {
  return Buffer.byteLength(text) === text.length;
}

/** A file's name as a stem: as `safeStem`, but its dots stay. `owl.so-mi` => `owl.so-mi` */
function safeName(text: string): string {
  const parts = text.split('.').filter((part) => part.trim() !== '');
  const name = parts.map(safeStem).join('.');
  return parts.length === 0 || Buffer.byteLength(name) > MOST_BYTES ? safeStem(text) : name;
}

/** Gives each stem once: the second `bee` is `bee-2`. Case does not tell names apart. */
export function nameGiver(): (stem: string) => string {
  const taken = new Set<string>();
  return (stem) => {
    let own = stem;
    for (let number = 2; taken.has(own); number++) own = `${stem}-${String(number)}`;
    taken.add(own);
    return own;
  };
}

/** Gives each input a stem of its own. */
export function stemGiver(): (text: string) => string {
  const ownName = nameGiver();
  return (text) => ownName(safeStem(text));
}

/**
 * A name for the files of each song. Those of a rhyme are stem.rung, and stem.rung.take where there are several takes.
 * A song that has a file of its own keeps that file's name; several in one file are called by their titles, as
 * rhymes are.
 */
export function fileNames(
  songs: readonly Song[],
  input: { readonly stem: string | null; readonly isRhyme: boolean },
  ownName: (stem: string) => string,
): readonly { readonly fileName: string; readonly stem: string }[] {
  const [first] = songs;
  if (first === undefined) return [];
  if (input.isRhyme) {
    const stem = ownName(safeStem(input.stem ?? first.title));
    return songs.map((song) => ({ stem, fileName: songFileName(stem, song, songs) }));
  }
  if (songs.length === 1 && input.stem !== null) {
    const stem = ownName(safeName(input.stem));
    return [{ stem, fileName: stem }];
  }
  const stems = new Map<string, string>();
  return songs.map((song) => {
    const stem = stems.get(song.title) ?? ownName(safeStem(song.title));
    stems.set(song.title, stem);
    const alike = songs.filter((other) => other.title === song.title);
    return { stem, fileName: songFileName(stem, song, alike) };
  });
}

/** stem.rung, and stem.rung.take where there are several takes. */
function songFileName(stem: string, song: Song, all: readonly Song[]): string {
  const severalTakes = all.some((other) => other.take !== song.take);
  return `${stem}.${song.rung}${severalTakes ? `.${String(song.take)}` : ''}`;
}
