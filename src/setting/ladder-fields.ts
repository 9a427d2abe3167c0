/**
 * Single values of a ladder file (unknown), checked; each fault names the path to it.
 */
import { isTone, readPitch, type Tone } from '../pitch.ts';
import type { PlaceCosts } from '../rung.ts';
import { nearest } from '../suggest.ts';

/** What is wrong, and where: keys and indexes from the top of the file. */
export interface LadderFault {
  readonly path: Path;
  readonly message: string;
}

export type Path = readonly (string | number)[];
export type Fields = Readonly<Record<string, unknown>>;

/** A list of rungs; entries that cannot be read are left out, with their faults. */
export function listOf<T>(
  value: unknown,
  path: Path,
  faults: LadderFault[],
  read: (fields: Fields, path: Path, faults: LadderFault[]) => T | null,
): readonly T[] {
  if (!Array.isArray(value) || value.length === 0) {
    faults.push({ path, message: `${String(path[0])} is a list of rungs, easiest first.` });
    return [];
  }
  return value.flatMap((entry: unknown, i): T[] => {
    const at = [...path, i];
    if (!isRecord(entry)) {
      faults.push({ path: at, message: 'A rung is an entry with its name and what belongs to it.' });
      return [];
    }
    const rung = read(entry, at, faults);
    return rung === null ? [] : [rung];
  });
}

/** No two rungs of one name. */
export function sameNames(
  rungs: readonly { readonly name: string }[],
  key: string,
  faults: LadderFault[],
): void {
  rungs.forEach(({ name }, i) => {
    if (rungs.findIndex((rung) => rung.name === name) < i) {
      faults.push({ path: [key, i, 'rung'], message: `There are two rungs named ${name}.` });
    }
  });
}

/** No key but the known ones. */
export function knownKeys(fields: Fields, known: readonly string[], path: Path, faults: LadderFault[]): void {
  for (const key of Object.keys(fields)) {
    if (!known.includes(key)) faults.push({ path: [...path, key], message: unknownKey(key, known) });
  }
}

/** What to say of a key that nobody knows. */
export function unknownKey(key: string, known: readonly string[]): string {
  const near = nearest(key, known);
  const hint = near === null ? '' : ` Did you mean ${near}?`;
  return `"${key}" is not known here; known are ${known.join(', ')}.${hint}`;
}

/** `m s l` or a list; null when something in it is no tone. */
export function readTones(value: unknown): readonly Tone[] | null {
  const parts: unknown = typeof value === 'string' ? value.trim().split(/\s+/) : value;
  if (!Array.isArray(parts)) return null;
  const tones = parts.flatMap((part: unknown) => {
    const tone = readTone(part);
    return tone === null ? [] : [tone];
  });
  return tones.length === parts.length ? tones : null;
}

/** One tone, or null. */
export function readTone(value: unknown): Tone | null {
  return typeof value === 'string' && isTone(value) ? value : null;
}

/** `D F` or a list: names without octave. */
export function readDoNames(
  value: unknown,
  usual: readonly string[],
  fault: (key: string, message: string) => void,
): readonly string[] {
  if (value === undefined) return usual;
  const names: unknown = typeof value === 'string' ? value.trim().split(/[\s,]+/) : value;
  if (
    Array.isArray(names) &&
    names.length > 0 &&
    names.every((n: unknown) => readPitch(`${String(n)}4`) !== null)
  ) {
    return names.map(String);
  }
  fault('do', 'do is one or more names without octave, the usual one first: D F.');
  return usual;
}

/** True or false. */
export function readFlag(
  value: unknown,
  usual: boolean,
  fault: (key: string, message: string) => void,
): boolean {
  if (value === undefined || typeof value === 'boolean') return value ?? usual;
  fault('closesOnly', 'closesOnly is true or false.');
  return usual;
}

/** `[strong, weak, off]`. */
export function readPlaces(value: unknown, usual: PlaceCosts, path: Path, faults: LadderFault[]): PlaceCosts {
  if (value === undefined || value === usual) return usual;
  const parts: unknown[] = Array.isArray(value) ? value : [];
  if (parts.length !== 3) {
    faults.push({ path, message: 'Write three costs: on a strong beat, on another beat, off the beat.' });
    return usual;
  }
  const [strong = 0, weak = 0, off = 0] = parts.map((part) => readCost(part, 0, path, faults));
  return { strong, weak, off };
}

/** A whole number. */
export function readCost(value: unknown, usual: number, path: Path, faults: LadderFault[]): number {
  if (value === undefined) return usual;
  if (typeof value === 'number' && Number.isInteger(value) && Math.abs(value) <= 10_000) return value;
  faults.push({
    path,
    message: `A whole number from -10000 to 10000 is wanted; 100 is one step of dislike.`,
  });
  return usual;
}

/** An object that is no list. */
export function isRecord(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
