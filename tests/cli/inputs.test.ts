import { describe, expect, test } from 'vitest';
import { diskFiles } from '../../src/cli/files.ts';
import { collectInputs } from '../../src/cli/inputs.ts';
import type { Io } from '../../src/cli/io.ts';
import { chooseForms, openOutlet, type Form } from '../../src/cli/outputs.ts';
import { newWorld } from './world.ts';

const sink = { isTerminal: true, isOpen: () => true, write: () => undefined };

function ioWith(files: Partial<Io['files']> = {}, stdin = ''): Io {
  return {
    stdin: { isTerminal: false, read: () => Promise.resolve(Buffer.from(stdin)) },
    stdout: sink,
    stderr: sink,
    environment: {},
    files: { ...diskFiles, ...files },
    shipped: () => new Uint8Array(),
  };
}

async function codesOf(path: string, io: Io = ioWith()): Promise<readonly string[]> {
  const { inputs, problems } = await collectInputs([path], null, io);
  const read = await Promise.all(inputs.map((input) => input.read()));
  return [...problems, ...read.flatMap((outcome) => outcome.problems)].map((problem) => problem.code);
}

describe('what is no rhyme to read', () => {
  test('has a code of its own', async () => {
    const { put, folder } = newWorld();
    const denied = (): never => {
      throw Object.assign(new Error('denied'), { code: 'EACCES' });
    };
    expect(await codesOf(`${folder}/none.txt`)).toEqual(['missing-file']);
    expect(await codesOf(folder)).toEqual(['no-rhymes']);
    expect(await codesOf(put('a.txt', 'Bee'), ioWith({ read: denied }))).toEqual(['unreadable-file']);
    expect(await codesOf(put('a.txt', 'Bee'), ioWith({ size: () => 1e9 }))).toEqual(['unreadable-file']);
    expect(await codesOf(put('b.txt', Uint8Array.of(0, 1, 2)))).toEqual(['not-text']);
    expect(await codesOf(put('c.txt', Uint8Array.of(0xc3, 0x28)))).toEqual(['not-text']);
    expect(await codesOf(put('d.txt', 'Bee'))).toEqual([]);
  });

  test('is not found twice through a link that leads back', async () => {
    const { put, folder } = newWorld();
    const { symlinkSync } = await import('node:fs');
    put('in/a.txt', 'Bee');
    symlinkSync(`${folder}/in`, `${folder}/in/again`);
    const { inputs } = await collectInputs([folder], null, ioWith());
    expect(inputs).toHaveLength(1);
  });
});

describe('an outlet', () => {
  const text: Form = { name: 'score', kind: 'text', extension: 'score.txt', mediaType: 'text/plain' };
  const bytes: Form = { name: 'midi', kind: 'binary', extension: 'mid', mediaType: 'audio/midi' };

  test('is refused as bad usage where forms and stream do not fit', () => {
    const { put } = newWorld();
    const file = put('file', '');
    for (const refused of [
      openOutlet([text, bytes], null, ioWith()),
      openOutlet([bytes], null, ioWith()),
      openOutlet([text], file, ioWith()),
      chooseForms('scores', [text, bytes]),
    ]) {
      expect(refused).toMatchObject({ code: 'bad-usage', severity: 'error' });
    }
  });

  test('says so when a file could not be written', () => {
    const { folder } = newWorld();
    const full = (): never => {
      throw Object.assign(new Error('full'), { code: 'ENOSPC' });
    };
    const outlet = openOutlet([text], folder, ioWith({ writeWhole: full }));
    if ('code' in outlet) throw new Error(outlet.message);
    const problem = outlet.put({ form: text, data: '', heading: '', fileName: 'bee' });
    expect(problem).toMatchObject({
      code: 'not-written',
      message: expect.stringContaining('no space left') as string,
    });
  });

  test('keeps each form once, in the order asked for', () => {
    expect(chooseForms('midi, score,midi', [text, bytes])).toEqual([bytes, text]);
  });
});
