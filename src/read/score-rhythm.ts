/**
 * The rhythm of one bar of a score as notes and rests with their lengths.
 */
import { noteValue } from '../note-value.ts';
import type { Problem } from '../problem.ts';
import { PLACE_TICKS, type RhythmNames } from '../rhythm-names.ts';
import type { Metre } from '../time.ts';
import { placeReader } from './score-places.ts';
import { fault, spanOf } from './score-text.ts';
import { valueReader } from './score-values.ts';
import type { ReadBar, Sound } from './score-words.ts';

/** The reader for a family of names in a metre. */
export function rhythmReader(names: RhythmNames, metre: Metre): ReadBar {
  return names.kind === 'value' ? valueReader(names, metre) : placeReader(names, metre);
}

/** The first sound that no single note can show, or null. */
export function unprintable(sounds: readonly Sound[]): Problem | null {
  const sound = sounds.find(({ duration }) => noteValue(duration) === null);
  if (sound === undefined) return null;
  return fault(
    'note-value',
    `"${sound.piece.text}" lasts ${String(sound.duration / PLACE_TICKS)} sixteenths here, which no single note can show.`,
    spanOf(sound.piece),
    'Write two notes and tie them, with a hyphen for the second solfa letter.',
  );
}
