/**
 * The ways a word loses a syllable in singing, found by rule from its sounds: ev-ery, flower, fire, hap-pier, be'ng.
 * Each is the full reading with two neighbouring syllables sung as one.
 */
import { bare, isVowel, stressOf } from './phones.ts';
import type { Phone } from './phones.ts';

/** Two syllables sung as one. */
export interface Merge {
  /** Index of the first of the two syllables. */
  readonly at: number;
  /** What it costs against the full reading; negative where the short form is the usual one. */
  readonly cost: number;
  /** The sounds of the short form. */
  readonly phones: readonly Phone[];
}

/** A vowel that may go: unstressed a, e, i, o or er. */
const WEAK = new Set(['AH0', 'IH0', 'ER0']);
const GLIDING = new Set(['R', 'L', 'N']);

/**
 * Costs in the unit of the placement search (about 100 to a factor of e). Common practice in songs: fire and hour are
 * one syllable, every two; power and flower may be one; heaven and being as one are for old verse.
 */
const COST = {
  smoothed: 60,
  smoothedUsual: -60,
  syncope: 160,
  gliding: 150,
  heaven: 200,
  being: 220,
  violet: 180,
};

/**
 * All merges of one full pronunciation, in order of syllables.
 *
 * @param letters the word, for spellings whose short form is the usual one (`ire`, `our`).
 */
export function mergesOf(letters: string, phones: readonly Phone[]): readonly Merge[] {
  const merges: Merge[] = [];
  let syllable = -1;
  phones.forEach((phone, j) => {
    if (!isVowel(phone)) return;
    syllable++;
    const found =
      smoothed(letters, phones, j) ?? syncope(phones, j) ?? gliding(phones, j) ?? others(phones, j);
    if (found !== null) merges.push({ ...found, at: syllable - (found.back ?? 0) });
  });
  return merges.map(({ at, cost, phones: short }) => ({ at, cost, phones: short }));
}

interface Found {
  readonly cost: number;
  readonly phones: readonly Phone[];
  /** 1 when the vowel joins the syllable before it, 0 when it joins the one after. */
  readonly back: 0 | 1;
}

function cutOut(phones: readonly Phone[], j: number, ...put: readonly Phone[]): readonly Phone[] {
  return [...phones.slice(0, j), ...put, ...phones.slice(j + 1)];
}

/** Fire, flower, hour, choir: a closing diphthong and er run together. */
function smoothed(letters: string, phones: readonly Phone[], j: number): Found | null {
  const before = phones[j - 1] ?? '';
  if (phones[j] !== 'ER0' || !/^(?:AY|AW)[12]$/.test(before)) return null;
  const usual =
    /(?:ire|yre|our|oir)(?:s|d|place|man|fly|work)?/.test(letters) && !/(?:ier|yer|ower)/.test(letters);
  return { cost: usual ? COST.smoothedUsual : COST.smoothed, phones: cutOut(phones, j, 'R'), back: 1 };
}

/** Ev(e)ry, cam(e)ra, fam(i)ly, lis(te)ning: a weak vowel between a consonant and r, l or n before a weak vowel. */
function syncope(phones: readonly Phone[], j: number): Found | null {
  const phone = phones[j] ?? '';
  const before = phones[j - 1] ?? '';
  if (!WEAK.has(phone) || before === '' || isVowel(before)) return null;
  if (!phones.slice(0, j).some((p) => isVowel(p) && stressOf(p) > 0)) return null;
  const rhotic = phone === 'ER0';
  const next = phones[j + 1] ?? '';
  const after = rhotic ? next : (phones[j + 2] ?? '');
  if (!rhotic && !GLIDING.has(next)) return null;
  if (!isVowel(after) || stressOf(after) > 0) return null;
  // The consonant before it must be able to stand before r, l or n: not another of them, nor a crowd.
  const crowd = !isVowel(phones[j - 2] ?? '') && GLIDING.has(before);
  if (crowd || (before === next && !rhotic) || (GLIDING.has(before) && !rhotic)) return null;
  return { cost: COST.syncope, phones: rhotic ? cutOut(phones, j, 'R') : cutOut(phones, j), back: 0 };
}

/** Hap-pier, cu-rious, car-rion: a weak ee before a weak vowel becomes y. */
function gliding(phones: readonly Phone[], j: number): Found | null {
  const before = phones[j - 1] ?? '';
  const after = phones[j + 1] ?? '';
  if (phones[j] !== 'IY0' || before === '' || isVowel(before) || !WEAK.has(after)) return null;
  return { cost: COST.gliding, phones: cutOut(phones, j, 'Y'), back: 0 };
}

/** Heav'n and giv'n; being and seeing; vi'let and di'mond. */
function others(phones: readonly Phone[], j: number): Found | null {
  const phone = phones[j] ?? '';
  const before = phones[j - 1] ?? '';
  const next = phones[j + 1] ?? '';
  if (
    phone === 'AH0' &&
    before === 'V' &&
    next === 'N' &&
    j + 2 >= phones.length - 1 &&
    !isVowel(phones[j + 2] ?? '')
  ) {
    return { cost: COST.heaven, phones: cutOut(phones, j), back: 1 };
  }
  if (phone === 'IH0' && before === 'IY1' && next === 'NG')
    return { cost: COST.being, phones: cutOut(phones, j), back: 1 };
  if (phone === 'AH0' && before === 'AY1' && phones.slice(j + 1).some(isVowel)) {
    return { cost: COST.violet, phones: cutOut(phones, j), back: 1 };
  }
  return null;
}

/** Whether two pronunciations have the same sounds but for stress. */
export function sameSounds(one: readonly Phone[], other: readonly Phone[]): boolean {
  return one.length === other.length && one.every((phone, j) => bare(phone) === bare(other[j] ?? ''));
}
