/**
 * A song with its parts as MusicXML 4.0: a staff for each part under the song's own, bar for bar.
 */
import type { Part, SongWithParts } from '../parts.ts';
import { midiNumber, readPitch } from '../pitch.ts';
import type { Song } from '../song.ts';
import { measures, scoreText } from './musicxml.ts';
import { partSong } from './part-song.ts';
import { pitchElement } from './musicxml-notes.ts';
import { element, type XmlElement } from './xml.ts';

/** A staff that lies below middle C on average reads better in the bass clef. */
const MIDDLE_C = 60;

/** Write a song and its parts; every part has the song's measures and systems. */
export function writePartsMusicXml({ song, parts }: SongWithParts): string {
  const staves = parts.map((part) => ({ name: part.name, measures: partMeasures(song, part) }));
  return scoreText(song, [{ name: 'Voice', measures: measures(song) }, ...staves]);
}

/** The part's measures: no tempo and no phrase marks of their own, the other tones of a chord after its lowest. */
function partMeasures(song: Song, part: Part): readonly XmlElement[] {
  const bass = isLow(part);
  let index = 0;
  return measures(partSong(song, part)).map((measure) => {
    const content: XmlElement[] = [];
    for (const child of childrenOf(measure)) {
      if (child.name === 'direction' || child.name === 'grouping') continue;
      content.push(child.name === 'attributes' && bass ? withBassClef(child) : child);
      if (child.name !== 'note') continue;
      for (const name of part.notes[index]?.pitches.slice(1) ?? []) content.push(chordNote(child, name));
      index += 1;
    }
    return { ...measure, content };
  });
}

function isLow(part: Part): boolean {
  const keys = part.notes.flatMap((note) => note.pitches.map((name) => readPitch(name)));
  const sum = keys.reduce((total, pitch) => total + (pitch === null ? 0 : midiNumber(pitch) - MIDDLE_C), 0);
  return sum < 0;
}

function withBassClef(attributes: XmlElement): XmlElement {
  const clef = element('clef', {}, [element('sign', {}, 'F'), element('line', {}, '4')]);
  return {
    ...attributes,
    content: childrenOf(attributes).map((child) => (child.name === 'clef' ? clef : child)),
  };
}

/** The same note on another pitch, standing with the one before it; beams, slurs and words belong to that one. */
function chordNote(lowest: XmlElement, pitch: string): XmlElement {
  const kept = childrenOf(lowest).flatMap((child): readonly XmlElement[] => {
    if (child.name === 'pitch') return [element('chord'), pitchElement(pitch)];
    if (child.name === 'beam' || child.name === 'lyric') return [];
    if (child.name !== 'notations') return [child];
    const ties = childrenOf(child).filter((each) => each.name === 'tied');
    return ties.length === 0 ? [] : [{ ...child, content: ties }];
  });
  return { ...lowest, content: kept };
}

function childrenOf(node: XmlElement): readonly XmlElement[] {
  return typeof node.content === 'string' ? [] : node.content;
}
