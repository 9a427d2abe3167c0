/**
 * `check`: rhymes and songs -> every departure from rung, range, rhythm and word stress; or the lowest rung that fits.
 */
import {
  checkJson,
  checkSong,
  made,
  openLexicon,
  USUAL_LADDER,
  VOICES,
  wordStress,
  writeCheck,
  type CheckAsked,
  type Lexicon,
  type Song,
  type SongCheck,
  type Wishes,
} from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import { RHYMES_OR_SONGS } from '../inputs.ts';
import type { Io } from '../io.ts';
import { chooseForms, type Form, type Piece } from '../outputs.ts';
import { AGE_FLAG, INPUT_FLAGS, LADDER_FLAG, OUT_FLAG, prepare } from '../prepare.ts';
import { COMMAND_LINE, openReporter, usageProblem, type ExitCode } from '../report.ts';
import { NAMES_FLAG, scoreWishes } from '../score-flags.ts';
import { openNamer, openSongReader } from '../songs.ts';
import { workThrough } from '../work.ts';

export const CHECK: CliCommand = {
  usage: '[inputs...]',
  about:
    'Hold songs to a rung: every tone that departs from it, from the comfortable range, from the rhythms ' +
    'that are taught and from the stress of the words is named, and the exit code is 1 when there is any. ' +
    'Without --rung the lowest rung that fits is named, with its new tone and the fewest changes that ' +
    'bring the song one rung lower. Inputs are scores, songs as JSON, MusicXML or tonic sol-fa, and ' +
    'rhymes, which are sung first.',
  flags: [
    { flags: '--rung <name>', about: 'the rung to hold it to (default: find the lowest that fits)' },
    AGE_FLAG,
    { flags: '--rhythms <name>', about: 'the last rhythm that the class can read, such as half-note' },
    LADDER_FLAG,
    NAMES_FLAG,
    { flags: '--to <form>', about: 'text or json (default: text)' },
    OUT_FLAG,
    ...INPUT_FLAGS,
  ],
  examples: [
    'chantwright check examples/songs/late-owl.so-mi-la.score.txt',
    'chantwright check examples/songs/late-owl.so-mi-la.score.txt --rung so-mi --age K-1',
    'chantwright check examples/late-owl.txt --rhythms half-note',
  ],
  act: check,
};

type CheckForm = Form & { readonly write: (song: Song, found: SongCheck, asked: CheckAsked) => string };

const FORMS: readonly CheckForm[] = [
  { name: 'text', kind: 'text', extension: 'report.txt', mediaType: 'text/plain', write: writeCheck },
  {
    name: 'json',
    kind: 'text',
    extension: 'check.json',
    mediaType: 'application/json',
    write: (song, found) => `${JSON.stringify(checkJson(song, found))}\n`,
  },
];

async function check(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = await prepare(given, io, reporter, (to) => chooseForms(to ?? 'text', FORMS));
  if (setup === null) return 2;
  const { wishes, forms, outlet } = setup;
  const [rung = null, ...more] = wishes.rung ?? [];
  if (more.length > 0) {
    reporter.report([usageProblem('--rung: a song is held to one rung. Name one.')], COMMAND_LINE);
    return 2;
  }
  const names = await scoreWishes(given.flags, io, reporter);
  if (names === null) return 2;
  const read = openSongReader(io, { wishes, songWishes: {}, families: names.families });
  const nameAll = openNamer();
  let lexicon: Lexicon | null = null;
  return workThrough(given, io, reporter, { outlet, wanted: RHYMES_OR_SONGS }, async (text, input) => {
    const found = await read(text);
    if (!found.ok) return found;
    lexicon ??= openLexicon(io.shipped('pronunciations.bin'));
    const { written, missing } = found.value;
    const refused = [];
    let departing = missing;
    for (const { song, fileName } of nameAll(found.value, input)) {
      const result = checked(song, { ...written, ...wishes }, lexicon);
      if (result.departures.length > 0) departing += 1;
      for (const form of forms) {
        const data = form.write(song, result, { rung });
        const piece: Piece = { form, data, heading: `${song.title}: ${song.rung}`, fileName };
        const problem = outlet.put(piece);
        if (problem !== null) refused.push(problem);
      }
    }
    return made(
      { made: found.value.songs.length, missing: departing + refused.length, refused },
      found.problems,
    );
  });

  function checked(song: Song, asked: Wishes, words: Lexicon): SongCheck {
    const ladder = (asked.ladder ?? USUAL_LADDER).tones;
    return checkSong(song, {
      rung,
      ladder,
      // a rung that the class has no range for is still too low or too high for everybody
      voice: asked.age ?? VOICES.at(-1) ?? null,
      rhythms: asked.rhythms ?? null,
      stress: wordStress(song, words, asked.words ?? {}),
    });
  }
}
