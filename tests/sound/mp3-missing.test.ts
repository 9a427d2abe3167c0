import { expect, test, vi } from 'vitest';
import { newWorld } from '../cli/world.ts';

vi.mock('wasm-media-encoders', () => {
  throw new Error('not installed');
});

test.each(['practice', 'parts'])(
  '%s without the MP3 package says what to install, and writes nothing',
  async (command) => {
    const world = newWorld();
    const { code, out, err } = await world.run([command, '--to', 'wav,mp3', '--out', '@/out'], {
      stdin: 'Hush, hush.\n',
    });
    expect([code, out, world.list()]).toEqual([2, '', []]);
    expect(err).toContain('MP3 files need wasm-media-encoders, which is not installed.');
    expect(err).toContain('npm install wasm-media-encoders@0.7.0');
  },
);
