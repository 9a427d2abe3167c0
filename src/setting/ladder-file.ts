/**
 * A ladder of the teacher's own (unknown) -> rungs of tones and of rhythms, checked from end to end. Reading the YAML
 * is the business of options.ts; a fault here names its path, so that the line can be found.
 */
import type { Rung } from '../rung.ts';
import { nearest } from '../suggest.ts';
import {
  listOf,
  sameNames,
  knownKeys,
  unknownKey,
  isRecord,
  type Fields,
  type LadderFault,
  type Path,
} from './ladder-fields.ts';
import { readRung } from './ladder-rung.ts';
import { RHYTHM_LADDER, VALUE_LABELS, type RhythmRung, type RhythmValue } from './rhythm-ladder.ts';
import { RUNGS } from './rungs.data.ts';

export type { LadderFault } from './ladder-fields.ts';

export interface Ladder {
  readonly tones: readonly Rung[];
  readonly rhythms: readonly RhythmRung[];
}

export type LadderReading =
  | { readonly ok: true; readonly ladder: Ladder }
  | { readonly ok: false; readonly faults: readonly LadderFault[] };

/**
 * Read a ladder: an object with `tones`, `rhythms` or both; what is left out is the usual ladder.
 *
 * `tones` is a list of rungs in teaching order. Each has `rung` (a name) and `tones` (`m s l`, from low to high), and
 * may have `home`, `new`, `do`, `closes`, `closeFrom`, `closesOnly`, `repeats`, `slur`, `widestLeap` and `rules`
 * (tone -> `strong`, `weak`, `off`, `from`, `to`, `start`, `open`). What a rung does not say comes from the usual rung
 * with the same tones and home, else from the degree of each tone. `rhythms` is a list of `{ rung, values }`.
 *
 * @example readLadder({ tones: [{ rung: 'so-la', tones: 's l', home: 'd', closes: 's' }] })
 */
export function readLadder(value: unknown): LadderReading {
  const faults: LadderFault[] = [];
  const reader = new Map<string, unknown>();
  if (!isRecord(value))
    faults.push({ path: [], message: 'A ladder is an object with tones, rhythms or both.' });
  else for (const [key, part] of Object.entries(value)) reader.set(key, part);
  for (const key of reader.keys()) {
    if (key !== 'tones' && key !== 'rhythms') {
      faults.push({ path: [key], message: unknownKey(key, ['tones', 'rhythms']) });
    }
  }
  const tones = reader.has('tones') ? listOf(reader.get('tones'), ['tones'], faults, readRung) : RUNGS;
  const rhythms = reader.has('rhythms')
    ? listOf(reader.get('rhythms'), ['rhythms'], faults, readRhythmRung)
    : RHYTHM_LADDER;
  sameNames(tones, 'tones', faults);
  sameNames(rhythms, 'rhythms', faults);
  return faults.length > 0 ? { ok: false, faults } : { ok: true, ladder: { tones, rhythms } };
}

function readRhythmRung(fields: Fields, path: Path, faults: LadderFault[]): RhythmRung | null {
  knownKeys(fields, ['rung', 'values'], path, faults);
  const names = Object.keys(VALUE_LABELS) as RhythmValue[];
  const { rung, values } = fields as { rung?: unknown; values?: unknown };
  if (typeof rung !== 'string' || rung === '')
    faults.push({ path: [...path, 'rung'], message: 'A rung has a name.' });
  const list = typeof values === 'string' ? values.split(/[\s,]+/).filter((v) => v !== '') : values;
  if (!Array.isArray(list) || list.length === 0) {
    faults.push({ path: [...path, 'values'], message: `values are one or more of ${names.join(', ')}.` });
    return null;
  }
  const read = list.flatMap((each: unknown, i): RhythmValue[] => {
    const value = names.find((known) => known === each);
    if (value !== undefined) return [value];
    const near = nearest(String(each), names);
    const hint = near === null ? '' : ` Did you mean ${near}?`;
    faults.push({ path: [...path, 'values', i], message: `"${String(each)}" is no rhythm value.${hint}` });
    return [];
  });
  return { name: String(rung), values: read };
}
