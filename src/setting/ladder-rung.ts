/**
 * One rung of a teacher's ladder file (unknown) -> Rung. What it does not say comes from the usual rung with the same
 * tones and home, else from the degree of each tone.
 */
import { toneStep, type Tone } from '../pitch.ts';
import type { Rung, ToneRule } from '../rung.ts';
import {
  knownKeys,
  readTones,
  readTone,
  readDoNames,
  readFlag,
  readPlaces,
  readCost,
  isRecord,
  type Fields,
  type LadderFault,
  type Path,
} from './ladder-fields.ts';
import { RUNGS } from './rungs.data.ts';
import { defaultRule, USUAL_REPEATS } from './tone-rules.ts';

/** One rung; null when its tones or home cannot be read. */
export function readRung(fields: Fields, path: Path, faults: LadderFault[]): Rung | null {
  const fault = (key: string, message: string): void => {
    faults.push({ path: [...path, key], message });
  };
  knownKeys(fields, RUNG_KEYS, path, faults);
  const name = fields['rung'];
  if (typeof name !== 'string' || !/^[a-z][a-z0-9-]*$/.test(name)) {
    fault('rung', 'A rung has a name in small letters and hyphens, such as so-mi-la.');
  }
  const tones = readTones(fields['tones']);
  if (tones === null || tones.length < 2) {
    fault(
      'tones',
      "tones are two or more of d r m f s l t, with , below do and ' above, from low to high: m s l.",
    );
    return null;
  }
  if (tones.some((tone, i) => i > 0 && toneStep(tone) <= toneStep(tones[i - 1] ?? tone))) {
    fault('tones', `${tones.join(' ')}: write the tones from low to high, each once.`);
    return null;
  }
  const home = readTone(fields['home'] ?? 'd');
  if (home === null) {
    fault('home', 'home is one tone, d or l, for most rungs.');
    return null;
  }
  const like = RUNGS.find((rung) => rung.tones.join(' ') === tones.join(' ') && rung.home === home);
  const among = (key: string, usual: readonly Tone[]): readonly Tone[] => {
    if (fields[key] === undefined) return usual;
    const read = readTones(fields[key]);
    if (read !== null && read.length > 0 && read.every((tone) => tones.includes(tone))) return read;
    fault(key, `${key} are tones of the rung: some of ${tones.join(' ')}.`);
    return usual;
  };
  const closes = among('closes', like?.closes ?? (tones.includes(home) ? [home] : tones.slice(0, 1)));
  const closeFrom = fields['closeFrom'] === undefined ? (like?.closeFrom ?? null) : among('closeFrom', []);
  const slurTones = fields['slur'] === undefined ? (like?.slur ?? null) : among('slur', []);
  const [first, second] = slurTones ?? [];
  if (slurTones !== null && (first === undefined || second === undefined || slurTones.length !== 2)) {
    fault('slur', 'slur is two tones of the rung: s l.');
  }
  const newTone = fields['new'] === undefined ? (like?.newTone ?? null) : readTone(fields['new']);
  if (
    fields['new'] !== undefined &&
    fields['new'] !== null &&
    (newTone === null || !tones.includes(newTone))
  ) {
    fault('new', `new is one of the rung's tones: ${tones.join(' ')}.`);
  }
  return {
    name: String(name),
    tones,
    home,
    newTone,
    usualDo: readDoNames(fields['do'], like?.usualDo ?? ['D'], fault),
    rules: readRules(fields['rules'], tones, home, like, path, faults),
    closes,
    closeFrom,
    closesOnly: readFlag(fields['closesOnly'], like?.closesOnly ?? false, fault),
    repeats: readPlaces(fields['repeats'], like?.repeats ?? USUAL_REPEATS, [...path, 'repeats'], faults),
    slur: first !== undefined && second !== undefined ? [first, second] : null,
    widestLeap: readCost(fields['widestLeap'], like?.widestLeap ?? 12, [...path, 'widestLeap'], faults),
  };
}

const RUNG_KEYS = [
  ...[
    'rung',
    'tones',
    'home',
    'new',
    'do',
    'closes',
    'closeFrom',
    'closesOnly',
    'repeats',
    'slur',
    'widestLeap',
    'rules',
  ],
];
const RULE_KEYS = ['strong', 'weak', 'off', 'from', 'to', 'start', 'open'];

function readRules(
  value: unknown,
  tones: readonly Tone[],
  home: Tone,
  like: Rung | undefined,
  path: Path,
  faults: LadderFault[],
): readonly ToneRule[] {
  const given = isRecord(value) ? value : {};
  const at = [...path, 'rules'];
  if (value !== undefined && !isRecord(value))
    faults.push({ path: at, message: 'rules are one entry for each tone.' });
  for (const key of Object.keys(given)) {
    if (!tones.some((tone) => tone === key)) {
      faults.push({
        path: [...at, key],
        message: `${key} is not among the tones of the rung: ${tones.join(' ')}.`,
      });
    }
  }
  return tones.map((tone, i): ToneRule => {
    const usual = like?.rules[i] ?? defaultRule(tone, home);
    const fields = given[tone];
    if (fields === undefined) return usual;
    if (!isRecord(fields)) {
      faults.push({
        path: [...at, tone],
        message: `${tone}: write strong, weak, off, from, to, start or open.`,
      });
      return usual;
    }
    knownKeys(fields, RULE_KEYS, [...at, tone], faults);
    const way = (key: 'from' | 'to'): readonly Tone[] | null => {
      const text = fields[key];
      if (text === undefined || text === null) return text === null ? null : usual[key];
      const read = readTones(text);
      if (read !== null && read.every((each) => tones.includes(each))) return read;
      faults.push({
        path: [...at, tone, key],
        message: `${key} are tones of the rung: some of ${tones.join(' ')}.`,
      });
      return usual[key];
    };
    const edge = (key: 'start' | 'open'): number | null =>
      fields[key] === null || fields[key] === 'never'
        ? null
        : fields[key] === undefined
          ? usual[key]
          : readCost(fields[key], 0, [...at, tone, key], faults);
    return {
      tone,
      place: readPlaces(
        [
          fields['strong'] ?? usual.place.strong,
          fields['weak'] ?? usual.place.weak,
          fields['off'] ?? usual.place.off,
        ],
        usual.place,
        [...at, tone],
        faults,
      ),
      from: way('from'),
      to: way('to'),
      start: edge('start'),
      open: edge('open'),
    };
  });
}
