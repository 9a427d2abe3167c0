/**
 * Known placements to measure against, in two forms: beat notation in a text file (`== id / metre: simple` heads a
 * rhyme, `~` marks another accepted placement) and song books in JSON (syllables with onsets in printed beats).
 */
import { readFileSync } from 'node:fs';

export interface KnownSyllable {
  readonly text: string;
  readonly on: boolean;
  /** Beats from the line's first beat; only for syllables on a beat. */
  readonly beat: number | null;
}

/** One accepted placement of a line. */
export interface KnownForm {
  readonly syllables: readonly KnownSyllable[];
  /** Beats to the next line's first beat; null where the source does not tell. */
  readonly beats: number | null;
}

export interface KnownLine {
  readonly text: string;
  /** At least one; the usual one first. */
  readonly forms: readonly KnownForm[];
}

/** The rhyme counted in one beat: as printed, or every second printed beat. */
export interface KnownTactus {
  readonly name: '1' | '/2';
  readonly lines: readonly KnownLine[];
}

export interface KnownCase {
  readonly id: string;
  readonly kind: 'verse' | 'song';
  readonly beatClass: 'simple' | 'compound' | 'either';
  /** False where simple or compound is arguable (three beats a bar). */
  readonly metreClear: boolean;
  readonly threes: boolean;
  readonly text: string;
  readonly tactus: readonly KnownTactus[];
}

export function readCases(paths: readonly string[]): readonly KnownCase[] {
  return paths.flatMap((path) => {
    const text = readFileSync(path, 'utf8');
    return path.endsWith('.json') ? readSongs(text) : readRhymes(text);
  });
}

function readRhymes(text: string): readonly KnownCase[] {
  const cases: {
    id: string;
    metre: KnownCase['beatClass'];
    lines: { text: string; forms: KnownForm[] }[];
  }[] = [];
  for (const row of text.split(/\r?\n/)) {
    const head = /^==\s*(\S+).*metre:\s*(\w+)/.exec(row);
    if (head !== null) cases.push({ id: head[1] ?? '', metre: head[2] as KnownCase['beatClass'], lines: [] });
    else if (row.trim() !== '' && !row.startsWith('#')) {
      const lines = cases.at(-1)?.lines ?? [];
      if (row.startsWith('~')) lines.at(-1)?.forms.push(readMarks(row.slice(1)));
      else lines.push({ text: plain(row), forms: [readMarks(row)] });
    }
  }
  return cases.map(({ id, metre, lines }) => ({
    id,
    kind: 'verse',
    beatClass: metre,
    metreClear: metre !== 'either',
    threes: false,
    text: lines.map((line) => line.text).join('\n'),
    tactus: [{ name: '1', lines }],
  }));
}

/** The words of a marked line without its marks. */
export function plain(row: string): string {
  return row
    .replace(/\|-(?=\s|$|\|)/g, ' ')
    .replace(/[|-]/g, '')
    .replace(/\s+/g, ' ')
    .trim();
}

/** A marked line as syllables. */
export function readMarks(row: string): KnownForm {
  const syllables: KnownSyllable[] = [];
  let beat = -1;
  for (const token of row.matchAll(/\|-(?=\s|$|\|)|\|?[^\s|-]+/g)) {
    const [mark] = token;
    if (mark === '|-') beat += 1;
    else if (mark.startsWith('|')) syllables.push({ text: mark.slice(1), on: true, beat: ++beat });
    else syllables.push({ text: mark, on: false, beat: null });
  }
  return { syllables, beats: beat + 1 };
}

interface SongSyllable {
  readonly text: string;
  readonly onset: number;
  readonly spoken?: number;
}

interface SongJson {
  readonly id: string;
  readonly beatClass: 'simple' | 'compound';
  readonly metreClear: boolean;
  readonly metre: { readonly beats: number };
  readonly lines: readonly { readonly text: string; readonly syllables: readonly SongSyllable[] }[];
}

function readSongs(text: string): readonly KnownCase[] {
  return (JSON.parse(text) as readonly SongJson[]).map((song) => ({
    id: song.id,
    kind: 'song',
    beatClass: song.beatClass,
    metreClear: song.metreClear,
    threes: song.metre.beats === 3 && song.beatClass === 'simple',
    text: song.lines.map((line) => line.text).join('\n'),
    tactus: [
      { name: '1', lines: songLines(song, 1) },
      { name: '/2', lines: songLines(song, 0.5) },
    ],
  }));
}

const whole = (x: number): boolean => Math.abs(x - Math.round(x)) < 1e-6;

function songLines(song: SongJson, factor: number): readonly KnownLine[] {
  const firstBeat = song.lines.map(
    (line) => line.syllables.map((s) => s.onset * factor).find((onset) => whole(onset)) ?? NaN,
  );
  return song.lines.map((line, index) => {
    const start = firstBeat[index] ?? NaN;
    const beats = Math.round((firstBeat[index + 1] ?? NaN) - start);
    return {
      text: line.text,
      forms: spokenForms(line.syllables).map((syllables) => ({
        syllables: syllables.map(({ text, onset }) => {
          const on = onset !== null && whole(onset * factor);
          return { text, on, beat: on ? Math.round(onset * factor - start) : null };
        }),
        beats: Number.isNaN(beats) ? null : beats,
      })),
    };
  });
}

/** As sung and, where the tune joins or stretches syllables, as spoken. */
function spokenForms(
  syllables: readonly SongSyllable[],
): readonly (readonly { readonly text: string; readonly onset: number | null }[])[] {
  const sung = syllables.map(({ text, onset }) => ({ text, onset }));
  if (syllables.every((s) => s.spoken === undefined)) return [sung];
  const spoken: { text: string; onset: number | null }[] = [];
  for (const { text, onset, spoken: count } of syllables) {
    const last = spoken.at(-1);
    if (count === 0 && last !== undefined) {
      last.text += text;
      continue;
    }
    spoken.push({ text, onset });
    for (let extra = 1; extra < (count ?? 1); extra++) spoken.push({ text: '', onset: null });
  }
  return [sung, spoken];
}
