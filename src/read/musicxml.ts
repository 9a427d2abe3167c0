/**
 * MusicXML -> Song: one line of tune, in the subset that a song needs.
 *
 * Read: the first part of a partwise score; its first voice; pitches of one major or minor key, rests, ties, slurs,
 * breath marks, the first verse; one metre and one tempo. Phrases are `grouping` elements as `writeMusicXml` writes
 * them; without those, systems, each with the upbeat that the song begins with. What is not understood is named.
 */
import {
  keyFifths,
  pitchName,
  pitchOf,
  readPitch,
  SOLFA_LETTERS,
  toneStep,
  isTone,
  type Pitch,
  type Tone,
} from '../pitch.ts';
import { failed, made, type Outcome, type Problem } from '../problem.ts';
import type { Song } from '../song.ts';
import { METRES, ticksPerBar, TICKS_PER_QUARTER, type Metre, type MetreName } from '../time.ts';
import { finishDraft, type DraftNote, type DraftPhrase } from './draft.ts';
import type { FileNote } from './musicxml-notes.ts';
import { readPart, type FilePart, type LineStart } from './musicxml-part.ts';
import { nameForms, wordsText } from './score-phrases.ts';
import { problemsOf } from './score-settings.ts';
import { draftProblems } from './sound-draft.ts';
import { child, childrenOf, readXml, type XmlNode } from './xml.ts';

/**
 * Read a MusicXML file (text, not the compressed form) as a song.
 *
 * Problems: `musicxml` for text that is no MusicXML and for what a song cannot be, such as a change of metre;
 * `tone-name` for a pitch outside the key; those of `draftProblems`; `left-out` (warning) for each kind of thing that
 * was passed over.
 */
export function readMusicXml(source: string): Outcome<Song> {
  const xml = readXml(source);
  if (!xml.ok) return xml;
  const root = xml.value;
  if (root.name !== 'score-partwise') {
    const message = `This file begins with <${root.name}>; a song is read from a <score-partwise>.`;
    return failed(fileFault(message, root.start, 'Export it as MusicXML (partwise, not compressed).'));
  }
  const parts = childrenOf(root, 'part');
  const [part] = parts;
  if (part === undefined) return failed(fileFault('This file has no part.', root.start));
  const problems: Problem[] = [];
  const leftOut = new Map<string, string>();
  if (parts.length > 1) leftOut.set(`${String(parts.length - 1)} further part(s)`, '1');
  const file = readPart(part, problems, leftOut);
  const metre = metreOf(file);
  if (metre === null) {
    const seen = file.beats === null ? 'no metre' : `the metre ${file.beats}/${file.beatType ?? ''}`;
    problems.push(
      fileFault(`This file has ${seen}; metres are ${Object.keys(METRES).join(', ')}.`, part.start),
    );
  }
  if (file.notes.every((note) => note.pitch === null)) {
    problems.push({ code: 'nothing-to-sing', severity: 'error', message: 'This file has no notes to sing.' });
  }
  if (metre === null || problems.length > 0) return failed(...problems);
  const song = buildSong(root, file, metre);
  const notes = [...leftOut].map(([what, measure]) => leftOutNote(what, measure));
  return song.ok ? made(song.value, [...song.problems, ...notes]) : failed(...song.problems, ...notes);
}

function fileFault(message: string, start: number, hint?: string): Problem {
  const span = { start, end: start + 1 };
  return { code: 'musicxml', severity: 'error', message, span, ...(hint === undefined ? {} : { hint }) };
}

function leftOutNote(what: string, measure: string): Problem {
  const message = `Not read, first in measure ${measure}: ${what}. A song is one line of tune with words.`;
  return { code: 'left-out', severity: 'warning', message };
}

function metreOf(file: FilePart): Metre | null {
  const name = `${file.beats ?? ''}/${file.beatType ?? ''}`;
  return name in METRES ? METRES[name as MetreName] : null;
}

function buildSong(root: XmlNode, file: FilePart, metre: Metre): Outcome<Song> {
  const field = miscellaneous(root);
  const doPitch = doOf(file, readPitch(field('do') ?? ''));
  const problems: Problem[] = [];
  const tones = file.notes.map((note) => toneOf(note, doPitch, problems));
  if (problems.length > 0) return failed(...problems);
  const upbeatTicks = file.firstMeasureTicks < ticksPerBar(metre) ? file.firstMeasureTicks : 0;
  const starts = lineStarts(file, upbeatTicks);
  const phrases = dividePhrases(file.notes, tones, { starts, doPitch });
  const sung = [...new Set(tones.filter((tone) => tone !== null))].sort((a, b) => toneStep(a) - toneStep(b));
  const listed = (field('tones') ?? '').split(' ').filter(isTone);
  const draft = {
    title: titleOf(root),
    rung: field('rung') ?? 'own',
    tones: (sung.every((tone) => listed.includes(tone)) ? listed : sung).join(' '),
    newTone: toneField(field('new-tone')),
    home: toneField(field('home')) ?? homeOf(file, sung),
    seed: wholeField(field('seed'), 1),
    take: wholeField(field('take'), 1),
    do: pitchName(doPitch),
    tempoBpm: tempoOf(file, metre, Number(field('tempo') ?? '')),
    ticksPerQuarter: TICKS_PER_QUARTER,
    metre,
    upbeatTicks,
    phrases: nameForms(phrases, starts),
    problems: problemsOf(parsed(field('problems') ?? '[]')),
  };
  const faults = draftProblems(draft);
  return faults.length > 0 ? failed(...faults) : finishDraft(draft);
}

/** Titles are kept to the letter, spaces too. */
function titleOf(root: XmlNode): string {
  const work = child(root, 'work');
  const title = (work === null ? null : child(work, 'work-title')) ?? child(root, 'movement-title');
  return title === null || title.text.trim() === '' ? 'Untitled' : title.text;
}

/** Fields that `writeMusicXml` leaves for itself. */
function miscellaneous(root: XmlNode): (name: string) => string | null {
  const identification = child(root, 'identification');
  const all = identification === null ? null : child(identification, 'miscellaneous');
  const fields = all === null ? [] : childrenOf(all, 'miscellaneous-field');
  return (name) => fields.find((each) => each.attributes['name'] === `chantwright-${name}`)?.text ?? null;
}

function toneField(text: string | null): Tone | null {
  return text !== null && isTone(text) ? text : null;
}

function wholeField(text: string | null, usual: number): number {
  return text !== null && /^\d{1,15}$/.test(text) ? Number(text) : usual;
}

function parsed(json: string): unknown {
  try {
    return JSON.parse(json) as unknown;
  } catch {
    return [];
  }
}

/** The tempo in felt beats; the field counts only while the file still sounds at it. */
function tempoOf(file: FilePart, metre: Metre, field: number): number {
  if (file.quartersPerMinute === null) return field > 0 ? field : 112;
  const heard = (file.quartersPerMinute * TICKS_PER_QUARTER) / metre.ticksPerBeat;
  if (Math.abs(heard - field) < 0.01) return field;
  return Math.round(heard * 1000) / 1000;
}

/** Without a key signature do is C. Do stands where the field says, else in the octave from A3 to G sharp 4, or where all notes have letters. */
function doOf(file: FilePart, field: Pitch | null): Pitch {
  const fifths = file.fifths ?? 0;
  if (field !== null && keyFifths(field) === fifths) return field;
  const letter = 'FCGDAEB'[(((fifths + 1) % 7) + 7) % 7] as Pitch['letter'];
  const alter = Math.floor((fifths + 1) / 7) as Pitch['alter'];
  const octaves = letter === 'A' || letter === 'B' ? [3, 4, 5, 2] : [4, 3, 5, 2];
  const candidates = octaves.map((octave): Pitch => ({ letter, alter, octave }));
  const fits = (doPitch: Pitch): boolean =>
    file.notes.every((note) => toneOf(note, doPitch, []) !== null || note.pitch === null);
  return candidates.find(fits) ?? candidates[0] ?? { letter: 'C', alter: 0, octave: 4 };
}

/** The tone of a pitch when do is known; null for a rest, and with a problem for a pitch outside the key. */
function toneOf(note: FileNote, doPitch: Pitch, problems: Problem[]): Tone | null {
  if (note.pitch === null) return null;
  const name = pitchName(note.pitch);
  for (const mark of ['', ',', "'"] as const) {
    for (const letter of SOLFA_LETTERS) {
      const tone: Tone = `${letter}${mark}`;
      if (pitchName(pitchOf(tone, doPitch)) === name) return tone;
    }
  }
  const message = `${name} in measure ${note.measure} is no tone of the scale of ${pitchName(doPitch)}, from d, to t'.`;
  const hint = 'Songs have the seven letters d r m f s l t, in the octave of do, below and above.';
  const span = { start: note.start, end: note.start + 1 };
  problems.push({ code: 'tone-name', severity: 'error', message, span, hint });
  return null;
}

/** Home is la in a minor key, in the octave in which it is sung; else do. */
function homeOf(file: FilePart, sung: readonly Tone[]): Tone {
  if (file.mode !== 'minor' && file.mode !== 'aeolian') return 'd';
  return sung.includes('l,') ? 'l,' : 'l';
}

/** Where lines of the rhyme begin; the first at the first note. */
function lineStarts(file: FilePart, upbeatTicks: number): readonly LineStart[] {
  if (file.marked.length > 0) return file.marked;
  const onsets = new Set(file.notes.map((note) => note.onset));
  const silent = { line: null, stanza: null, form: null, cadence: null, text: null };
  const systems = file.systems.map((at) => (onsets.has(at - upbeatTicks) ? at - upbeatTicks : at));
  return [0, ...systems].map((onset) => ({ onset, ...silent }));
}

function dividePhrases(
  notes: readonly FileNote[],
  tones: readonly (Tone | null)[],
  by: { starts: readonly LineStart[]; doPitch: Pitch },
): readonly DraftPhrase[] {
  return by.starts.map((start, p): DraftPhrase => {
    const end = by.starts[p + 1]?.onset ?? Infinity;
    const own = notes.flatMap((note, i) =>
      (note.onset >= start.onset || p === 0) && note.onset < end
        ? [draftNote(note, tones[i] ?? null, by.doPitch)]
        : [],
    );
    const numbered = numberWords(own);
    return {
      line: start.line ?? p + 1,
      stanza: start.stanza ?? 1,
      text: start.text ?? wordsText(numbered),
      form: start.form ?? '',
      cadence: start.cadence ?? 'open',
      notes: numbered,
    };
  });
}

function draftNote(note: FileNote, tone: Tone | null, doPitch: Pitch): DraftNote {
  const { tiedOn, tiedOver, slur, syllable } = note;
  return {
    onset: note.onset,
    duration: note.duration,
    tone,
    pitch: tone === null ? null : pitchName(pitchOf(tone, doPitch)),
    syllable: syllable === null ? null : { text: syllable.text, word: 0, division: syllable.division },
    slur: tone === null ? null : slur,
    tie: tone === null ? null : tiedOn ? (tiedOver ? 'both' : 'stop') : tiedOver ? 'start' : null,
    breath: tone === null ? null : note.breath,
  };
}

function numberWords(notes: readonly DraftNote[]): readonly DraftNote[] {
  let word = -1;
  return notes.map((note) => {
    if (note.syllable === null) return note;
    const { division } = note.syllable;
    if (division === 'single' || division === 'begin' || word < 0) word += 1;
    return { ...note, syllable: { ...note.syllable, word } };
  });
}
