/**
 * `convert`: songs in any form -> the same songs in another form, from another do or at another tempo.
 */
import { made } from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import { handOver, loadWriters, SONG_FORMS } from '../hand-over.ts';
import { SONGS } from '../inputs.ts';
import type { Io } from '../io.ts';
import { chooseForms } from '../outputs.ts';
import { AGE_FLAG, prepare } from '../prepare.ts';
import { openReporter, type ExitCode } from '../report.ts';
import { SCORE_FLAGS, scoreWishes } from '../score-flags.ts';
import { openNamer, openSongReader } from '../songs.ts';
import { workThrough } from '../work.ts';

export const CONVERT: CliCommand = {
  usage: '[songs...]',
  about:
    'Write songs in other forms. A song is a score, JSON (one song a line), MusicXML (not compressed) or ' +
    'tonic sol-fa letters: a file, a folder of them, or - for standard input. Its notes stay as they are; ' +
    '--do sings them from another do. Of one song in several forms in a folder, the score is taken.',
  flags: [
    {
      flags: '--to <forms>',
      about: `${SONG_FORMS.map(({ name }) => name).join(', ')}; several with commas (default: score)`,
    },
    { flags: '--do <pitch>', about: 'pitch of do, such as F4: everything moves with it' },
    { flags: '--tempo <beats>', about: 'beats a minute, 40 to 208' },
    AGE_FLAG,
    ...SCORE_FLAGS,
    { flags: '--out <folder>', about: 'write files here; each song keeps the name of its file' },
    { flags: '--files-from <file>', about: 'read the names of song files from this file, one a line' },
  ],
  examples: [
    'chantwright convert examples/songs/late-owl.so-mi.score.txt --do F4',
    'chantwright convert examples/songs/late-owl.so-mi.score.txt --to midi,musicxml --tempo 96 --out songs',
    'chantwright sing examples/late-owl.txt | chantwright convert --to spoken',
  ],
  act: convert,
};

async function convert(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = await prepare(given, io, reporter, (to) => chooseForms(to ?? 'score', SONG_FORMS));
  if (setup === null) return 2;
  const { wishes, forms, outlet } = setup;
  const asked = await scoreWishes(given.flags, io, reporter);
  if (asked === null) return 2;
  const writers = await loadWriters(forms, asked.options);
  const read = openSongReader(io, { wishes, families: asked.families, singsRhymes: false });
  const nameAll = openNamer();
  return workThrough(given, io, reporter, { outlet, wanted: SONGS }, async (text, input) => {
    const found = await read(text);
    if (!found.ok) return found;
    const work = handOver(nameAll(found.value, input), writers, outlet);
    return made({ ...work, missing: work.missing + found.value.missing }, found.problems);
  });
}
