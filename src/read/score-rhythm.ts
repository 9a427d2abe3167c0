/**
 * The rhythm of one bar of a score as notes and rests with their lengths.
 */
import { noteValue } from '../note-value.ts';
import type { Problem } from '../problem.ts';
import {
  figuresOf,
  PLACE_TICKS,
  type Figure,
  type PlaceNames,
  type RhythmNames,
  type ValueNames,
} from '../rhythm-names.ts';
import { nearest } from '../suggest.ts';
import { beatsPerBar, type Metre, type Ticks } from '../time.ts';
import { fault, spanOf, type BarText, type Piece } from './score-text.ts';

/** A note or a rest of a bar. */
export interface Sound {
  /** Ticks from where the bar's content begins. */
  readonly at: Ticks;
  readonly duration: Ticks;
  readonly rest: boolean;
  readonly breath: boolean;
  /** Index of its segment in the bar. */
  readonly segment: number;
  /** The word that stands for it. */
  readonly piece: Piece;
}

/** Reads a bar: its sounds in order, or null when a problem was added. `endTicks` is where a full bar ends. */
export type ReadBar = (bar: BarText, place: BarPlace, problems: Problem[]) => readonly Sound[] | null;

/** What is known of a bar before it is read. */
export interface BarPlace {
  readonly isFirst: boolean;
  /** What the bar should hold; the first bar may hold less, as an upbeat. */
  readonly ticks: Ticks;
}

/** The reader for a family of names in a metre. */
export function rhythmReader(names: RhythmNames, metre: Metre): ReadBar {
  return names.kind === 'value' ? valueReader(names, metre) : placeReader(names, metre);
}

/** One hyphenated word of a rhythm: `ti` of `ti-ti,`; the comma is a breath. */
interface Word extends Piece {
  readonly breath: boolean;
}

function wordsOfGroup(group: string, start: number): readonly Word[] {
  return [...group.matchAll(/[^-]+/g)].map((match) => {
    const breath = match[0].endsWith(',');
    const text = breath ? match[0].slice(0, -1) : match[0];
    return { text, start: start + match.index, breath };
  });
}

function groupsOf(piece: Piece): readonly Piece[] {
  return [...piece.text.matchAll(/\S+/g)].map((match) => ({
    text: match[0],
    start: piece.start + match.index,
  }));
}

function valueReader(names: ValueNames, metre: Metre): ReadBar {
  const figures = figuresOf(names, metre.beatClass).map((figure) => ({
    ...figure,
    words: figure.says.toLowerCase().split('-'),
  }));
  // the longest figure first: `ta-a-a` before `ta-a` before `ta`
  figures.sort((a, b) => b.words.length - a.words.length);
  const figureAt = (words: readonly Word[], i: number): (Figure & { words: string[] }) | undefined =>
    figures.find(({ words: said }) =>
      said.every((text, k) => {
        const word = words[i + k];
        return word?.text.toLowerCase() === text && (k === said.length - 1 || !word.breath);
      }),
    );
  return (bar, _place, problems) => {
    const sounds: Sound[] = [];
    let at = 0;
    for (const [segment, { rhythm }] of bar.segments.entries()) {
      for (const group of groupsOf(rhythm)) {
        const words = wordsOfGroup(group.text, group.start);
        for (let i = 0; i < words.length;) {
          const figure = figureAt(words, i);
          if (figure === undefined) {
            problems.push(unknownName(words[i] ?? { ...group, breath: false }, names, figures));
            return null;
          }
          const last = words[i + figure.words.length - 1];
          figure.ticks.forEach((duration, k) => {
            const isLast = k === figure.ticks.length - 1;
            const piece = { text: figure.says, start: words[i]?.start ?? group.start };
            const breath = isLast && last?.breath === true;
            sounds.push({ at, duration, rest: figure.rest, breath, segment, piece });
            at += duration;
          });
          i += figure.words.length;
        }
      }
    }
    return sounds;
  };
}

function unknownName(word: Word, names: RhythmNames, figures: readonly Figure[]): Problem {
  const known = figures.filter((figure) => !figure.rest || figure.says === 'z').map((figure) => figure.says);
  const near = nearest(word.text, known);
  return fault(
    'rhythm-name',
    `"${word.text}" is not a rhythm name of the family ${names.name}. Its names are ${known.join(', ')}; in brackets they are rests.`,
    spanOf(word),
    near === null ? 'Another family is chosen by names: at the top of the score.' : `Did you mean ${near}?`,
  );
}

function placeReader(names: PlaceNames, metre: Metre): ReadBar {
  const places = names.places[metre.beatClass];
  const perBar = beatsPerBar(metre);
  return (bar, place, problems) => {
    const cells = cellsOf(bar, places);
    if (cells === null) {
      problems.push(unknownPlace(bar, names, places));
      return null;
    }
    const beats = Math.max(0, ...cells.map((cell) => cell.beat + 1));
    const shortFirst = place.isFirst && beats < perBar;
    const wanted = Math.ceil(place.ticks / metre.ticksPerBeat);
    if (beats !== wanted && !shortFirst) {
      problems.push(wrongBeats(bar, beats, wanted));
      return null;
    }
    const starts = cells.flatMap((cell) => cell.events.map((event) => ({ ...event, beat: cell.beat })));
    const origin = shortFirst ? perBar - beats : 0;
    const tickOf = (event: { beat: number; slot: number }): Ticks =>
      (origin + event.beat) * metre.ticksPerBeat + event.slot * PLACE_TICKS;
    const first = starts[0];
    const from = first === undefined ? 0 : tickOf(first);
    for (const cell of cells) {
      const problem = cellProblem(cell, places, { first: cell === cells[0] && place.isFirst });
      if (problem !== null) {
        problems.push(problem);
        return null;
      }
    }
    return starts.map((event, i): Sound => {
      const next = starts[i + 1];
      const end = next === undefined ? place.ticks : tickOf(next);
      const { rest, breath, segment, piece } = event;
      return { at: tickOf(event) - from, duration: end - tickOf(event), rest, breath, segment, piece };
    });
  };
}

interface PlaceEvent {
  readonly slot: number;
  readonly rest: boolean;
  readonly breath: boolean;
  readonly segment: number;
  readonly piece: Piece;
}

/** The breath behind a held beat, `-,`, belongs to the note that is held. */
function breatheAfter(cell: Cell | undefined): void {
  const last = cell?.events.at(-1);
  if (last !== undefined) cell?.events.splice(-1, 1, { ...last, breath: true });
}

interface Cell {
  /** Counts from 0 in the bar. */
  readonly beat: number;
  /** True when it begins by holding what sounded before. */
  readonly held: boolean;
  readonly events: PlaceEvent[];
  /** True when a line of the rhyme begins inside this beat. */
  readonly joins: boolean;
  readonly piece: Piece;
}

/** The beats of a bar; a line that begins inside a beat shares it with the line before. Null for an unknown name. */
function cellsOf(bar: BarText, places: readonly string[]): readonly Cell[] | null {
  const cells: Cell[] = [];
  let beat = -1;
  for (const [segment, { rhythm }] of bar.segments.entries()) {
    for (const [g, group] of groupsOf(rhythm).entries()) {
      const events: PlaceEvent[] = [];
      const held = group.text.startsWith('-');
      for (const word of wordsOfGroup(group.text, group.start)) {
        if (word.text === '' && held && events.length === 0) {
          breatheAfter(cells.findLast((cell) => cell.events.length > 0));
          continue;
        }
        const rest = /^\(.*\)$/.test(word.text);
        const name = rest ? word.text.slice(1, -1) : word.text;
        const slot = places.findIndex(
          (each) => each === name.toLowerCase() || (each === '#' && /^\d+$/.test(name)),
        );
        if (slot < 0) return null;
        events.push({ slot, rest, breath: word.breath, segment, piece: word });
      }
      const joins = g === 0 && segment > 0 && !held && (events[0]?.slot ?? 0) > 0;
      if (!joins) beat += 1;
      cells.push({ beat, held, events, joins, piece: group });
    }
  }
  return cells;
}

function cellProblem(cell: Cell, places: readonly string[], at: { first: boolean }): Problem | null {
  const rising = cell.events.every((event, i) => i === 0 || event.slot > (cell.events[i - 1]?.slot ?? 0));
  const [start = ''] = places;
  const name = start === '#' ? String(cell.beat + 1) : start;
  if (!rising) {
    const message = `The places of a beat stand in order (${places.join(' ')}); "${cell.piece.text}" goes back.`;
    return fault(
      'rhythm-name',
      message.replace('#', name),
      spanOf(cell.piece),
      'Put a space between two beats.',
    );
  }
  if (cell.held || cell.joins || at.first || cell.events[0]?.slot === 0) return null;
  return fault(
    'rhythm-name',
    `Nothing stands at the start of this beat, "${cell.piece.text}".`,
    spanOf(cell.piece),
    `Write -${cell.piece.text} when the note before is held, (${name})-${cell.piece.text} when it is silent there.`,
  );
}

function unknownPlace(bar: BarText, names: PlaceNames, places: readonly string[]): Problem {
  const known = (text: string): boolean =>
    places.includes(text.toLowerCase()) || (places.includes('#') && /^\d+$/.test(text));
  const words = bar.segments.flatMap(({ rhythm }) =>
    groupsOf(rhythm).flatMap((group) => wordsOfGroup(group.text, group.start)),
  );
  const word = words.find(({ text }) => !known(text.replace(/^\((.*)\)$/, '$1')));
  const shown = places.map((place) => (place === '#' ? '1' : place)).join(', ');
  return fault(
    'rhythm-name',
    `"${word?.text ?? ''}" is not a place in the beat of the family ${names.name}. Places are ${shown}; in brackets they are silent, and - holds on.`,
    word === undefined ? { start: 0, end: 1 } : spanOf(word),
    'Another family is chosen by names: at the top of the score.',
  );
}

function wrongBeats(bar: BarText, beats: number, wanted: number): Problem {
  const [first, last] = [bar.segments[0], bar.segments.at(-1)];
  const start = first?.rhythm.start ?? 0;
  const end = (last?.rhythm.start ?? 0) + (last?.rhythm.text.length ?? 1);
  return fault(
    'bar-length',
    `This bar has ${String(beats)} beats where ${String(wanted)} belong.`,
    { start, end },
    'Each beat is one word, its places joined by hyphens; a held beat is a hyphen of its own.',
  );
}

/** The first sound that no single note can show, or null. */
export function unprintable(sounds: readonly Sound[]): Problem | null {
  const sound = sounds.find(({ duration }) => noteValue(duration) === null);
  if (sound === undefined) return null;
  return fault(
    'note-value',
    `"${sound.piece.text}" lasts ${String(sound.duration / PLACE_TICKS)} sixteenths here, which no single note can show.`,
    spanOf(sound.piece),
    'Write two notes and tie them, with a hyphen for the second solfa letter.',
  );
}
