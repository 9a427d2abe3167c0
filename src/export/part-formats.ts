/**
 * The forms that a song with parts, and a lesson, are written in. Each writer is loaded only when it is asked for.
 */
import type { Lesson } from '../lesson.ts';
import type { SongWithParts } from '../parts.ts';

/** A form with its file name ending (no dot in front) and the writer behind it. */
export interface PartFormat {
  readonly kind: 'text' | 'binary';
  readonly extension: string;
  readonly mediaType: string;
  load(): Promise<(song: SongWithParts) => string | Uint8Array>;
}

export const PART_FORMATS: Readonly<Record<'score' | 'json' | 'midi' | 'musicxml', PartFormat>> = {
  score: {
    kind: 'text',
    extension: 'score.txt',
    mediaType: 'text/plain',
    load: async () => (await import('./parts-text.ts')).writePartsScore,
  },
  json: {
    kind: 'text',
    extension: 'json',
    mediaType: 'application/json',
    load: async () => (await import('./parts-text.ts')).writePartsJson,
  },
  midi: {
    kind: 'binary',
    extension: 'mid',
    mediaType: 'audio/midi',
    load: async () => (await import('./parts-midi.ts')).writePartsMidi,
  },
  musicxml: {
    kind: 'text',
    extension: 'musicxml',
    mediaType: 'application/vnd.recordare.musicxml+xml',
    load: async () => (await import('./parts-musicxml.ts')).writePartsMusicXml,
  },
};

/** Loads the writer of a lesson's MIDI file. */
export async function loadLessonMidi(): Promise<(lesson: Lesson) => Uint8Array> {
  return (await import('./lesson-midi.ts')).writeLessonMidi;
}
