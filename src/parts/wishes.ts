/**
 * Which parts are wanted, read from text such as `drone:broken,second` or `canon:3`, and made.
 */
import type { SongWithParts } from '../parts.ts';
import { failed, made, type Outcome } from '../problem.ts';
import type { Song } from '../song.ts';
import { nearest } from '../suggest.ts';
import { addCanon, MOST_VOICES } from './canon.ts';
import { addDrone, DRONE_FORMS, type DroneForm } from './drone.ts';
import { addOstinato } from './ostinato.ts';
import { addSecond } from './second.ts';

export type PartWish =
  | { readonly kind: 'drone'; readonly form: DroneForm }
  | { readonly kind: 'ostinato' }
  /** Voices in all, 2 to 4. */
  | { readonly kind: 'canon'; readonly voices: number }
  | { readonly kind: 'partner' }
  | { readonly kind: 'second' };

export const PART_KINDS = ['drone', 'ostinato', 'canon', 'partner', 'second'] as const;

const ACCEPTED =
  'Parts are drone (or drone:chord, drone:broken, drone:level, drone:crossover), ostinato, canon (or canon:3 for three ' +
  'voices), partner and second.';

/**
 * Read the parts that are wanted: names with commas. A canon and a partner change the song's length, so each stands
 * alone. Problems: `bad-value`.
 *
 * @example readPartWishes('drone:level,second') // a drone in level form and a second voice
 */
export function readPartWishes(text: string): Outcome<readonly PartWish[]> {
  const wishes: PartWish[] = [];
  for (const part of text.split(',')) {
    const wish = readWish(part.trim());
    if (typeof wish === 'string') return refused(`"${part.trim()}" is no part. ${wish}`, part.trim());
    wishes.push(wish);
  }
  const kinds = wishes.map((wish) => wish.kind);
  if (new Set(kinds).size < kinds.length) return refused('Each part can be there once.', '');
  if (kinds.length > 1 && (kinds.includes('canon') || kinds.includes('partner'))) {
    return refused('A canon and a partner stand alone; drone, ostinato and second go together.', '');
  }
  return made(wishes);
}

function refused(message: string, typed: string): Outcome<never> {
  const near = nearest(typed, PART_KINDS);
  const hint = near === null || near === typed ? {} : { hint: `Did you mean ${near}?` };
  return failed({ code: 'bad-value', severity: 'error', message, ...hint });
}

/** A wish, or what is accepted. */
function readWish(text: string): PartWish | string {
  const [name = '', detail, ...more] = text.split(':');
  if (more.length > 0) return ACCEPTED;
  if (name === 'drone') {
    const form = DRONE_FORMS.find((each) => each === (detail ?? 'chord'));
    return form === undefined ? `A drone is ${DRONE_FORMS.join(', ')}.` : { kind: 'drone', form };
  }
  if (name === 'canon') {
    const voices = Number(detail ?? '2');
    const fits = Number.isInteger(voices) && voices >= 2 && voices <= MOST_VOICES;
    return fits ? { kind: 'canon', voices } : `A canon has 2 to ${String(MOST_VOICES)} voices.`;
  }
  if (detail !== undefined) return ACCEPTED;
  if (name === 'ostinato' || name === 'partner' || name === 'second') return { kind: name };
  return ACCEPTED;
}

/**
 * The song with every part that is wanted but a partner, which needs another song (`addPartner`). `entry` is the canon's
 * distance in beats, null for the best. Not `ok` when any part cannot be made.
 */
export function addParts(
  song: Song,
  wishes: readonly PartWish[],
  entry: number | null,
): Outcome<SongWithParts> {
  let whole: SongWithParts = { song, parts: [], problems: [] };
  for (const wish of wishes) {
    const added = addPart(song, wish, entry);
    if (!added.ok) return added;
    const { song: longer, parts, problems } = added.value;
    whole = { song: longer, parts: [...whole.parts, ...parts], problems: [...whole.problems, ...problems] };
  }
  return made(whole, whole.problems);
}

function addPart(song: Song, wish: PartWish, entry: number | null): Outcome<SongWithParts> {
  switch (wish.kind) {
    case 'drone':
      return made(addDrone(song, wish.form));
    case 'ostinato':
      return addOstinato(song);
    case 'canon':
      return addCanon(song, wish.voices, entry);
    case 'second':
      return addSecond(song);
    case 'partner':
      throw new RangeError('A partner needs another song.');
  }
}
