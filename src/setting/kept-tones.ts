/**
 * A rung bent just so far that the tones which stand in an open song may stand: what a teacher wrote is hers, and the
 * rules are for the tones that are still to be set.
 */
import { toneSemitones, toneStep, type Tone } from '../pitch.ts';
import type { Rung, ToneRule } from '../rung.ts';
import { defaultRule } from './tone-rules.ts';
import type { OpenSong } from './open-song.ts';

/** What a tone that stands costs where the rung would never have it: dear, so that no open tone chooses it lightly. */
const DEAR = 400;

/**
 * The rung with every tone and every step that stands in the song allowed. A rung that all of them keep comes back as
 * it is. Not bent: the leaps that no rung has (tritone, sevenths).
 */
export function rungAround(rung: Rung, open: OpenSong): Rung {
  const bent = { ...rung, rules: new Map<Tone, ToneRule>(rung.rules.map((rule) => [rule.tone, rule])) };
  const rule = (tone: Tone): ToneRule => bent.rules.get(tone) ?? defaultRule(tone, rung.home);
  open.phrases.forEach((phrase, i) => {
    const tones = soundingTones(phrase.notes);
    const closes = open.phrases[i + 1]?.stanza !== phrase.stanza;
    tones.forEach((tone, k) => {
      if (tone === '?') return;
      const [before, next, last] = [tones[k - 1], tones[k + 1], k === tones.length - 1];
      const known = rule(tone);
      const from = before === undefined || before === '?' ? known.from : withTone(known.from, before);
      const to = next === undefined || next === '?' ? known.to : withTone(known.to, next);
      const start = k === 0 ? (known.start ?? DEAR) : known.start;
      const ends = last && !closes ? (known.open ?? DEAR) : known.open;
      bent.rules.set(tone, { ...known, from, to, start, open: ends });
      if (last && closes) {
        bent.closes = withTone(bent.closes, tone) ?? [];
        if (before !== undefined && before !== '?') bent.closeFrom = withTone(bent.closeFrom, before);
      } else if (rung.closes.includes(tone)) bent.closesOnly = false;
      if (before !== undefined && before !== '?')
        bent.widestLeap = Math.max(bent.widestLeap, Math.abs(toneSemitones(tone) - toneSemitones(before)));
    });
  });
  const tones = [...bent.rules.keys()].sort((a, b) => toneStep(a) - toneStep(b));
  return { ...bent, tones, rules: tones.map(rule) };
}

/** The tones of a phrase, ties counted once. */
function soundingTones(notes: OpenSong['phrases'][number]['notes']): readonly (Tone | '?')[] {
  return notes.flatMap(({ tone, tie }) => (tone === null || tie === 'stop' || tie === 'both' ? [] : [tone]));
}

function withTone(list: readonly Tone[] | null, tone: Tone): readonly Tone[] | null {
  return list === null || list.includes(tone) ? list : [...list, tone];
}
