/**
 * A rung bent just so far that the tones which stand in an open song may stand: what a teacher wrote is hers, and the
 * rules are for the tones that are still to be set.
 */
import { toneSemitones, toneStep, type Tone } from '../pitch.ts';
import type { Rung, ToneRule } from '../rung.ts';
import { strengthAt, ticksPerBar, type Ticks } from '../time.ts';
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
    const sounds = soundingNotes(phrase.notes);
    const tones = sounds.map((note) => note.tone);
    const firstBeat = sounds.findIndex((note) => isOnBeat(open, note.onset));
    const closes = open.phrases[i + 1]?.stanza !== phrase.stanza;
    tones.forEach((tone, k) => {
      if (tone === '?' || tone === null) return;
      const [before, next, last] = [tones[k - 1], tones[k + 1], k === tones.length - 1];
      const known = rule(tone);
      const from = isGiven(before) && before !== tone ? withTone(known.from, before) : known.from;
      const to = isGiven(next) && next !== tone ? withTone(known.to, next) : known.to;
      // a phrase begins with its first sound, and again with its first beat
      const start = k === 0 || k === firstBeat ? (known.start ?? DEAR) : known.start;
      const ends = last && !closes ? (known.open ?? DEAR) : known.open;
      bent.rules.set(tone, { ...known, from, to, start, open: ends });
      if (last && closes) {
        bent.closes = withTone(bent.closes, tone) ?? [];
        if (isGiven(before) && before !== tone) bent.closeFrom = withTone(bent.closeFrom, before);
      } else if (rung.closes.includes(tone)) bent.closesOnly = false;
      if (isGiven(before))
        bent.widestLeap = Math.max(bent.widestLeap, Math.abs(toneSemitones(tone) - toneSemitones(before)));
    });
  });
  const tones = [...bent.rules.keys()].sort((a, b) => toneStep(a) - toneStep(b));
  return { ...bent, tones, rules: tones.map(rule) };
}

type Notes = OpenSong['phrases'][number]['notes'];

/** The notes of a phrase that begin a sound. */
function soundingNotes(notes: Notes): Notes {
  return notes.filter(({ tone, tie }) => tone !== null && tie !== 'stop' && tie !== 'both');
}

function isOnBeat({ metre, upbeatTicks }: OpenSong, onset: Ticks): boolean {
  const bar = ticksPerBar(metre);
  return strengthAt(metre, (((onset - upbeatTicks) % bar) + bar) % bar) > 0;
}

/** A tone beside one that stands. */
function isGiven(tone: Tone | '?' | null | undefined): tone is Tone {
  return tone !== undefined && tone !== null && tone !== '?';
}

function withTone(list: readonly Tone[] | null, tone: Tone): readonly Tone[] | null {
  return list === null || list.includes(tone) ? list : [...list, tone];
}
