/**
 * The notes of a MusicXML part as one line of tune, with what was left out on the way.
 */
import { pitchName, type Pitch } from '../pitch.ts';
import type { Division } from '../placement.ts';
import type { Problem } from '../problem.ts';
import type { Cadence } from '../song.ts';
import { TICKS_PER_QUARTER, type Ticks } from '../time.ts';
import { child, childrenOf, textAt, type XmlNode } from './xml.ts';

/** A note or rest as the file has it. */
export interface FileNote {
  readonly onset: Ticks;
  readonly duration: Ticks;
  /** Null for a rest. */
  readonly pitch: Pitch | null;
  readonly tiedOn: boolean;
  readonly tiedOver: boolean;
  readonly slur: 'start' | 'stop' | null;
  readonly breath: boolean;
  readonly syllable: { readonly text: string; readonly division: Division } | null;
  /** Its number in the file. */
  readonly measure: string;
  readonly start: number;
}

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

/** What is read or needs no word; anything else in a measure is named as left out. */
const SILENT = new Set([
  'print',
  'barline',
  'grouping',
  'bookmark',
  'link',
  'listening',
  'sound',
  'attributes',
  'note',
]);

/** Read the measures of a part; problems are faults, `leftOut` collects names of what the reader does not understand. */
export function readPart(part: XmlNode, problems: Problem[], leftOut: Map<string, string>): FilePart {
  const state = {
    at: 0,
    divisions: 1,
    fifths: null as number | null,
    mode: null as string | null,
    beats: null as string | null,
    beatType: null as string | null,
    tempo: null as number | null,
    voice: null as string | null,
  };
  const notes: FileNote[] = [];
  const marked: LineStart[] = [];
  const systems: Ticks[] = [];
  let firstMeasureTicks = 0;
  const leave = (what: string, measure: string): void => {
    if (!leftOut.has(what)) leftOut.set(what, measure);
  };
  childrenOf(part, 'measure').forEach((measure, m) => {
    const number = measure.attributes['number'] ?? String(m + 1);
    for (const node of measure.children) {
      if (node.name === 'attributes') {
        readAttributes(node, state, number, problems);
      } else if (node.name === 'print') {
        const breaks = node.attributes['new-system'] === 'yes' || node.attributes['new-page'] === 'yes';
        if (breaks && m > 0) systems.push(state.at);
      } else if (node.name === 'grouping') {
        if (node.attributes['member-of'] === 'phrase' && node.attributes['type'] === 'start') {
          marked.push(lineStart(node, state.at));
        }
      } else if (node.name === 'direction' || node.name === 'sound') {
        state.tempo ??= tempoOf(node);
        for (const type of childrenOf(node, 'direction-type').flatMap((each) => each.children)) {
          if (!['metronome', 'words', 'rehearsal'].includes(type.name)) leave(type.name, number);
        }
      } else if (node.name === 'barline') {
        if (child(node, 'repeat') !== null) leave('repeat', number);
        if (child(node, 'ending') !== null) leave('ending', number);
      } else if (node.name === 'note') {
        const reason = reasonToLeave(node, state.voice);
        if (reason !== null) {
          leave(reason, number);
          continue;
        }
        state.voice ??= textAt(node, 'voice');
        const note = readNote(node, { onset: state.at, divisions: state.divisions, measure: number }, leave);
        notes.push(note);
        state.at += note.duration;
      } else if (node.name === 'forward') {
        leave('forward', number);
      } else if (!SILENT.has(node.name) && node.name !== 'backup') {
        leave(node.name, number);
      }
    }
    if (m === 0) firstMeasureTicks = state.at;
  });
  const { fifths, mode, beats, beatType, tempo } = state;
  return {
    notes,
    marked,
    systems,
    firstMeasureTicks,
    fifths,
    mode,
    beats,
    beatType,
    quartersPerMinute: tempo,
  };
}

interface AttributeState {
  divisions: number;
  fifths: number | null;
  mode: string | null;
  beats: string | null;
  beatType: string | null;
}

function readAttributes(node: XmlNode, state: AttributeState, measure: string, problems: Problem[]): void {
  const change = (what: string): void => {
    const message = `The ${what} changes in measure ${measure}; a song has one throughout.`;
    problems.push({
      code: 'musicxml',
      severity: 'error',
      message,
      span: { start: node.start, end: node.start + 11 },
    });
  };
  const divisions = Number(textAt(node, 'divisions') ?? state.divisions);
  if (divisions > 0) state.divisions = divisions;
  const fifths = textAt(node, 'key', 'fifths');
  if (fifths !== null) {
    if (state.fifths !== null && state.fifths !== Number(fifths)) change('key');
    state.fifths = Number(fifths);
    state.mode = textAt(node, 'key', 'mode');
  }
  const beats = textAt(node, 'time', 'beats');
  const beatType = textAt(node, 'time', 'beat-type');
  if (beats !== null && beatType !== null) {
    if (state.beats !== null && (state.beats !== beats || state.beatType !== beatType)) change('metre');
    state.beats = beats;
    state.beatType = beatType;
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

/** Why a note is not part of the line of tune, or null when it is. */
function reasonToLeave(node: XmlNode, voice: string | null): string | null {
  if (child(node, 'grace') !== null) return 'grace note';
  if (child(node, 'cue') !== null) return 'cue note';
  if (child(node, 'chord') !== null) return 'chord';
  if (child(node, 'unpitched') !== null) return 'unpitched note';
  const own = textAt(node, 'voice');
  return voice !== null && own !== null && own !== voice ? 'second voice' : null;
}

const ALTERS: readonly Pitch['alter'][] = [-2, -1, 0, 1, 2];

function readNote(
  node: XmlNode,
  at: { onset: Ticks; divisions: number; measure: string },
  leave: (what: string, measure: string) => void,
): FileNote {
  const notations = childrenOf(node, 'notations').flatMap((each) => each.children);
  for (const each of notations) {
    const known = ['tied', 'slur', 'articulations', 'tuplet'].includes(each.name);
    if (!known) leave(each.name, at.measure);
    if (each.name === 'articulations') {
      for (const mark of each.children) if (mark.name !== 'breath-mark') leave(mark.name, at.measure);
    }
  }
  const slurs = notations.filter((each) => each.name === 'slur').map((each) => each.attributes['type']);
  const ties = [...childrenOf(node, 'tie'), ...notations.filter((each) => each.name === 'tied')];
  const articulations = notations.filter((each) => each.name === 'articulations');
  const words = wordsLyric(node, at.measure, leave);
  const pitch = child(node, 'pitch');
  return {
    onset: at.onset,
    duration: (Number(textAt(node, 'duration') ?? 0) * TICKS_PER_QUARTER) / at.divisions,
    pitch: pitch === null ? null : readFilePitch(pitch),
    tiedOn: ties.some((each) => each.attributes['type'] === 'stop'),
    tiedOver: ties.some((each) => each.attributes['type'] === 'start'),
    slur: slurs.includes('start') ? 'start' : slurs.includes('stop') ? 'stop' : null,
    breath: articulations.some((each) => child(each, 'breath-mark') !== null),
    syllable: words,
    measure: at.measure,
    start: node.start,
  };
}

function readFilePitch(node: XmlNode): Pitch {
  const alter = Number(textAt(node, 'alter') ?? 0);
  const letter = (textAt(node, 'step') ?? 'C') as Pitch['letter'];
  return {
    letter,
    alter: ALTERS.find((each) => each === alter) ?? 0,
    octave: Number(textAt(node, 'octave') ?? 4),
  };
}

/** The words under a note: lyric 1, or the first that is not a line of solfa letters of ours. */
function wordsLyric(
  node: XmlNode,
  measure: string,
  leave: (what: string, measure: string) => void,
): FileNote['syllable'] {
  const lyrics = childrenOf(node, 'lyric').filter((each) => each.attributes['name'] !== 'solfa');
  const words = lyrics.find((each) => (each.attributes['number'] ?? '1') === '1') ?? null;
  if (lyrics.length > (words === null ? 0 : 1)) leave('further verse', measure);
  if (words === null) return null;
  const text = words.children
    .filter((each) => each.name === 'text' || each.name === 'elision')
    .map((each) => (each.name === 'elision' && each.text.trim() === '' ? '\u203f' : each.text))
    .join('');
  if (text === '') return null;
  const syllabic = textAt(words, 'syllabic');
  const division = DIVISIONS.find((each) => each === syllabic) ?? 'single';
  return { text, division };
}

const DIVISIONS: readonly Division[] = ['single', 'begin', 'middle', 'end'];

/** A pitch of the file for a message. */
export function filePitchName(note: FileNote): string {
  return note.pitch === null ? 'rest' : pitchName(note.pitch);
}
