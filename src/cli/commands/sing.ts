/**
 * `sing`: rhymes -> songs, to stdout or into a folder; songs with open tones -> songs.
 */
import { made } from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import { explained } from '../explained.ts';
import { handOver, loadWriters, SONG_FORMS } from '../hand-over.ts';
import type { Io } from '../io.ts';
import { chooseForms } from '../outputs.ts';
import { INPUT_FLAGS, OUT_FLAG, PLACING_FLAGS, prepare, SINGING_FLAGS } from '../prepare.ts';
import { openReporter, type ExitCode } from '../report.ts';
import { SCORE_FLAGS, scoreWishes } from '../score-flags.ts';
import { openNamer, openSongReader } from '../songs.ts';
import { workThrough } from '../work.ts';

export const SING: CliCommand = {
  usage: '[inputs...]',
  about:
    'Turn rhymes into songs. Inputs are text files, folders of them, or - for standard input; with none, ' +
    'standard input is read. What a rhyme file says at its top holds unless a flag says otherwise. In a ' +
    'score or a song as JSON, the tones that are written as ? are set anew, and all others stay.',
  flags: [
    ...SINGING_FLAGS,
    ...PLACING_FLAGS,
    {
      flags: '--to <forms>',
      about: `${SONG_FORMS.map(({ name }) => name).join(', ')}; several with commas (default: score)`,
    },
    ...SCORE_FLAGS,
    { flags: '--explain', about: 'say for each line why its notes are these (on standard error)' },
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

async function sing(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = await prepare(given, io, reporter, (to) => chooseForms(to ?? 'score', SONG_FORMS));
  if (setup === null) return 2;
  const { wishes, forms, outlet } = setup;
  const asked = await scoreWishes(given.flags, io, reporter);
  if (asked === null) return 2;
  const writers = await loadWriters(forms, asked.options);
  const read = openSongReader(io, { wishes, families: asked.families, setsTones: true });
  const nameAll = openNamer();
  return workThrough(given, io, reporter, { outlet }, async (text, input) => {
    const found = await read(text);
    if (!found.ok) return found;
    const { songs, origins, missing } = found.value;
    const work = handOver(nameAll(found.value, input), writers, outlet);
    if (given.flags['explain'] === true) io.stderr.write(explained(songs, origins));
    return made({ ...work, missing: work.missing + missing }, found.problems);
  });
}
