/**
 * The formats that a song is written in. Each writer is loaded only when it is asked for.
 */
import type { Song } from '../song.ts';
import type { ScoreOptions } from './score.ts';

/** What a writer may be told; each takes what concerns it. */
export type ExportOptions = ScoreOptions;

export type TextWriter = (song: Song, options?: ExportOptions) => string;
export type BytesWriter = (song: Song, options?: ExportOptions) => Uint8Array;

/** A format with its file name ending (no dot in front) and the writer behind it. */
export type Format =
  | {
      readonly kind: 'text';
      readonly extension: string;
      readonly mediaType: string;
      load(): Promise<TextWriter>;
    }
  | {
      readonly kind: 'binary';
      readonly extension: string;
      readonly mediaType: string;
      load(): Promise<BytesWriter>;
    };

export type FormatName = 'score' | 'json' | 'midi' | 'musicxml' | 'tonic-solfa' | 'spoken';

/** Every format by the name that `--to` takes. */
export const FORMATS: Readonly<Record<FormatName, Format>> = {
  score: {
    kind: 'text',
    extension: 'score.txt',
    mediaType: 'text/plain',
    load: async () => (await import('./score.ts')).writeScore,
  },
  json: {
    kind: 'text',
    extension: 'json',
    mediaType: 'application/json',
    load: async () => (await import('./json.ts')).writeJson,
  },
  midi: {
    kind: 'binary',
    extension: 'mid',
    mediaType: 'audio/midi',
    load: async () => (await import('./midi.ts')).writeMidi,
  },
  musicxml: {
    kind: 'text',
    extension: 'musicxml',
    mediaType: 'application/vnd.recordare.musicxml+xml',
    load: async () => (await import('./musicxml.ts')).writeMusicXml,
  },
  'tonic-solfa': {
    kind: 'text',
    extension: 'solfa.txt',
    mediaType: 'text/plain',
    load: async () => (await import('./tonic-solfa.ts')).writeTonicSolfa,
  },
  spoken: {
    kind: 'text',
    extension: 'spoken.txt',
    mediaType: 'text/plain',
    load: async () => (await import('./spoken.ts')).writeSpoken,
  },
};
