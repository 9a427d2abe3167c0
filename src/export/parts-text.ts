/**
 * A song with its parts as score and JSON.
 */
import type { SongWithParts } from '../parts.ts';
import { problemRecord, songRecord } from './json.ts';
import { partSong } from './part-song.ts';
import { writeScore } from './score.ts';

/**
 * The song's score, then each part as a score of its own under comment signs: whoever reads the file back reads the song.
 */
export function writePartsScore({ song, parts }: SongWithParts): string {
  const blocks = parts.map((part) => {
    const score = writeScore(partSong(song, part));
    const body = score.slice(score.indexOf('\n---\n') + 5).trim();
    const lines = [`${part.name}`, '', ...body.split('\n')];
    return lines.map((line) => (line === '' ? '#' : `# ${line}`)).join('\n');
  });
  return `${[writeScore(song).trimEnd(), ...blocks].join('\n\n')}\n`;
}

/**
 * The song's JSON with one more key, `parts`: a list of `{ kind, name, instrument, notes }`, each note `{ onset, duration,
 * tones, pitches, syllable, slur, tie }`. What was refused or changed stands among the problems.
 */
export function writePartsJson({ song, parts, problems }: SongWithParts): string {
  const whole = { ...song, problems: [...song.problems, ...problems] };
  const records = parts.map(({ kind, name, instrument, notes }) => ({
    kind,
    name,
    instrument,
    notes: notes.map(({ onset, duration, tones, pitches, syllable, slur, tie }) => ({
      onset,
      duration,
      tones,
      pitches,
      syllable:
        syllable === null ? null : { text: syllable.text, word: syllable.word, division: syllable.division },
      slur,
      tie,
    })),
  }));
  return `${JSON.stringify({ ...songRecord(whole), problems: whole.problems.map(problemRecord), parts: records })}\n`;
}
