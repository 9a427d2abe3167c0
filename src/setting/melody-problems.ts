/** The problems that setting a tune may report, and the wishes that cannot be granted. */
import type { Problem } from '../problem.ts';
import type { Rhythm, RhythmNote, RhythmPhrase } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import type { FixedTone, MelodyOptions } from './melody.ts';
import { RULE_WORDS } from './melody-words.ts';

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

/** The rules that no cost can buy, in the order in which they are asked about. */
export const HARD_RULES = ['kept-for-the-close', 'opening', 'ways', 'leap-limit', 'ending'] as const;

/** No way through: the wish that closes it, where there is one, and the rules that it breaks. */
export function impossible(
  rhythm: Rhythm,
  { rung, forCanon = null }: MelodyOptions,
  { wish, rules }: { readonly wish: FixedTone | null; readonly rules: readonly string[] },
): Problem {
  const phrase = wish === null ? undefined : rhythm.phrases[wish.phrase];
  const subject =
    wish === null || phrase === undefined
      ? `No tune on ${rung.name} keeps every rule with this rhythm and the tones asked for`
      : `${wish.tone} is asked for on ${soundName(phrase, wish.sound)} of line ${String(phrase.line)}`;
  const isCanon = rules.includes('canon');
  const words = isCanon
    ? canonWords(forCanon ?? 0)
    : rules.map((rule) => RULE_WORDS[rule] ?? rule).join('; ');
  const against = rules.length > 1 ? 'against these rules' : 'against this rule';
  const reason = words === '' ? ', and several rules stand in the way together' : `, ${against}: ${words}`;
  const detail = rules.includes('ending') ? ` (${rung.name} closes on ${rung.closes.join(' or ')})` : '';
  return {
    code: 'no-melody',
    severity: 'error',
    message: `${subject}${reason}${detail}.`,
    hint: isCanon
      ? 'Let the voices enter after another number of beats, or take away a tone that was fixed.'
      : 'Take away a tone that was fixed, or sing it on another rung.',
    ...(phrase === undefined ? {} : { line: phrase.line }),
  };
}

function canonWords(beats: number): string {
  return `voices ${String(beats)} ${beats === 1 ? 'beat' : 'beats'} apart sing no seconds, sevenths or fa against ti on strong beats`;
}

/** One note for each line in which the teacher's tones stand. */
export function givenNotes(rhythm: Rhythm, { fixed = [] }: MelodyOptions): readonly Problem[] {
  return rhythm.phrases.flatMap((phrase, i): readonly Problem[] => {
    const sounds = soundingNotes(phrase).length;
    const at = ({ sound }: FixedTone): number => (sound < 0 ? sounds + sound : sound);
    const own = fixed.filter((each) => each.phrase === i).sort((a, b) => at(a) - at(b));
    if (own.length === 0) return [];
    const list = own.map((each) => `${each.tone} on ${soundName(phrase, each.sound)}`).join(', ');
    const what = new Set(own.map(at)).size === sounds ? 'every tone was given' : `given: ${list}`;
    const line = String(phrase.line);
    const rest = new Set(own.map(at)).size === sounds ? '' : '; the other tones are set around them';
    return [
      {
        code: 'given-tones',
        severity: 'note',
        message: `In line ${line} ${what}${rest}.`,
        line: phrase.line,
      },
    ];
  });
}

function soundingNotes(phrase: RhythmPhrase): readonly RhythmNote[] {
  return phrase.notes.filter((n) => !n.rest && n.tie !== 'stop' && n.tie !== 'both');
}

/** `"dock"`, the syllable there, or `note 3` where there are no words; `sound` may count from the end. */
function soundName(phrase: RhythmPhrase, sound: number): string {
  const notes = soundingNotes(phrase);
  const at = sound < 0 ? notes.length + sound : sound;
  const text = notes[at]?.syllable?.text ?? '';
  return text === '' ? `note ${String(at + 1)}` : `"${text}"`;
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
