/**
 * Songs -> the forms asked for, handed over one by one.
 */
import { FORMATS, type ExportOptions, type Problem, type Song } from '../index.ts';
import type { Form, Outlet } from './outputs.ts';
import type { NamedSong } from './songs.ts';
import type { Work } from './work.ts';

type Write = (song: Song, options?: ExportOptions) => string | Uint8Array;

export type SongForm = Form & { readonly load: () => Promise<Write> };

/** Every form that a song is written in. */
export const SONG_FORMS: readonly SongForm[] = Object.entries(FORMATS).map(([name, format]) => ({
  ...format,
  name,
}));

export interface SongWriter {
  readonly form: SongForm;
  readonly write: (song: Song) => string | Uint8Array;
}

/** The writers of these forms, loaded. */
export function loadWriters(
  forms: readonly SongForm[],
  options: ExportOptions,
): Promise<readonly SongWriter[]> {
  return Promise.all(
    forms.map(async (form) => {
      const write = await form.load();
      return { form, write: (song) => write(song, options) };
    }),
  );
}

/** Write each song in each form. */
export function handOver(songs: readonly NamedSong[], writers: readonly SongWriter[], outlet: Outlet): Work {
  const severalTakes = songs.some(({ song }) => song.take !== songs[0]?.song.take);
  const refused: Problem[] = [];
  for (const { song, fileName } of songs) {
    const heading = `${song.title}: ${song.rung}${severalTakes ? `, take ${String(song.take)}` : ''}`;
    for (const { form, write } of writers) {
      const problem = outlet.put({ form, data: write(song), heading, fileName });
      if (problem !== null) refused.push(problem);
    }
  }
  return { made: songs.length * writers.length - refused.length, missing: refused.length, refused };
}
