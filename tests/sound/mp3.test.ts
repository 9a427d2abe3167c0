import { describe, expect, test } from 'vitest';
import { makeLesson } from '../../src/practice/make-lesson.ts';
import { readPlan } from '../../src/practice/plan.ts';
import { loadMp3Writer } from '../../src/sound/mp3.ts';
import { frameCount } from '../../src/sound/render.ts';
import { KETTLE } from '../export/songs.ts';

/** MPEG-1 layer III (ISO/IEC 11172-3): a frame header is 11 set bits; bit rates in kbit/s by index; 1152 samples. */
const BITRATES = [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320];

/** Frames of a file, walked from header to header by the standard's own rule for their length. */
function mp3Frames(bytes: Uint8Array): { readonly bitrate: number; readonly mono: boolean }[] {
  const frames: { bitrate: number; mono: boolean }[] = [];
  let at = 0;
  while (at + 4 <= bytes.length) {
    const [a = 0, b = 0, c = 0, d = 0] = bytes.subarray(at, at + 4);
    expect(a).toBe(0xff);
    expect(b & 0xfe).toBe(0xfa);
    const bitrate = BITRATES[c >> 4] ?? 0;
    expect((c >> 2) & 3).toBe(0); // 44,100 a second
    frames.push({ bitrate, mono: d >> 6 === 3 });
    at += Math.floor((144 * bitrate * 1000) / 44100) + ((c >> 1) & 1);
  }
  expect(at).toBe(bytes.length);
  return frames;
}

describe('an MP3 file', () => {
  const plan = readPlan({ steps: ['sing-together'] });
  const lesson = plan.ok ? makeLesson(KETTLE, plan.value) : plan;
  if (!lesson.ok) throw new Error('no lesson');

  test.each([
    ['both', 96, true],
    ['apart', 160, false],
  ] as const)(
    'with its sides %s has %i kbit/s and lasts as long as the lesson',
    async (sides, rate, mono) => {
      const write = await loadMp3Writer();
      const bytes = Buffer.concat([...(write?.(lesson.value, { sides }) ?? [])]);
      const frames = mp3Frames(bytes);
      // the first frame may be the one that tells the length of the file
      expect(new Set(frames.slice(1).map((frame) => frame.bitrate))).toEqual(new Set([rate]));
      expect(frames.every((frame) => frame.mono === mono)).toBe(true);
      const padding = frames.length * 1152 - frameCount(lesson.value);
      expect(padding).toBeGreaterThanOrEqual(0);
      expect(padding).toBeLessThan(4 * 1152);
    },
  );

  test('is the same every time', async () => {
    const files = await Promise.all(
      [1, 2].map(async () => Buffer.concat([...((await loadMp3Writer())?.(lesson.value) ?? [])])),
    );
    expect(files[0]?.equals(files[1] ?? Buffer.alloc(0))).toBe(true);
  });
});
