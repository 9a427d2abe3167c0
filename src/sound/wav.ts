/**
 * Lesson -> a WAV file (RIFF, PCM, 16 bits, little-endian: Microsoft and IBM, Multimedia Programming Interface and
 * Data Specifications 1.0, 1991), piece after piece, the length known before the first sample.
 */
import type { Lesson } from '../lesson.ts';
import { channelCount, frameCount, renderLesson, type SoundOptions } from './render.ts';
import { SAMPLE_RATE } from './voices.ts';

/** The file's bytes in order: the 44 bytes of the header, then the samples. */
export function* wavPieces(lesson: Lesson, options: SoundOptions = { sides: 'both' }): Generator<Uint8Array> {
  yield wavHeader(frameCount(lesson), channelCount(options));
  for (const chunk of renderLesson(lesson, options)) yield littleEndian(chunk);
}

export function wavHeader(frames: number, channels: number): Uint8Array {
  const bytes = new Uint8Array(44);
  const view = new DataView(bytes.buffer);
  const frameBytes = 2 * channels;
  const name = (at: number, text: string): void => {
    for (let i = 0; i < text.length; i++) view.setUint8(at + i, text.charCodeAt(i));
  };
  name(0, 'RIFF');
  view.setUint32(4, 36 + frames * frameBytes, true);
  name(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, SAMPLE_RATE, true);
  view.setUint32(28, SAMPLE_RATE * frameBytes, true);
  view.setUint16(32, frameBytes, true);
  view.setUint16(34, 16, true);
  name(36, 'data');
  view.setUint32(40, frames * frameBytes, true);
  return bytes;
}

function littleEndian(samples: Int16Array): Uint8Array {
  const bytes = new Uint8Array(2 * samples.length);
  for (let i = 0; i < samples.length; i++) {
    const value = samples[i] ?? 0;
    bytes[2 * i] = value & 255;
    bytes[2 * i + 1] = (value >> 8) & 255;
  }
  return bytes;
}
