import { expect, test, vi } from 'vitest';
import { missingPackages } from '../../src/cli/installed.ts';
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

test('a missing package is an error with the command that installs it', () => {
  expect(missingPackages('Sounds', ['one@1.0.0', '@two/three@2.0.0'])).toEqual({
    code: 'missing-package',
    severity: 'error',
    message: 'Sounds need one, @two/three, which are not installed.',
    hint: 'Install with: npm install one@1.0.0 @two/three@2.0.0',
  });
});
