/**
 * Song -> rows of beats as they stand on a page: one row a phrase, or several where a phrase is long. The upbeat of a
 * phrase stands before its first beat, so that the first beats of all rows stand beneath one another.
 */
import type { Song, SongNote, SongPhrase } from '../song.ts';
import { beatsPerBar, ticksPerBar, type Ticks } from '../time.ts';

export interface BeatRow {
  readonly phrase: SongPhrase;
  /** Index of the phrase in the song, from 0. */
  readonly phraseIndex: number;
  /** Where the upbeat begins, or the first beat when there is none. Ticks of the song, as all times here. */
  readonly start: Ticks;
  /** The first beat that stands in the row's first column. */
  readonly firstBeat: Ticks;
  /** Exclusive. */
  readonly end: Ticks;
  readonly notes: readonly SongNote[];
  /** Beats of the grid from `start` to `end`, those in the upbeat too. */
  readonly beats: readonly Ticks[];
  /** Bar lines inside the row and at its end, where one falls there; never before its first note. */
  readonly barLines: readonly Ticks[];
  readonly startsPhrase: boolean;
  readonly startsStanza: boolean;
  readonly endsSong: boolean;
}

/**
 * Rows of at most `mostBeats` beats, cut at bar lines. A bar that has more beats than that stays whole.
 *
 * Every note of the song stands in exactly one row.
 */
export function beatRows(song: Song, mostBeats: number): readonly BeatRow[] {
  return song.phrases.flatMap((phrase, index) => phraseRows(song, phrase, { index, mostBeats }));
}

/** Beats of the longest phrase, its upbeat not counted: rows of so many cut no phrase. */
export function longestPhrase(song: Song): number {
  return Math.max(1, ...beatRows(song, Infinity).map(columnsOf(song)));
}

/** Columns that a row takes: beats from its first beat on, a beat begun counting whole. */
export function columnsOf(song: Song): (row: BeatRow) => number {
  return (row) => Math.max(1, Math.ceil((row.end - row.firstBeat) / song.metre.ticksPerBeat));
}

function phraseRows(
  song: Song,
  phrase: SongPhrase,
  { index, mostBeats }: { readonly index: number; readonly mostBeats: number },
): readonly BeatRow[] {
  const first = phrase.notes[0];
  const last = phrase.notes.at(-1);
  if (first === undefined || last === undefined) return [];
  const end = last.onset + last.duration;
  const bar = ticksPerBar(song.metre);
  const firstBeat = firstStrongBeat(song, first.onset);
  const previous = song.phrases[index - 1];
  const rows: BeatRow[] = [];
  let start = first.onset;
  while (start < end) {
    const lead = rows.length === 0 && firstBeat < end ? firstBeat : start;
    const cut = Math.min(
      end,
      lastBarLine(song, lead, lead + mostBeats * song.metre.ticksPerBeat) ?? nextBarLine(song, lead),
    );
    const rowEnd = cut > start ? cut : end;
    const from = start;
    const grid = (unit: Ticks): readonly Ticks[] => gridTicks(song.upbeatTicks % unit, unit, from, rowEnd);
    rows.push({
      phrase,
      phraseIndex: index,
      start,
      firstBeat: lead,
      end: rowEnd,
      notes: phrase.notes.filter((note) => note.onset >= from && note.onset < rowEnd),
      beats: grid(song.metre.ticksPerBeat).filter((tick) => tick < rowEnd),
      barLines: grid(bar).filter((tick) => tick > from),
      startsPhrase: rows.length === 0,
      startsStanza: rows.length === 0 && previous !== undefined && previous.stanza !== phrase.stanza,
      endsSong: index === song.phrases.length - 1 && rowEnd === end,
    });
    start = rowEnd;
  }
  return rows;
}

/** The first bar line from there on; in a bar of four beats its middle serves as well, for lines begin there too. */
function firstStrongBeat(song: Song, from: Ticks): Ticks {
  const bar = ticksPerBar(song.metre);
  const unit = beatsPerBar(song.metre) === 4 ? bar / 2 : bar;
  const past = (((from - song.upbeatTicks) % unit) + unit) % unit;
  return past === 0 ? from : from + unit - past;
}

/** The last bar line after `from` that lies no further than `limit`, or null. */
function lastBarLine(song: Song, from: Ticks, limit: Ticks): Ticks | null {
  if (limit === Infinity) return Infinity;
  const bar = ticksPerBar(song.metre);
  const tick = song.upbeatTicks + Math.floor((limit - song.upbeatTicks) / bar) * bar;
  return tick > from ? tick : null;
}

function nextBarLine(song: Song, from: Ticks): Ticks {
  const bar = ticksPerBar(song.metre);
  return song.upbeatTicks + (Math.floor((from - song.upbeatTicks) / bar) + 1) * bar;
}

/** Multiples of the unit, counted from `origin`, from `from` to `to`, both inclusive. */
function gridTicks(origin: Ticks, unit: Ticks, from: Ticks, to: Ticks): readonly Ticks[] {
  const ticks: Ticks[] = [];
  for (let tick = origin + Math.ceil((from - origin) / unit) * unit; tick <= to; tick += unit)
    ticks.push(tick);
  return ticks;
}
