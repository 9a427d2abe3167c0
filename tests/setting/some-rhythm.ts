/** Rhythms made by seed for tests: lines of four beats (or three, in 3/4 and 9/8) with quarters, pairs, rests, upbeats. */
import { placementOf, type LineSketch } from '../placement-of.ts';
import { seededRandom } from '../../src/random.ts';
import type { Rhythm } from '../../src/rhythm.ts';
import { setRhythm } from '../../src/setting/rhythm.ts';

/** The words are nonsense of our own; lines come back now and then, some with another stanza. */
const WORDS = ['la', 'bim', 'pock', 'tree', 'nim', 'dow', 'fen', 'rill', 'sop', 'kit', 'hum', 'wag'];

export function someRhythm(seed: number): Rhythm {
  const random = seededRandom(seed);
  const upTo = (n: number): number => random() % n;
  const compound = upTo(3) === 0;
  const beat = compound ? 720 : 480;
  const beats = upTo(6) === 0 ? 3 : 4;
  const lines = [1, 2, 3, 4, 4, 4, 5, 6, 7, 8][upTo(10)] ?? 4;
  const stanzas = upTo(4) === 0 ? 2 : 1;
  const upbeats = upTo(3) === 0;
  const made: LineSketch[] = [];
  for (let stanza = 1; stanza <= stanzas; stanza += 1) {
    for (let i = 0; i < lines; i += 1) {
      if (i > 0 && upTo(4) === 0) {
        const back = made[made.length - 1 - upTo(i)];
        if (back !== undefined) {
          made.push({ ...back, stanza });
          continue;
        }
      }
      const syllables: [string, number][] = [];
      const say = (at: number): void => {
        syllables.push([WORDS[upTo(WORDS.length)] ?? 'la', at]);
      };
      if (upbeats && upTo(2) === 0) say(-240);
      for (let b = 0; b < beats; b += 1) {
        const kind = upTo(10);
        if (b === beats - 1) {
          if (kind < 6) say(b * beat);
          else if (kind < 7 && !upbeats) {
            say(b * beat);
            say(b * beat + (compound ? 480 : 240));
          } else if (b === 0) say(0);
        } else if (kind < 4) say(b * beat);
        else if (kind < 8) {
          say(b * beat);
          say(b * beat + (compound ? 480 : 240));
        } else if (kind === 8 && compound) for (const at of [0, 240, 480]) say(b * beat + at);
        else if (kind === 8) for (const at of [0, 240, 360]) say(b * beat + at);
        else if (b === 0) say(0);
      }
      made.push({ beats, stanza, syllables });
    }
  }
  const rhythm = setRhythm(placementOf(compound ? 'compound' : 'simple', made), {
    metre: null,
    emptyBeats: upTo(2) === 0 ? 'rest' : 'held',
  });
  if (!rhythm.ok) throw new Error(rhythm.problems.map((p) => p.message).join('\n'));
  return rhythm.value;
}
