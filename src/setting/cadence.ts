/**
 * Cadences: how a finished phrase is heard, open (a question) or closed (an answer).
 */
import type { Tone } from '../pitch.ts';
import type { Rung } from '../rung.ts';
import type { Cadence } from '../song.ts';
import type { Ticks } from '../time.ts';
import type { Place } from './melody-places.ts';

/**
 * `closed` where the phrase ends on a closing tone. While home is not among the rung's tones (so-mi, so-mi-la), the
 * closing mi is closed only when it is held longer than a beat or followed by a rest, or when it ends its strophe.
 */
export function cadenceOf(
  rung: Rung,
  final: Tone,
  place: Place,
  options: { readonly closesStrophe: boolean; readonly ticksPerBeat: Ticks },
): Cadence {
  if (!rung.closes.includes(final)) return 'open';
  if (rung.tones.includes(rung.home) || options.closesStrophe) return 'closed';
  return place.duration > options.ticksPerBeat || place.gap > 0 ? 'closed' : 'open';
}
