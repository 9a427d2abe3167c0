/**
 * The rhythm of one bar in names by place in the beat (takadimi, counting): where sounds begin, and so how long they last.
 */
import type { Problem } from '../problem.ts';
import { PLACE_TICKS, type PlaceNames } from '../rhythm-names.ts';
import { beatsPerBar, type Metre, type Ticks } from '../time.ts';
import { groupsOf, wordsOfGroup, type ReadBar, type Sound } from './score-words.ts';
import type { BarText } from './score-divided.ts';
import { fault, spanOf, type Piece } from './score-text.ts';

/** The reader of a place family in a metre; its beats are words divided by spaces. */
export function placeReader(names: PlaceNames, metre: Metre): ReadBar {
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
