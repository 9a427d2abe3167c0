/**
 * The commands by name. Each lies in a file of its own and is loaded only when it is called.
 */
import type { CliCommand } from '../command.ts';

export interface CommandEntry {
  /** One line for the list of commands. */
  readonly summary: string;
  readonly load: () => Promise<CliCommand>;
}

export const COMMANDS: Readonly<Record<string, CommandEntry>> = {
  sing: {
    summary: 'turn rhymes into songs: scores, MIDI, MusicXML',
    load: async () => (await import('./sing.ts')).SING,
  },
  convert: {
    summary: 'write songs in other forms, from another do or at another tempo',
    load: async () => (await import('./convert.ts')).CONVERT,
  },
  check: {
    summary: 'hold rhymes and songs to a rung; tell the lowest rung that fits',
    load: async () => (await import('./check.ts')).CHECK,
  },
  scan: {
    summary: 'show which words fall on beats, in a form to correct and sing from',
    load: async () => (await import('./scan.ts')).SCAN,
  },
  pages: {
    summary: 'print pages: songs, sticks, beats, ladders, sheets to fill in',
    load: async () => (await import('./pages.ts')).PAGES,
  },
  practice: {
    summary: "make recordings to echo and sing with, and the leader's page",
    load: async () => (await import('./practice.ts')).PRACTICE,
  },
  parts: {
    summary: 'put a drone, an ostinato, a canon, a partner song or a second voice beside a song',
    load: async () => (await import('./parts.ts')).PARTS,
  },
  ladder: {
    summary: 'show the rungs: which tones and rhythms are met in which order',
    load: async () => (await import('./ladder.ts')).LADDER,
  },
};
