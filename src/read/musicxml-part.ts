/**
 * A MusicXML part as one line of tune, with what was left out on the way.
 */
import type { Problem } from '../problem.ts';
import type { Cadence } from '../song.ts';
import type { Ticks } from '../time.ts';
import { readNote, reasonToLeave, type FileNote } from './musicxml-notes.ts';
import { child, childrenOf, textAt, type XmlNode } from './xml.ts';

/** Where a line of the rhyme begins, by a `grouping` or a new system. */
export interface LineStart {
  readonly onset: Ticks;
  readonly line: number | null;
  readonly stanza: number | null;
  readonly form: string | null;
  readonly cadence: Cadence | null;
  readonly text: string | null;
}

/** A part as one line of tune. */
export interface FilePart {
  readonly notes: readonly FileNote[];
  /** Starts marked by `grouping` elements of kind `phrase`. */
  readonly marked: readonly LineStart[];
  /** Onsets of the measures that begin a system, the first measure left out. */
  readonly systems: readonly Ticks[];
  readonly firstMeasureTicks: Ticks;
  readonly fifths: number | null;
  readonly mode: string | null;
  readonly beats: string | null;
  readonly beatType: string | null;
  readonly quartersPerMinute: number | null;
}

/** What is found on the way through the measures. */
interface Walk {
  /** Where the next note begins. */
  at: Ticks;
  divisions: number;
  voice: string | null;
  fifths: number | null;
  mode: string | null;
  beats: string | null;
  beatType: string | null;
  quartersPerMinute: number | null;
  readonly notes: FileNote[];
  readonly marked: LineStart[];
  readonly systems: Ticks[];
  readonly problems: Problem[];
  /** Names what is passed over, with the first measure that has it. */
  readonly leave: (what: string, measure: string) => void;
}

/** Read the measures of a part; problems are faults, `leftOut` takes names of what the reader does not understand. */
export function readPart(part: XmlNode, problems: Problem[], leftOut: Map<string, string>): FilePart {
  const walk: Walk = {
    at: 0,
    divisions: 1,
    voice: null,
    fifths: null,
    mode: null,
    beats: null,
    beatType: null,
    quartersPerMinute: null,
    notes: [],
    marked: [],
    systems: [],
    problems,
    leave: (what, measure) => {
      if (!leftOut.has(what)) leftOut.set(what, measure);
    },
  };
  let firstMeasureTicks = 0;
  childrenOf(part, 'measure').forEach((measure, m) => {
    const number = measure.attributes['number'] ?? String(m + 1);
    for (const node of measure.children) readMeasurePart(node, number, walk);
    if (m === 0) firstMeasureTicks = walk.at;
  });
  const { notes, marked, systems, fifths, mode, beats, beatType, quartersPerMinute } = walk;
  return { notes, marked, systems, firstMeasureTicks, fifths, mode, beats, beatType, quartersPerMinute };
}

function readMeasurePart(node: XmlNode, measure: string, walk: Walk): void {
  const { attributes } = node;
  switch (node.name) {
    case 'note': {
      const reason = reasonToLeave(node, walk.voice);
      if (reason !== null) {
        walk.leave(reason, measure);
        return;
      }
      walk.voice ??= textAt(node, 'voice');
      const note = readNote(node, { onset: walk.at, divisions: walk.divisions, measure }, walk.leave);
      walk.notes.push(note);
      walk.at += note.duration;
      return;
    }
    case 'attributes':
      readAttributes(node, measure, walk);
      return;
    case 'print':
      if (walk.at > 0 && (attributes['new-system'] === 'yes' || attributes['new-page'] === 'yes')) {
        walk.systems.push(walk.at);
      }
      return;
    case 'grouping':
      if (attributes['member-of'] === 'phrase' && attributes['type'] === 'start') {
        walk.marked.push(lineStart(node, walk.at));
      }
      return;
    case 'direction':
    case 'sound':
      walk.quartersPerMinute ??= tempoOf(node);
      for (const type of childrenOf(node, 'direction-type').flatMap((each) => each.children)) {
        if (!['metronome', 'words', 'rehearsal'].includes(type.name)) walk.leave(type.name, measure);
      }
      return;
    case 'barline':
      for (const what of ['repeat', 'ending']) if (child(node, what) !== null) walk.leave(what, measure);
      return;
    case 'backup':
    case 'bookmark':
    case 'link':
    case 'listening':
      return;
    default:
      walk.leave(node.name, measure);
  }
}

function readAttributes(node: XmlNode, measure: string, walk: Walk): void {
  const change = (what: string): void => {
    const message = `The ${what} changes in measure ${measure}; a song has one throughout.`;
    const span = { start: node.start, end: node.start + '<attributes'.length };
    walk.problems.push({ code: 'musicxml', severity: 'error', message, span });
  };
  const divisions = Number(textAt(node, 'divisions') ?? walk.divisions);
  if (divisions > 0) walk.divisions = divisions;
  const fifths = textAt(node, 'key', 'fifths');
  if (fifths !== null) {
    if (walk.fifths !== null && walk.fifths !== Number(fifths)) change('key');
    walk.fifths = Number(fifths);
    walk.mode = textAt(node, 'key', 'mode');
  }
  const beats = textAt(node, 'time', 'beats');
  const beatType = textAt(node, 'time', 'beat-type');
  if (beats !== null && beatType !== null) {
    if (walk.beats !== null && (walk.beats !== beats || walk.beatType !== beatType)) change('metre');
    walk.beats = beats;
    walk.beatType = beatType;
  }
}

function lineStart(node: XmlNode, onset: Ticks): LineStart {
  const feature = (type: string): string | null =>
    childrenOf(node, 'feature').find((each) => each.attributes['type'] === type)?.text ?? null;
  const number = (text: string | null): number | null =>
    text !== null && /^\d+$/.test(text) ? Number(text) : null;
  const cadence = feature('cadence');
  return {
    onset,
    line: number(feature('line')),
    stanza: number(feature('stanza')),
    form: feature('form'),
    cadence: cadence === 'open' || cadence === 'closed' ? cadence : null,
    text: feature('text'),
  };
}

/** Quarters a minute, from what is heard or else from what is printed. */
function tempoOf(node: XmlNode): number | null {
  const sound = node.name === 'sound' ? node : child(node, 'sound');
  const heard = Number(sound?.attributes['tempo']);
  if (heard > 0) return heard;
  const type = childrenOf(node, 'direction-type').find((each) => child(each, 'metronome') !== null);
  const metronome = type === undefined ? null : child(type, 'metronome');
  const unit = { quarter: 1, eighth: 0.5, half: 2 }[textAt(metronome ?? node, 'beat-unit') ?? ''];
  const perMinute = Number(textAt(metronome ?? node, 'per-minute'));
  if (metronome === null || unit === undefined || !(perMinute > 0)) return null;
  return perMinute * unit * (child(metronome, 'beat-unit-dot') === null ? 1 : 1.5);
}
