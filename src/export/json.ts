/**
 * Song -> JSON: the whole song as one object on one line, keys in a fixed order. Read back by `readSongJson`.
 */
import type { Problem } from '../problem.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';

/** Names the form in the object's first key. */
export const SONG_FORMAT = 'chantwright-song';
/** Rises when an older reader could misunderstand a newer file. */
export const SONG_VERSION = 1;

/**
 * Write a song as one line of JSON, with a newline at its end.
 *
 * Keys stand in the order of the docs; a problem keeps its code, severity, message and line. ASCII is not forced:
 * words stay as they are.
 */
export function writeJson(song: Song): string {
  return `${JSON.stringify(songRecord(song))}\n`;
}

/** The object that is written, its keys in order. */
export function songRecord(song: Song): object {
  return {
    format: SONG_FORMAT,
    version: SONG_VERSION,
    title: song.title,
    rung: song.rung,
    tones: song.tones,
    newTone: song.newTone,
    home: song.home,
    seed: song.seed,
    take: song.take,
    do: song.do,
    tempoBpm: song.tempoBpm,
    ticksPerQuarter: song.ticksPerQuarter,
    metre: {
      beats: song.metre.beats,
      beatType: song.metre.beatType,
      beatClass: song.metre.beatClass,
      ticksPerBeat: song.metre.ticksPerBeat,
    },
    upbeatTicks: song.upbeatTicks,
    phrases: song.phrases.map(phraseRecord),
    problems: song.problems.map(problemRecord),
  };
}

function phraseRecord(phrase: SongPhrase): object {
  return {
    line: phrase.line,
    stanza: phrase.stanza,
    text: phrase.text,
    form: phrase.form,
    cadence: phrase.cadence,
    notes: phrase.notes.map(noteRecord),
  };
}

function noteRecord(note: SongNote): object {
  const { syllable } = note;
  return {
    onset: note.onset,
    duration: note.duration,
    tone: note.tone,
    pitch: note.pitch,
    syllable:
      syllable === null ? null : { text: syllable.text, word: syllable.word, division: syllable.division },
    slur: note.slur,
    tie: note.tie,
    breath: note.breath,
  };
}

/** What of a problem travels with the song: its place in the rhyme's text does not. */
export function problemRecord(problem: Problem): object {
  return {
    code: problem.code,
    severity: problem.severity,
    message: problem.message,
    ...(problem.line === undefined ? {} : { line: problem.line }),
  };
}
