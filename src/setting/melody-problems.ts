/** The problems that setting a tune may report, and the wishes that cannot be granted. */
import type { Problem } from '../problem.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import type { MelodyOptions } from './melody.ts';

/** Tones asked for that the rung has not, or for sounds that are not there. */
export function refusals(rhythm: Rhythm, { rung, fixed = [] }: MelodyOptions): readonly Problem[] {
  return fixed.flatMap(({ phrase, sound, tone }): readonly Problem[] => {
    const line = rhythm.phrases[phrase];
    const sounds = line?.notes.filter((n) => !n.rest && n.tie !== 'stop' && n.tie !== 'both').length ?? 0;
    const at = sound < 0 ? sounds + sound : sound;
    const where = `sound ${String(at + 1)} of line ${String(line?.line ?? phrase + 1)}`;
    if (line === undefined || at < 0 || at >= sounds) {
      return [refused(`${tone} is asked for on ${where}, which is not there.`, line?.line)];
    }
    if (rung.tones.includes(tone)) return [];
    const tones = rung.tones.join(' ');
    return [refused(`${tone} is asked for on ${where}, but ${rung.name} has only ${tones}.`, line.line)];
  });
}

function refused(message: string, line: number | undefined): Problem {
  return { code: 'no-melody', severity: 'error', message, ...(line === undefined ? {} : { line }) };
}

/** No way through the rules. */
export function noMelody(rung: Rung): Problem {
  return {
    code: 'no-melody',
    severity: 'error',
    message: `No tune on ${rung.name} keeps every rule with this rhythm and the tones asked for.`,
    hint: 'Take away a tone that was fixed, or sing it on another rung.',
  };
}

export function newToneMissing(rung: Rung): Problem {
  return {
    code: 'new-tone-missing',
    severity: 'warning',
    message: `The rhythm leaves no room for a clear motif with ${rung.newTone ?? ''}, the new tone of ${rung.name}.`,
    hint: 'A longer rhyme, or a line with more words in it, gives it room.',
  };
}

export function fewTakes(rung: Rung, songs: number): Problem {
  const count = songs === 1 ? 'only one song' : `only ${String(songs)} different songs`;
  return {
    code: 'few-takes',
    severity: 'note',
    message: `On ${rung.name} this rhythm has ${count}; this take is one of them again.`,
    hint: 'Take fewer, or sing it on a rung with more tones.',
  };
}
