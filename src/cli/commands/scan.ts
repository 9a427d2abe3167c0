/**
 * `scan`: rhymes -> their words on beats, in a form that is itself a rhyme to correct and sing from.
 */
import {
  explainPlacement,
  made,
  matterWith,
  openLexicon,
  placeRhyme,
  scanJson,
  writeNotation,
} from '../../index.ts';
import type { PlacedRhyme } from '../../index.ts';
import type { CliCommand, Given } from '../command.ts';
import type { Io } from '../io.ts';
import { stemGiver } from '../names.ts';
import { chooseForms, type Form } from '../outputs.ts';
import { INPUT_FLAGS, OUT_FLAG, PLACING_FLAGS, prepare } from '../prepare.ts';
import { openReporter, type ExitCode } from '../report.ts';
import { workThrough } from '../work.ts';

export const SCAN: CliCommand = {
  usage: '[inputs...]',
  about: `Show which syllables fall on beats: | stands before each of them, |- is an empty beat. What is printed can be
corrected and sung from.`,
  flags: [
    ...PLACING_FLAGS,
    { flags: '--to <form>', about: 'notation or json (default: notation)' },
    { flags: '--explain', about: 'say for each line what decided its beats (on standard error)' },
    OUT_FLAG,
    ...INPUT_FLAGS,
  ],
  examples: ['chantwright scan examples/goose-in-the-basket.txt', 'chantwright scan examples --to json'],
  act: scan,
};

type ScanForm = Form & {
  readonly write: (rhyme: PlacedRhyme, said: Readonly<Record<string, string>>) => Promise<string>;
};

const FORMS: readonly ScanForm[] = [
  { name: 'notation', kind: 'text', extension: 'scan.txt', mediaType: 'text/plain', write: writeRhyme },
  {
    name: 'json',
    kind: 'text',
    extension: 'scan.json',
    mediaType: 'application/json',
    write: ({ placement }) => Promise.resolve(`${JSON.stringify(scanJson(placement))}\n`),
  },
];

async function scan(given: Given, io: Io): Promise<ExitCode> {
  const reporter = await openReporter(io, given.colour);
  const setup = await prepare(given, io, reporter, (to) => chooseForms(to ?? 'notation', FORMS));
  if (setup === null) return 2;
  const { wishes, forms, outlet } = setup;
  const said = Object.fromEntries(
    ['metre', 'beats'].flatMap((name) =>
      typeof given.flags[name] === 'string' ? [[name, given.flags[name]]] : [],
    ),
  ) as Readonly<Record<string, string>>;
  const lexicon = openLexicon(io.shipped('pronunciations.bin'));
  const stemOf = stemGiver();
  return workThrough(given, io, reporter, { outlet }, async (text, input) => {
    const rhyme = await placeRhyme(text, lexicon, wishes);
    if (!rhyme.ok) return rhyme;
    const heading = rhyme.value.placement.title;
    const fileName = stemOf(input.stem ?? heading);
    const refused = [];
    for (const form of forms) {
      const problem = outlet.put({ form, data: await form.write(rhyme.value, said), heading, fileName });
      if (problem !== null) refused.push(problem);
    }
    if (given.flags['explain'] === true) io.stderr.write(explainPlacement(rhyme.value.placement));
    return made({ made: forms.length - refused.length, missing: refused.length, refused }, rhyme.problems);
  });
}

/** The rhyme with its beats, under the settings it came with and those of the flags, so that it sings the same. */
async function writeRhyme(
  { file, placement }: PlacedRhyme,
  said: Readonly<Record<string, string>>,
): Promise<string> {
  return (await matterWith(file.matter, said)) + writeNotation(placement);
}
