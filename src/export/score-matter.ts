/**
 * The settings at the top of a score: YAML front matter of plain `key: value` lines, in a fixed order.
 */
import { DEFAULT_NAMES } from '../rhythm-names.ts';
import type { Song } from '../song.ts';
import { metreName } from '../time.ts';
import { problemRecord } from './json.ts';

/** The value of the key `score` that tells a score from a rhyme, with the version of the form. */
export const SCORE_MARK = 'chantwright 1';

/** The front matter with its `---` lines; `names` is the family of rhythm names that the score is written in. */
export function scoreMatter(song: Song, names: string): string {
  const lines = [
    '---',
    `score: ${SCORE_MARK}`,
    `title: ${yamlText(song.title)}`,
    `rung: ${yamlText(song.rung)}`,
    `tones: ${yamlText(song.tones)}`,
    ...(song.newTone === null ? [] : [`new: ${song.newTone}`]),
    `home: ${song.home}`,
    `do: ${song.do}`,
    `metre: ${metreName(song.metre)}`,
    `tempo: ${String(song.tempoBpm)}`,
    `seed: ${String(song.seed)}`,
    `take: ${String(song.take)}`,
    ...(names === DEFAULT_NAMES ? [] : [`names: ${yamlText(names)}`]),
    ...(song.problems.length === 0 ? [] : ['problems:']),
    ...song.problems.map((problem) => `  - ${quoted(problemRecord(problem))}`),
    '---',
  ];
  return lines.join('\n');
}

/** A plain YAML scalar where it surely reads back as the same text, else a quoted one. */
function yamlText(text: string): string {
  const plain = /^[A-Za-z](?:[A-Za-z0-9,'!?.-]| (?=[A-Za-z]))*$/.test(text);
  return plain && !YAML_WORDS.test(text) ? text : quoted(text);
}

/** Words that some YAML reader takes for something other than text. */
const YAML_WORDS = /^(?:true|false|null|yes|no|on|off|y|n)$/i;

/** JSON is YAML; the few characters that JSON leaves bare and YAML does not are escaped too. */
function quoted(value: unknown): string {
  return JSON.stringify(value).replace(
    /[\u007f-\u00a0\u2028\u2029\ufeff\ufffe\uffff]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
