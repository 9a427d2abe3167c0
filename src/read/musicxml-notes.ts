/**
 * One note of a MusicXML file, with its words.
 */
import type { Pitch } from '../pitch.ts';
import type { Division } from '../placement.ts';
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

/** Why a note is not part of the line of tune, or null when it is. */
export function reasonToLeave(node: XmlNode, voice: string | null): string | null {
  if (child(node, 'grace') !== null) return 'grace note';
  if (child(node, 'cue') !== null) return 'cue note';
  if (child(node, 'chord') !== null) return 'chord';
  if (child(node, 'unpitched') !== null) return 'unpitched note';
  const own = textAt(node, 'voice');
  return voice !== null && own !== null && own !== voice ? 'second voice' : null;
}

const ALTERS: readonly Pitch['alter'][] = [-2, -1, 0, 1, 2];

/** Read a note that is part of the tune; `leave` is told of marks on it that a song does not have. */
export function readNote(
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
