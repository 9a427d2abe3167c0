/**
 * JSON -> Song: reads what `writeJson` writes, checked from end to end, for it may have been edited.
 */
import { isTone, type Tone } from '../pitch.ts';
import type { Division } from '../placement.ts';
import { failed, made, type Outcome } from '../problem.ts';
import type { NoteSyllable, Song } from '../song.ts';
import { METRES, metreName, type Metre } from '../time.ts';
import { finishDraft, type DraftNote, type DraftPhrase, type SongDraft } from './draft.ts';
import { problemsOf } from './score-settings.ts';
import { draftProblems } from './sound-draft.ts';

/**
 * Read one song. Keys beyond those of the form are passed over.
 *
 * Problems: `not-a-song` for text that is no JSON, another form or version, or a value of the wrong kind, named by its
 * path (`phrases[0].notes[3].tone`); those of `draftProblems` for music that does not add up; `tone-not-set`.
 */
export function readSongJson(source: string): Outcome<Song> {
  const draft = readSongDraftJson(source);
  return draft.ok ? finishDraft(draft.value) : draft;
}

/**
 * Read a song in which tones may still be open: `"?"`. Of a note only onset, duration and tone must be said, and its pitch
 * unless it is open; words, slurs, ties and breaths may be left out, and so may a phrase's text, form and cadence.
 */
export function readSongDraftJson(source: string): Outcome<SongDraft> {
  let value: unknown;
  try {
    value = JSON.parse(source);
  } catch {
    return failed({
      code: 'not-a-song',
      severity: 'error',
      message: 'This is not JSON: a bracket, a quotation mark or a comma is missing or too many.',
      hint: 'A song as JSON is one object, as chantwright sing --to json writes it.',
    });
  }
  try {
    const draft = songOf({ value, path: '' });
    const problems = draftProblems(draft);
    return problems.length > 0 ? failed(...problems) : made(draft);
  } catch (error) {
    if (!(error instanceof WrongField)) throw error;
    return failed({ code: 'not-a-song', severity: 'error', message: error.message });
  }
}

/** The texts of the songs in a file that holds one to a line, each with its offset; a file of one song gives itself. */
export function songLines(source: string): readonly { readonly text: string; readonly offset: number }[] {
  const lines = [...source.matchAll(/[^\r\n]+/g)].filter((match) => match[0].trim() !== '');
  if (!lines.every((match) => /^\s*\{.*\}\s*$/.test(match[0]))) return [{ text: source, offset: 0 }];
  return lines.map((match) => ({ text: match[0], offset: match.index }));
}

/** Leaves the reading at the first value of the wrong kind; never leaves this file. */
class WrongField extends Error {}

/** A value of unknown kind with the path that leads to it. */
interface Field {
  readonly value: unknown;
  readonly path: string;
}

function at(field: Field, key: string): Field {
  if (typeof field.value !== 'object' || field.value === null) throw wrong(field, 'is an object');
  const value = (field.value as Readonly<Record<string, unknown>>)[key];
  return { value, path: field.path === '' ? key : `${field.path}.${key}` };
}

function list(field: Field): readonly Field[] {
  if (!Array.isArray(field.value)) throw wrong(field, 'is a list');
  return field.value.map((value: unknown, i) => ({ value, path: `${field.path}[${String(i)}]` }));
}

function text(field: Field): string {
  if (typeof field.value !== 'string') throw wrong(field, 'is text');
  return field.value;
}

function whole(field: Field, least: number): number {
  if (typeof field.value !== 'number' || !Number.isInteger(field.value) || field.value < least) {
    throw wrong(field, `is a whole number from ${String(least)}`);
  }
  return field.value;
}

function oneOf<T extends string>(field: Field, values: readonly T[]): T {
  const found = values.find((each) => each === field.value);
  if (found === undefined) throw wrong(field, `is one of ${values.join(', ')}`);
  return found;
}

function orNull<T>(field: Field, read: (field: Field) => T): T | null {
  return field.value === null ? null : read(field);
}

/** What need not be said: left out or null. */
function orUsual<T, U>(field: Field, usual: U, read: (field: Field) => T): T | U {
  return field.value === undefined || field.value === null ? usual : read(field);
}

function yesOrNo(field: Field): boolean {
  if (typeof field.value !== 'boolean') throw wrong(field, 'is true, false or null');
  return field.value;
}

function tone(field: Field): Tone {
  if (typeof field.value !== 'string' || !isTone(field.value)) {
    throw wrong(field, "is a solfa letter such as s, l, or d'");
  }
  return field.value;
}

function wrong(field: Field, accepted: string): WrongField {
  const shown = JSON.stringify(field.value) as string | undefined;
  const cut = shown !== undefined && shown.length > 40 ? `${shown.slice(0, 40)}...` : shown;
  const seen = cut === undefined ? 'is missing' : `is ${cut}`;
  return new WrongField(`${field.path === '' ? 'The song' : field.path} ${seen}; it ${accepted}.`);
}

function songOf(song: Field): SongDraft {
  if (at(song, 'format').value !== 'chantwright-song')
    throw wrong(at(song, 'format'), 'is "chantwright-song"');
  if (at(song, 'version').value !== 1)
    throw wrong(at(song, 'version'), 'is 1 in the songs that this program reads');
  if (at(song, 'ticksPerQuarter').value !== 480) throw wrong(at(song, 'ticksPerQuarter'), 'is 480');
  const tempo = at(song, 'tempoBpm');
  if (typeof tempo.value !== 'number' || !(tempo.value >= 20 && tempo.value <= 400)) {
    throw wrong(tempo, 'is beats a minute, from 20 to 400');
  }
  const tones = at(song, 'tones');
  if (!text(tones).split(' ').every(isTone)) throw wrong(tones, 'is solfa letters divided by spaces');
  return {
    title: text(at(song, 'title')),
    rung: text(at(song, 'rung')),
    tones: text(tones),
    newTone: orNull(at(song, 'newTone'), tone),
    home: tone(at(song, 'home')),
    seed: whole(at(song, 'seed'), 0),
    take: whole(at(song, 'take'), 1),
    do: text(at(song, 'do')),
    tempoBpm: tempo.value,
    ticksPerQuarter: 480,
    metre: metreOf(at(song, 'metre')),
    upbeatTicks: whole(at(song, 'upbeatTicks'), 0),
    phrases: list(at(song, 'phrases')).map(phraseOf),
    problems: problemsOf(at(song, 'problems').value),
  };
}

function metreOf(field: Field): Metre {
  const [beats, beatType] = [whole(at(field, 'beats'), 1), whole(at(field, 'beatType'), 1)];
  const metre = Object.values(METRES).find((each) => each.beats === beats && each.beatType === beatType);
  if (metre === undefined) throw wrong(field, `is one of ${Object.values(METRES).map(metreName).join(', ')}`);
  return metre;
}

function phraseOf(field: Field): DraftPhrase {
  return {
    line: whole(at(field, 'line'), 1),
    stanza: whole(at(field, 'stanza'), 1),
    text: orUsual(at(field, 'text'), '', text),
    form: orUsual(at(field, 'form'), '', text),
    cadence: orUsual(at(field, 'cadence'), 'open', (each) => oneOf(each, ['open', 'closed'])),
    notes: list(at(field, 'notes')).map(noteOf),
  };
}

function noteOf(field: Field): DraftNote {
  const sung = orNull(at(field, 'tone'), (each) => (each.value === '?' ? ('?' as const) : tone(each)));
  const pitch = at(field, 'pitch');
  return {
    onset: whole(at(field, 'onset'), 0),
    duration: whole(at(field, 'duration'), 1),
    tone: sung,
    // a tone that is still to be set has no pitch, whatever stands there
    pitch: sung === '?' ? null : orNull(pitch, text),
    syllable: orUsual(at(field, 'syllable'), null, syllableOf),
    slur: orUsual<'start' | 'stop', null>(at(field, 'slur'), null, (slur) => oneOf(slur, ['start', 'stop'])),
    tie: orUsual<'start' | 'stop' | 'both', null>(at(field, 'tie'), null, (tie) =>
      oneOf(tie, ['start', 'stop', 'both']),
    ),
    breath: orUsual(at(field, 'breath'), sung === null ? null : false, yesOrNo),
  };
}

const DIVISIONS: readonly Division[] = ['single', 'begin', 'middle', 'end'];

function syllableOf(field: Field): NoteSyllable {
  return {
    text: text(at(field, 'text')),
    word: whole(at(field, 'word'), 0),
    division: oneOf(at(field, 'division'), DIVISIONS),
  };
}
