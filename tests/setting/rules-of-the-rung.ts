/**
 * An independent reader of songs: it knows the rules of the rungs as a teacher would write them down, shares no code
 * and no table with the search, and names every departure. Sources: the tone ladder of the project's design; the
 * la rules of so-mi-la are common practice.
 */
import type { Rhythm } from '../../src/rhythm.ts';
import type { Song } from '../../src/song.ts';

interface RungRule {
  readonly tones: string;
  readonly closes: string;
  /** Heard, approached and left somewhere in every song. */
  readonly fresh: string | null;
}

const RULES: Readonly<Record<string, RungRule>> = {
  'so-mi': { tones: 'm s', closes: 'm', fresh: null },
  'so-mi-la': { tones: 'm s l', closes: 'm', fresh: 'l' },
  'so-mi-la-do': { tones: 'd m s l', closes: 'd', fresh: 'd' },
  'mi-re-do': { tones: 'd r m', closes: 'd', fresh: 'r' },
  'so-mi-re-do': { tones: 'd r m s', closes: 'd', fresh: 's' },
  'do-pentatonic': { tones: 'd r m s l', closes: 'd', fresh: 'l' },
  'low-so-low-la': { tones: 's, l, d r m s l', closes: 'd', fresh: 's,' },
  'high-do': { tones: "s, l, d r m s l d'", closes: 'd', fresh: "d'" },
  'la-pentatonic': { tones: 'l, d r m s l', closes: 'l,', fresh: 'l,' },
  'do-pentachord': { tones: 'd r m f s', closes: 'd', fresh: 'f' },
  'do-hexachord': { tones: 'd r m f s l', closes: 'd', fresh: 'l' },
  'la-pentachord': { tones: 'l, t, d r m', closes: 'l,', fresh: 't,' },
  major: { tones: "s, l, t, d r m f s l t d'", closes: 'd', fresh: 't' },
  'natural-minor': { tones: 'm, s, l, t, d r m f s l', closes: 'l,', fresh: 'm,' },
};

/** Semitones from do, written out by hand. */
const HEIGHT: Readonly<Record<string, number>> = {
  'm,': -8,
  's,': -5,
  'l,': -3,
  't,': -1,
  d: 0,
  r: 2,
  m: 4,
  f: 5,
  s: 7,
  l: 9,
  t: 11,
  "d'": 12,
};
const LETTER: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** Twelve equal steps to the octave, C4 = 60 (MIDI 1.0 note numbers). */
export function keyNumber(name: string): number {
  const [, letter = '', sign = '', octave = ''] = /^([A-G])(#*|b*)(-?\d+)$/.exec(name) ?? [];
  return (
    (LETTER[letter] ?? NaN) + 12 * (Number(octave) + 1) + (sign.startsWith('#') ? sign.length : -sign.length)
  );
}

interface Sound {
  readonly onset: number;
  readonly duration: number;
  readonly tone: string;
  readonly slur: string | null;
  readonly word: string | null;
}

function sounds(phrase: Song['phrases'][number]): Sound[] {
  const found: Sound[] = [];
  for (const note of phrase.notes) {
    if (note.tone === null) continue;
    const last = found.at(-1);
    if (last !== undefined && (note.tie === 'stop' || note.tie === 'both')) {
      found[found.length - 1] = { ...last, duration: last.duration + note.duration };
    } else
      found.push({
        onset: note.onset,
        duration: note.duration,
        tone: note.tone,
        slur: note.slur,
        word: note.syllable?.text ?? null,
      });
  }
  return found;
}

export interface Expected {
  readonly slur: boolean;
  readonly low?: string;
  readonly high?: string;
}

/** Every departure from the rules, in words; empty for a song that keeps them all. */
export function departures(song: Song, rhythm: Rhythm, expected: Expected): string[] {
  const rule = RULES[song.rung];
  if (rule === undefined) return [`no rule for ${song.rung}`];
  const wrong: string[] = [];
  const say = (line: number, what: string): void => {
    wrong.push(`${song.rung} take ${String(song.take)} line ${String(line)}: ${what}`);
  };
  timeIsKept(song, rhythm, say);
  const tones = rule.tones.split(' ');
  const lines = song.phrases.map(sounds);
  const isLast = song.phrases.map((p, i) => song.phrases[i + 1]?.stanza !== p.stanza);

  song.phrases.forEach((phrase, i) => {
    const own = lines[i] ?? [];
    for (const note of phrase.notes) {
      if (note.tone === null) continue;
      if (!tones.includes(note.tone)) say(phrase.line, `${note.tone} is not on the rung`);
      if (keyNumber(note.pitch ?? '') !== keyNumber(song.do) + (HEIGHT[note.tone] ?? NaN)) {
        say(phrase.line, `${note.tone} is written ${String(note.pitch)} with do on ${song.do}`);
      }
      if (keyNumber(note.pitch ?? '') < 57) say(phrase.line, `${String(note.pitch)} lies below A3`);
    }
    own.forEach((sound, k) => {
      const size = k === 0 ? 0 : Math.abs((HEIGHT[sound.tone] ?? 0) - (HEIGHT[own[k - 1]?.tone ?? ''] ?? 0));
      if (size > 12 || size === 10 || size === 11 || size === 6)
        say(phrase.line, `a leap of ${String(size)} semitones`);
    });
    const final = own.at(-1)?.tone;
    if (isLast[i] === true && final !== rule.closes) say(phrase.line, `the strophe ends on ${String(final)}`);
    if (isLast[i] === true && phrase.cadence !== 'closed') say(phrase.line, 'the strophe is left open');
    if (phrase.cadence === 'closed' && final !== rule.closes) say(phrase.line, `closed on ${String(final)}`);
    if (song.rung === 'so-mi' || song.rung.startsWith('so-mi-la')) laRules(own, phrase.line, say);
    if (song.rung === 'so-mi-la-do') doRules(own, phrase.line, isLast[i] === true, say);
  });

  slurRules(song, rhythm, expected.slur, say);
  newToneIsHeard(song, lines, rule, say);
  returnsKeepTheirTune(song, rhythm, lines, isLast, say);
  const outside = song.phrases
    .flatMap((p) => p.notes)
    .some(
      (n) =>
        n.pitch !== null &&
        (keyNumber(n.pitch) < keyNumber(expected.low ?? 'A3') ||
          keyNumber(n.pitch) > keyNumber(expected.high ?? 'E5')),
    );
  if (outside && !song.problems.some((p) => p.code === 'out-of-range'))
    say(0, 'a pitch out of range is not reported');
  return wrong;
}

type Say = (line: number, what: string) => void;

/** Same notes, rests, syllables and ties as the rhythm, but for a note that a slur divides; bars filled exactly. */
function timeIsKept(song: Song, rhythm: Rhythm, say: Say): void {
  let at = 0;
  song.phrases.forEach((phrase, i) => {
    const given = rhythm.phrases[i];
    const syllables = phrase.notes.flatMap((n) => (n.syllable === null ? [] : [n.syllable.text]));
    const words = given?.notes.flatMap((n) => (n.syllable === null ? [] : [n.syllable.text])) ?? [];
    if (syllables.join(' ') !== words.join(' ')) say(phrase.line, 'syllables lost, doubled or moved');
    let tied: string | null = null;
    for (const note of phrase.notes) {
      if (note.onset !== at) say(phrase.line, `gap or overlap at ${String(note.onset)}`);
      at = note.onset + note.duration;
      if ((note.tie === 'stop' || note.tie === 'both') && note.tone !== tied)
        say(phrase.line, 'a tie changes its tone');
      tied = note.tie === 'start' || note.tie === 'both' ? note.tone : null;
    }
    const joined = phrase.notes
      .filter((n) => n.slur !== 'stop')
      .map((n) => `${String(n.onset)}${n.tone === null ? 'z' : ''}`);
    const before = given?.notes.map((n) => `${String(n.onset)}${n.rest ? 'z' : ''}`) ?? [];
    if (joined.join(' ') !== before.join(' ')) say(phrase.line, 'the rhythm is not the one given');
  });
  const bar = (song.metre.beats * 1920) / song.metre.beatType;
  if (at % bar !== 0) say(0, `${String(at)} ticks do not fill bars of ${String(bar)}`);
}

/** La comes from so or mi and goes to so after any repeats; it neither begins nor ends a line. */
function laRules(own: readonly Sound[], line: number, say: Say): void {
  own.forEach((sound, k) => {
    if (sound.tone !== 'l') return;
    const before = own.slice(0, k).findLast((s) => s.tone !== 'l')?.tone;
    const after = own.slice(k + 1).find((s) => s.tone !== 'l')?.tone;
    if (before !== 's' && before !== 'm') say(line, `la comes from ${String(before)}`);
    if (after !== 's') say(line, `la goes to ${String(after)}`);
  });
}

/** Do sounds once, as the last sound of the strophe, after mi or so. */
function doRules(own: readonly Sound[], line: number, last: boolean, say: Say): void {
  own.forEach((sound, k) => {
    if (sound.tone !== 'd') return;
    if (!last || k !== own.length - 1) say(line, 'do sounds before the last close');
    const before = own[k - 1]?.tone;
    if (before !== undefined && before !== 'm' && before !== 's') say(line, `do comes from ${before}`);
  });
}

/** One so-la slur on a whole-beat syllable that is not the last of its line; again only where its words return. */
function slurRules(song: Song, rhythm: Rhythm, wanted: boolean, say: Say): void {
  const beat = song.metre.ticksPerBeat;
  const found: { line: number; words: string; first: number }[] = [];
  song.phrases.forEach((phrase, i) => {
    phrase.notes.forEach((note, k) => {
      if (note.slur !== 'start') return;
      const stop = phrase.notes[k + 1];
      const later = phrase.notes.slice(k + 2).some((n) => n.syllable !== null);
      if (stop?.slur !== 'stop' || stop.syllable !== null) say(phrase.line, 'a slur does not end');
      if (`${String(note.tone)}${String(stop?.tone)}` !== 'sl') say(phrase.line, 'a slur is not so-la');
      if (note.duration + (stop?.duration ?? 0) !== beat) say(phrase.line, 'a slur is not one beat');
      if (note.duration !== (beat === 720 ? 480 : 240)) say(phrase.line, 'a slur divides its beat wrongly');
      if (!later) say(phrase.line, 'the last syllable is slurred');
      found.push({
        line: phrase.line,
        words: rhythm.phrases[i]?.wordKeys.join(' ') ?? '',
        first: phrase.notes.slice(0, k).filter((n) => n.syllable !== null).length,
      });
    });
  });
  if (!wanted && found.length > 0) say(0, 'a slur although none is wanted');
  if (new Set(found.map((f) => `${f.words}/${String(f.first)}`)).size > 1) say(0, 'more than one slur');
  if (song.rung !== 'so-mi-la' || !wanted || found.length > 0) return;
  rhythm.phrases.forEach((phrase) => {
    phrase.notes.forEach((note, k) => {
      const rest = phrase.notes.slice(k + 1).filter((n) => n.syllable !== null);
      const onBeat = (note.onset - rhythm.upbeatTicks) % beat === 0;
      if (
        note.syllable !== null &&
        note.tie === null &&
        note.duration === beat &&
        onBeat &&
        rest.length >= 2
      ) {
        say(phrase.line, `no slur although ${note.syllable.text} could bear it`);
      }
    });
  });
}

function newToneIsHeard(song: Song, lines: readonly Sound[][], rule: RungRule, say: Say): void {
  if (rule.fresh === null) return;
  const heard = lines.some((own) => own.some((s) => s.tone === rule.fresh && s.slur !== 'stop'));
  if (!heard && !song.problems.some((p) => p.code === 'new-tone-missing'))
    say(0, `${rule.fresh} is never heard`);
}

/** A line whose words come back keeps its tune but for at most the last three sounds. */
function returnsKeepTheirTune(
  song: Song,
  rhythm: Rhythm,
  lines: readonly Sound[][],
  isLast: readonly boolean[],
  say: Say,
): void {
  const stanza = song.phrases[0]?.stanza;
  const words = rhythm.phrases.map((p) => p.wordKeys.join(' '));
  const shape = (own: readonly Sound[]): string =>
    own.map((s) => String(s.onset - (own[0]?.onset ?? 0))).join(' ');
  const place = (i: number): number => {
    const bar = (song.metre.beats * 1920) / song.metre.beatType;
    return ((((lines[i]?.[0]?.onset ?? 0) - song.upbeatTicks) % bar) + bar) % bar;
  };
  song.phrases.forEach((phrase, i) => {
    if (phrase.stanza !== stanza || words[i] === '') return;
    const j = words.slice(0, i).lastIndexOf(words[i] ?? '');
    const [a = [], b = []] = [lines[j], lines[i]];
    if (j < 0 || shape(a) !== shape(b) || place(i) !== place(j)) return;
    const changed = b.findIndex((s, k) => s.tone !== a[k]?.tone);
    if (changed >= 0 && b.length - changed > 3)
      say(phrase.line, `${String(b.length - changed)} sounds change when the words return`);
    if (isLast[i] === true && song.phrases[j]?.form.replace(/'/g, '') !== phrase.form.replace(/'/g, ''))
      say(phrase.line, 'a return has another letter');
  });
}
