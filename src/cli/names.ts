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

/** Gives each input a stem of its own: the second `bee` is `bee-2`. Case does not tell names apart. */
export function stemGiver(): (text: string) => string {
  const taken = new Set<string>();
  return (text) => {
    const stem = safeStem(text);
    let own = stem;
    for (let number = 2; taken.has(own); number++) own = `${stem}-${String(number)}`;
    taken.add(own);
    return own;
  };
}

/** stem.rung, and stem.rung.take where there are several takes. */
export function songFileName(stem: string, song: Song, all: readonly Song[]): string {
  const severalTakes = all.some((other) => other.take !== song.take);
  return `${stem}.${song.rung}${severalTakes ? `.${String(song.take)}` : ''}`;
}
