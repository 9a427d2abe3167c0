/** The engraver verovio, which is no part of the project, reads what is written for notation programs. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { writeMusicXml } from '../../src/export/musicxml.ts';
import type { Song } from '../../src/song.ts';
import { exampleSongs } from '../practice/example-songs.ts';
import { SONGS } from './songs.ts';

/** What of the toolkit is used here; loaded by name, since the package brings no declarations. */
interface Toolkit {
  setOptions(options: object): void;
  loadData(text: string): boolean;
  getLog(): string;
  getMEI(): string;
  renderToSVG(page: number): string;
  destroy(): void;
}
const load = async (name: string): Promise<Record<string, unknown>> =>
  (await import(/* @vite-ignore */ name)) as Record<string, unknown>;

describe('verovio', () => {
  let toolkit: Toolkit;
  const warnings: string[] = [];

  beforeAll(async () => {
    const keep = (...args: unknown[]): void => {
      warnings.push(args.join(' '));
    };
    vi.spyOn(console, 'error').mockImplementation(keep);
    vi.spyOn(console, 'warn').mockImplementation(keep);
    const makeModule = (await load('verovio/wasm'))['default'] as (options: object) => Promise<unknown>;
    const Made = (await load('verovio/esm'))['VerovioToolkit'] as new (module: unknown) => Toolkit;
    toolkit = new Made(await makeModule({ printErr: keep, print: keep }));
  });
  afterAll(() => {
    toolkit.destroy();
    vi.restoreAllMocks();
  });

  const drawnWhole = (song: Song): void => {
    warnings.length = 0;
    toolkit.setOptions({ breaks: 'encoded', header: 'none', footer: 'none', xmlIdSeed: 1 });
    expect(toolkit.loadData(writeMusicXml(song))).toBeTruthy();
    expect(toolkit.renderToSVG(1)).toContain('<svg');
    expect(warnings).toEqual([]);
    expect(toolkit.getLog()).toBe('');
    const mei = toolkit.getMEI();
    const notes = song.phrases.flatMap((phrase) => phrase.notes);
    const count = (pattern: RegExp): number => [...mei.matchAll(pattern)].length;
    const sounding = notes.filter((note) => note.tone !== null);
    const struck = sounding.filter((note) => note.tie === null || note.tie === 'start');
    expect(count(/<note\b/g)).toBe(sounding.length);
    expect(count(/<m?[rR]est\b/g)).toBe(notes.length - sounding.length);
    expect(count(/<slur\b/g)).toBe(notes.filter((note) => note.slur === 'start').length);
    expect(count(/<tie\b/g)).toBe(sounding.length - struck.length);
    expect(count(/<breath\b/g)).toBe(notes.filter((note) => note.breath === true).length);
    const words = notes.filter((note) => note.syllable !== null).length;
    expect(count(/<syl\b/g)).toBe(words + struck.length);
    // a line under held last syllables
    const held = notes.filter((note, i) => {
      const next = notes[i + 1];
      const last = note.syllable?.division === 'single' || note.syllable?.division === 'end';
      return last && next !== undefined && next.tone !== null && next.syllable === null;
    });
    expect(count(/<syl\b[^>]*\bcon="u"/g)).toBe(held.length);
  };

  test.each(SONGS)('loads and draws %s without a warning, every note, rest, word and slur', (_, song) => {
    drawnWhole(song);
  });

  test('does so for every example on the rungs with a slur, with do, and in minor', async () => {
    const rungs = ['so-mi-la', 'so-mi-la-do', 'natural-minor'];
    const songs = (await exampleSongs()).filter(({ song }) => rungs.includes(song.rung));
    expect(songs.length).toBeGreaterThan(10);
    for (const { song } of songs) drawnWhole(song);
  });

  test('is heard when it objects, so the checks above can fail', () => {
    warnings.length = 0;
    const [, song] = SONGS[0] ?? [];
    if (song === undefined) throw new Error('no song');
    const loaded = toolkit.loadData(writeMusicXml(song).replace('<step>A</step>', '<step>A'));
    expect(!loaded || warnings.length > 0 || toolkit.getLog() !== '').toBe(true);
  });
});
