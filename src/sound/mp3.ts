/**
 * Lesson -> an MP3 file, piece after piece. The only file that names wasm-media-encoders, an optional package that is
 * loaded when MP3 is asked for.
 */
import type { Lesson } from '../lesson.ts';
import { channelCount, renderLesson, type SoundOptions } from './render.ts';
import { SAMPLE_RATE } from './voices.ts';

/** Kilobits a second of one channel and of two: clean for one voice and a beat. */
const BITRATES = { 1: 96, 2: 160 } as const;

/** Makes the pieces of a file from a lesson. */
export type Mp3Writer = (lesson: Lesson, options?: SoundOptions) => Generator<Uint8Array>;

/**
 * Load the encoder for one file; null when the package is not installed.
 *
 * The encoder puts about 25 milliseconds of silence before the sound, as the format does.
 */
export async function loadMp3Writer(): Promise<Mp3Writer | null> {
  const loaded = await import('wasm-media-encoders').catch(() => null);
  if (loaded === null) return null;
  const encoder = await loaded.createMp3Encoder();
  return function* (lesson, options = { sides: 'both' }) {
    const channels = channelCount(options);
    encoder.configure({ sampleRate: SAMPLE_RATE, channels, bitrate: BITRATES[channels] });
    for (const chunk of renderLesson(lesson, options)) {
      const piece = encoder.encode(sidesOf(chunk, channels)).slice();
      if (piece.length > 0) yield piece;
    }
    yield encoder.finalize().slice();
  };
}

/** Interleaved 16-bit samples as one array a channel, from -1 to 1. */
function sidesOf(chunk: Int16Array, channels: 1 | 2): readonly Float32Array[] {
  return Array.from({ length: channels }, (_, channel) => {
    const side = new Float32Array(chunk.length / channels);
    for (let n = 0; n < side.length; n++) side[n] = (chunk[n * channels + channel] ?? 0) / 32768;
    return side;
  });
}
