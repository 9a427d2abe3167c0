/**
 * Song -> MusicXML 4.0, score-partwise: one part, one voice, words as the first lyric line and solfa as the second.
 *
 * The upbeat is an implicit measure 0 and the last measure is short by it. Each phrase begins a system at the first bar
 * line at or after its first note: an upbeat stays at the end of the system before, so that no bar is ever split.
 * What staff notation has no place for (phrase form, rung, seed) travels in `grouping` and `miscellaneous` elements.
 */
import { keyFifths, readPitch } from '../pitch.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';
import { TICKS_PER_QUARTER, type Ticks } from '../time.ts';
import { barNumber, ticksIntoBar, wordsOf } from './bars.ts';
import { problemRecord } from './json.ts';
import { beamsOf, noteElement, type Beams } from './musicxml-notes.ts';
import { element, NO_ATTRIBUTES, xmlText, type XmlElement } from './xml.ts';

const HEADER = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
`;

/** Names of the modes by the degree that is home, as MusicXML spells them. */
const MODES: Readonly<Record<string, string>> = {
  d: 'major',
  r: 'dorian',
  m: 'phrygian',
  f: 'lydian',
  s: 'mixolydian',
  l: 'minor',
  t: 'locrian',
};

/** Write a song as a MusicXML 4.0 file; 480 divisions to a quarter note, as in the song itself. */
export function writeMusicXml(song: Song): string {
  return scoreText(song, [{ name: 'Voice', measures: measures(song) }]);
}

/** A staff of the score with its measures, as many and as long as those of the others. */
export interface Staff {
  /** As printed before it. */
  readonly name: string;
  readonly measures: readonly XmlElement[];
}

/** A whole file with these staves, the song's own first. */
export function scoreText(song: Song, staves: readonly Staff[]): string {
  const parts = staves.map(({ measures }, i) => element('part', { id: `P${String(i + 1)}` }, measures));
  const names = staves.map(({ name }) => name);
  return (
    HEADER + xmlText(element('score-partwise', { version: '4.0' }, [...frontElements(song, names), ...parts]))
  );
}

function frontElements(song: Song, names: readonly string[]): readonly XmlElement[] {
  const doName = song.do.replace(/-?\d+$/, '');
  return [
    element('work', NO_ATTRIBUTES, [element('work-title', NO_ATTRIBUTES, song.title)]),
    element('identification', NO_ATTRIBUTES, [
      element('encoding', NO_ATTRIBUTES, [
        element('software', NO_ATTRIBUTES, 'Chantwright'),
        element('supports', { element: 'beam', type: 'yes' }),
        element('supports', { element: 'print', attribute: 'new-system', type: 'yes', value: 'yes' }),
      ]),
      element('miscellaneous', NO_ATTRIBUTES, miscellaneous(song)),
    ]),
    credit('title', song.title),
    credit('subtitle', `do is ${doName}, ${song.rung}`),
    element(
      'part-list',
      {},
      names.map((name, i) =>
        element('score-part', { id: `P${String(i + 1)}` }, [element('part-name', NO_ATTRIBUTES, name)]),
      ),
    ),
  ];
}

function credit(type: string, words: string): XmlElement {
  return element('credit', { page: '1' }, [
    element('credit-type', NO_ATTRIBUTES, type),
    element('credit-words', { justify: 'center', valign: 'top' }, words),
  ]);
}

/** What the song knows beyond its notes, so that it can be read back whole. */
function miscellaneous(song: Song): readonly XmlElement[] {
  const fields: readonly (readonly [string, string])[] = [
    ['rung', song.rung],
    ['tones', song.tones],
    ['new-tone', song.newTone ?? ''],
    ['home', song.home],
    ['do', song.do],
    ['tempo', String(song.tempoBpm)],
    ['seed', String(song.seed)],
    ['take', String(song.take)],
    ['problems', song.problems.length === 0 ? '' : JSON.stringify(song.problems.map(problemRecord))],
  ];
  return fields
    .filter(([, value]) => value !== '')
    .map(([name, value]) => element('miscellaneous-field', { name: `chantwright-${name}` }, value));
}

interface Measure {
  readonly number: number;
  readonly content: XmlElement[];
}

/** The song's measures in order, from the upbeat on. */
export function measures(song: Song): readonly XmlElement[] {
  const all: Measure[] = [];
  const beams = beamsOf(song);
  let newSystem = false;
  song.phrases.forEach((phrase, p) => {
    if (p > 0) newSystem = true;
    phrase.notes.forEach((note, i) => {
      const number = barNumber(song, note.onset);
      if (all.at(-1)?.number !== number) {
        // a system may begin only where a bar does
        const breaks = newSystem && ticksIntoBar(song, note.onset) === 0;
        all.push({ number, content: openingElements(song, all.length === 0, breaks) });
        if (breaks) newSystem = false;
      }
      const content = all.at(-1)?.content;
      if (i === 0) content?.push(phraseStart(phrase));
      content?.push(songNote(song, phrase.notes, i, beams));
      if (i === phrase.notes.length - 1) {
        content?.push(element('grouping', { type: 'stop', number: '1', 'member-of': 'phrase' }));
      }
    });
  });
  all
    .at(-1)
    ?.content.push(
      element('barline', { location: 'right' }, [element('bar-style', NO_ATTRIBUTES, 'light-heavy')]),
    );
  return all.map(({ number, content }) =>
    element('measure', { number: String(number), ...(number === 0 ? { implicit: 'yes' } : {}) }, content),
  );
}

function songNote(song: Song, notes: readonly SongNote[], i: number, beams: Beams): XmlElement {
  const note = notes[i];
  if (note === undefined) throw new RangeError('There is no such note.');
  return noteElement(notes, i, beams.get(note.onset) ?? []);
}

/** The phrase as an analyst marks it: line and stanza of the rhyme, form letter, cadence, and its words if they differ. */
function phraseStart(phrase: SongPhrase): XmlElement {
  const features = [
    element('feature', { type: 'line' }, String(phrase.line)),
    element('feature', { type: 'stanza' }, String(phrase.stanza)),
    element('feature', { type: 'form' }, phrase.form),
    element('feature', { type: 'cadence' }, phrase.cadence),
  ];
  if (phrase.text !== wordsOf(phrase.notes)) features.push(element('feature', { type: 'text' }, phrase.text));
  return element('grouping', { type: 'start', number: '1', 'member-of': 'phrase' }, features);
}

function openingElements(song: Song, first: boolean, newSystem: boolean): XmlElement[] {
  if (!first) return newSystem ? [element('print', { 'new-system': 'yes' })] : [];
  const doPitch = readPitch(song.do);
  if (doPitch === null) throw new RangeError(`"${song.do}" is not a pitch.`);
  const { beats, beatType } = song.metre;
  return [
    element('attributes', NO_ATTRIBUTES, [
      element('divisions', NO_ATTRIBUTES, String(TICKS_PER_QUARTER)),
      element('key', NO_ATTRIBUTES, [
        element('fifths', NO_ATTRIBUTES, String(keyFifths(doPitch))),
        element('mode', NO_ATTRIBUTES, MODES[song.home.charAt(0)] ?? 'major'),
      ]),
      element('time', NO_ATTRIBUTES, [
        element('beats', NO_ATTRIBUTES, String(beats)),
        element('beat-type', NO_ATTRIBUTES, String(beatType)),
      ]),
      element('clef', NO_ATTRIBUTES, [
        element('sign', NO_ATTRIBUTES, 'G'),
        element('line', NO_ATTRIBUTES, '2'),
      ]),
    ]),
    tempoElement(song.tempoBpm, song.metre.ticksPerBeat),
  ];
}

/** The metronome mark counts felt beats; the sound behind it counts quarters, as MusicXML asks. */
function tempoElement(tempoBpm: number, ticksPerBeat: Ticks): XmlElement {
  const dotted = ticksPerBeat > TICKS_PER_QUARTER;
  const metronome = element('metronome', NO_ATTRIBUTES, [
    element('beat-unit', NO_ATTRIBUTES, 'quarter'),
    ...(dotted ? [element('beat-unit-dot')] : []),
    element('per-minute', NO_ATTRIBUTES, String(tempoBpm)),
  ]);
  return element('direction', { placement: 'above' }, [
    element('direction-type', NO_ATTRIBUTES, [metronome]),
    element('sound', { tempo: String((tempoBpm * ticksPerBeat) / TICKS_PER_QUARTER) }),
  ]);
}
