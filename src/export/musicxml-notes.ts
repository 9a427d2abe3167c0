/**
 * One note or rest of a song as a MusicXML element, with its beams, ties, slurs, breath mark and lyrics.
 */
import { noteValue } from '../note-value.ts';
import { readPitch } from '../pitch.ts';
import type { Song, SongNote } from '../song.ts';
import type { Ticks } from '../time.ts';
import { isTiedOn, isTiedOver, ticksIntoBar } from './bars.ts';
import { element, NO_ATTRIBUTES, type XmlElement } from './xml.ts';

type Beam = 'begin' | 'continue' | 'end' | 'forward hook' | 'backward hook';

/** Beams of each beamed note by its onset: the first is the eighth beam, the second that of the sixteenths. */
export type Beams = ReadonlyMap<Ticks, readonly Beam[]>;

/** Beams join eighths and sixteenths inside one beat; a rest, a longer note or a bar line ends them. */
export function beamsOf(song: Song): Beams {
  const beams = new Map<Ticks, readonly Beam[]>();
  const beat = song.metre.ticksPerBeat;
  let group: SongNote[] = [];
  const close = (): void => {
    group.forEach((note, i) => {
      if (group.length > 1) beams.set(note.onset, noteBeams(group, i));
    });
    group = [];
  };
  for (const note of song.phrases.flatMap((phrase) => phrase.notes)) {
    if (ticksIntoBar(song, note.onset) % beat === 0) close();
    if (note.tone === null || note.duration >= 480) close();
    else group.push(note);
  }
  close();
  return beams;
}

function noteBeams(group: readonly SongNote[], i: number): readonly Beam[] {
  const isShort = (k: number): boolean => (group[k]?.duration ?? 480) < 240;
  const eighth: Beam = i === 0 ? 'begin' : i === group.length - 1 ? 'end' : 'continue';
  if (!isShort(i)) return [eighth];
  const before = isShort(i - 1);
  const after = isShort(i + 1);
  if (before || after) return [eighth, !before ? 'begin' : after ? 'continue' : 'end'];
  return [eighth, i === 0 ? 'forward hook' : 'backward hook'];
}

/** The note at an index of its phrase, with the lyrics that stand under it. */
export function noteElement(notes: readonly SongNote[], i: number, beams: readonly Beam[]): XmlElement {
  const note = notes[i];
  const value = noteValue(note?.duration ?? 0);
  if (note === undefined || value === null) {
    throw new RangeError(`No note value lasts ${String(note?.duration)} ticks.`);
  }
  const parts: XmlElement[] = [
    note.pitch === null ? element('rest') : pitchElement(note.pitch),
    element('duration', NO_ATTRIBUTES, String(note.duration)),
  ];
  if (isTiedOn(note)) parts.push(element('tie', { type: 'stop' }));
  if (isTiedOver(note)) parts.push(element('tie', { type: 'start' }));
  parts.push(element('voice', NO_ATTRIBUTES, '1'), element('type', NO_ATTRIBUTES, value.type));
  if (value.dots === 1) parts.push(element('dot'));
  beams.forEach((beam, k) => parts.push(element('beam', { number: String(k + 1) }, beam)));
  const notations = notationElements(note);
  if (notations.length > 0) parts.push(element('notations', NO_ATTRIBUTES, notations));
  parts.push(...lyricElements(notes, i));
  return element('note', NO_ATTRIBUTES, parts);
}

/** A pitch by its name; throws a RangeError when it is none. */
export function pitchElement(name: string): XmlElement {
  const pitch = readPitch(name);
  if (pitch === null) throw new RangeError(`"${name}" is not a pitch.`);
  return element('pitch', NO_ATTRIBUTES, [
    element('step', NO_ATTRIBUTES, pitch.letter),
    ...(pitch.alter === 0 ? [] : [element('alter', NO_ATTRIBUTES, String(pitch.alter))]),
    element('octave', NO_ATTRIBUTES, String(pitch.octave)),
  ]);
}

function notationElements(note: SongNote): readonly XmlElement[] {
  const notations: XmlElement[] = [];
  if (isTiedOn(note)) notations.push(element('tied', { type: 'stop' }));
  if (isTiedOver(note)) notations.push(element('tied', { type: 'start' }));
  if (note.slur !== null) notations.push(element('slur', { type: note.slur, number: '1' }));
  if (note.breath === true) {
    notations.push(element('articulations', NO_ATTRIBUTES, [element('breath-mark', NO_ATTRIBUTES, 'comma')]));
  }
  return notations;
}

/** Words on lyric line 1, with a line drawn on where notes hold the last syllable of a word; solfa on line 2. */
function lyricElements(notes: readonly SongNote[], i: number): readonly XmlElement[] {
  const note = notes[i];
  if (note === undefined || note.tone === null) return [];
  const lyrics: XmlElement[] = [];
  if (note.syllable !== null) {
    const { text, division } = note.syllable;
    const next = notes[i + 1];
    const held = next !== undefined && next.tone !== null && next.syllable === null;
    // inside a word hyphens fill the time
    const drawnOn = held && (division === 'single' || division === 'end');
    const parts = [element('syllabic', NO_ATTRIBUTES, division), element('text', NO_ATTRIBUTES, text)];
    if (drawnOn) parts.push(element('extend'));
    lyrics.push(element('lyric', { number: '1', name: 'words' }, parts));
  }
  if (!isTiedOn(note)) {
    const solfa = [
      element('syllabic', NO_ATTRIBUTES, 'single'),
      element('text', { 'font-style': 'italic' }, note.tone),
    ];
    lyrics.push(element('lyric', { number: '2', name: 'solfa' }, solfa));
  }
  return lyrics;
}
