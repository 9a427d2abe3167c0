/**
 * What a check found -> text for a teacher, or plain data for programs.
 */
import type { Rung } from '../rung.ts';
import type { Song } from '../song.ts';
import type { Departure, SongCheck } from './check-song.ts';

/** What the check was asked for. */
export interface CheckAsked {
  /** The rung that the song is held to, or null. */
  readonly rung: Rung | null;
}

/**
 * The check as text: the rung, then every departure, then how to come one rung lower.
 *
 * @example
 * // The Owl Is Late: fits so-mi-la (m s l); its new tone is l.
 * // One rung lower, on so-mi (m s), with 2 notes changed:
 * //   Line 1, "owl": l to s
 */
export function writeCheck(song: Song, check: SongCheck, asked: CheckAsked): string {
  const lines = [`${song.title}: ${headline(song, check, asked)}`];
  for (const kind of KINDS) {
    for (const departure of check.departures.filter((each) => each.kind === kind))
      lines.push(`  ${departureLine(departure)}`);
  }
  lines.push(...lowerLines(check));
  if (check.departures.some((each) => each.kind === 'range')) lines.push(...RANGE_CARE);
  return `${lines.join('\n')}\n`;
}

const KINDS: readonly Departure['kind'][] = ['rung', 'range', 'rhythm', 'stress'];

/** Said with every departure from a range. Common practice. */
const RANGE_CARE: readonly string[] = [
  'Ranges are common practice, no more: choose another do, or let those listen for whom it lies too low or too high;',
  'nobody should push for a tone. Your own judgement, local policy and licensed clinicians come first.',
];

function headline(song: Song, { rung, departures }: SongCheck, asked: CheckAsked): string {
  const count = departures.length;
  const others = `${String(count)} ${count === 1 ? 'departure' : 'departures'}`;
  if (rung === null) return `fits no rung; ${others}.`;
  const name = `${rung.name} (${rung.tones.join(' ')})`;
  const strays = departures.some((each) => each.kind === 'rung');
  const news = asked.rung !== null || rung.newTone === null ? '' : `; its new tone is ${rung.newTone}`;
  const fits = asked.rung === null ? 'fits' : 'keeps to';
  const said = asked.rung === null && song.rung !== rung.name && song.rung !== 'own';
  const label = said ? ` It is called a song of ${song.rung}.` : '';
  if (strays) return `does not keep to ${name}; ${others}.`;
  return count === 0 ? `${fits} ${name}${news}.${label}` : `${fits} ${name}${news}, with ${others}.${label}`;
}

function departureLine({ line, word, message }: Departure): string {
  if (line === null) return `${message.charAt(0).toUpperCase()}${message.slice(1)}.`;
  const where = `Line ${String(line)}${word === null ? '' : `, "${bare(word)}"`}`;
  // what is said of a rhythm names its lines itself
  return message.includes(`line ${String(line)}`) || message.includes('lines ')
    ? `${message}.`
    : `${where}: ${message}.`;
}

/** A word without the punctuation around it. */
function bare(word: string): string {
  const inner = word.replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}]+$/gu, '');
  return inner === '' ? word : inner;
}

function lowerLines({ lower }: SongCheck): readonly string[] {
  if (lower === null) return [];
  const { rung, changes } = lower;
  const count = changes.length === 1 ? '1 note' : `${String(changes.length)} notes`;
  return [
    `One rung lower, on ${rung.name} (${rung.tones.join(' ')}), with ${count} changed:`,
    ...changes.map(
      ({ line, word, sound, from, to }) =>
        `  Line ${String(line)}, ${word === null ? `note ${String(sound + 1)}` : `"${bare(word)}"`}: ${from} to ${to}`,
    ),
  ];
}

/** The check as data; `fits` says that there is no departure. Indexes from 0, lines from 1. */
export function checkJson(song: Song, { rung, departures, lower }: SongCheck): object {
  return {
    format: 'chantwright-check',
    version: 1,
    title: song.title,
    fits: departures.length === 0,
    rung: rung?.name ?? null,
    tones: rung?.tones.join(' ') ?? null,
    newTone: rung?.newTone ?? null,
    departures: departures.map(({ kind, line, word, message }) => ({ kind, line, word, message })),
    lower:
      lower === null
        ? null
        : {
            rung: lower.rung.name,
            changes: lower.changes.map(({ line, word, sound, from, to }) => ({
              line,
              word,
              sound,
              from,
              to,
            })),
          },
  };
}
