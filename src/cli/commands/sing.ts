/**
 * `sing`: rhymes -> songs, to stdout or into a folder.
 */
import { compose, FORMATS, made, openLexicon, type Problem, type Song } from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import type { Io } from '../io.ts';
import { stemGiver } from '../names.ts';
import { chooseForms, type Form, type Outlet } from '../outputs.ts';
import { openReporter, type ExitCode } from '../report.ts';
import { INPUT_FLAGS, OUT_FLAG, PLACING_FLAGS, prepare, SINGING_FLAGS } from '../prepare.ts';
import { workThrough, type Work } from '../work.ts';

export const SING: CliCommand = {
  usage: '[inputs...]',
  about: `Turn rhymes into songs. Inputs are text files, folders of them, or - for standard input; with none, standard
input is read. What a rhyme file says at its top holds unless a flag says otherwise.`,
  flags: [
    ...SINGING_FLAGS,
    ...PLACING_FLAGS,
    {
      flags: '--to <forms>',
      about: `${Object.keys(FORMATS).join(', ')}; several with commas (default: score)`,
    },
    OUT_FLAG,
    ...INPUT_FLAGS,
  ],
  examples: [
    'chantwright sing examples/goose-in-the-basket.txt',
    'chantwright sing examples --rung so-mi..so-mi-la-do --to score,midi --out songs',
    "printf 'Bee, bee, bumblebee\\n' | chantwright sing --take 1..3",
  ],
  act: sing,
};

type SongForm = Form & { readonly load: () => Promise<(song: Song) => string | Uint8Array> };

const FORMS: readonly SongForm[] = Object.entries(FORMATS).map(([name, format]) => ({ ...format, name }));

async function sing(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = prepare(given, io, reporter, (to) => chooseForms(to ?? 'score', FORMS));
  if (setup === null) return 2;
  const { wishes, forms, outlet } = setup;
  const lexicon = openLexicon(io.shipped('pronunciations.bin'));
  const writers = await Promise.all(forms.map(async (form) => ({ form, write: await form.load() })));
  const stemOf = stemGiver();
  return workThrough(given, io, reporter, outlet, async (text, input) => {
    const composed = await compose(text, lexicon, wishes);
    if (!composed.ok) return composed;
    const { songs, asked } = composed.value;
    const stem = stemOf(input.stem ?? songs[0]?.title ?? '');
    const work = handOver(songs, stem, writers, outlet);
    return made({ ...work, missing: work.missing + asked - songs.length }, composed.problems);
  });
}

interface Writer {
  readonly form: SongForm;
  readonly write: (song: Song) => string | Uint8Array;
}

/** Write each song in each form. Files are named stem.rung, and stem.rung.take where there are several takes. */
function handOver(songs: readonly Song[], stem: string, writers: readonly Writer[], outlet: Outlet): Work {
  const severalTakes = songs.some((song) => song.take !== songs[0]?.take);
  const refused: Problem[] = [];
  for (const song of songs) {
    const heading = `${song.title}: ${song.rung}${severalTakes ? `, take ${String(song.take)}` : ''}`;
    const fileName = `${stem}.${song.rung}${severalTakes ? `.${String(song.take)}` : ''}`;
    for (const { form, write } of writers) {
      const problem = outlet.put({ form, data: write(song), heading, fileName });
      if (problem !== null) refused.push(problem);
    }
  }
  return { made: songs.length * writers.length - refused.length, missing: refused.length, refused };
}
