/**
 * Tonic sol-fa letters -> Song: reads what `writeTonicSolfa` writes and what is typed from old books. What the notation
 * does not say (rung, form, breaths) gets the usual values of a score; lengths are cut into notes that can be printed.
 */
import { pitchName, pitchOf, readPitch, toneStep, type Pitch, type Tone } from '../pitch.ts';
import { failed, type Outcome, type Problem } from '../problem.ts';
import type { NoteSyllable, Song } from '../song.ts';
import { METRES, ticksPerBar, type Metre, type MetreName, type Ticks } from '../time.ts';
import { finishDraft, type DraftNote, type DraftPhrase } from './draft.ts';
import { cutLength } from './cut-length.ts';
import { readSyllables } from './score-letters.ts';
import { nameForms, wordsText } from './score-phrases.ts';
import { fault, spanOf, trimmed, type Piece } from './score-text.ts';
import { draftProblems } from './sound-draft.ts';
import { readPulses, type Pulse } from './tonic-solfa-pulses.ts';

/** True for a text with a line such as `Key D.` and letters between pulse marks below it. */
export function isTonicSolfa(text: string): boolean {
  return KEY_LINE.test(text) && /^[^\n]*[|:!.,][^\n]*\|[ \t\r]*$/m.test(text);
}

const KEY_LINE = /^[ \t]*(?:key|doh is)[ \t]+[A-G][b#]?(?![a-z])/im;

/**
 * Read a song: title, key line, then a line of letters and a line of words for each phrase, blank lines between.
 *
 * Problems: `unknown-key`, `score-rows`, `tone-name`, `rhythm-name` (a mark out of place), `note-value`, `bar-length`,
 * `upbeat-length`, `broken-tie`, `broken-slur`, `syllables-count`, `broken-word`.
 */
export function readTonicSolfa(source: string): Outcome<Song> {
  const problems: Problem[] = [];
  const header = readHeader(source);
  if (header === null) {
    return failed(
      fault(
        'unknown-key',
        'No line of this text gives the key.',
        { start: 0, end: 1 },
        'Write it above the music: Key D.',
      ),
    );
  }
  const lines = readLines(source, header.end);
  const pulses = readPulses(
    lines.map((line) => line.music),
    problems,
  );
  const metre = problems.length === 0 ? metreOf(pulses, problems) : null;
  if (metre === null) return failed(...problems);
  const timeline = timelineOf(pulses, metre, problems);
  if (problems.length > 0) return failed(...problems);
  const phrases = lines.map((line, p): DraftPhrase => {
    const sounds = timeline.sounds.filter((sound) => sound.phrase === p);
    const notes = phraseNotes(sounds, line.words, { ...timeline, metre, doPitch: header.doPitch, problems });
    return { line: p + 1, stanza: 1, text: wordsText(notes), form: '', cadence: 'open', notes };
  });
  if (problems.length > 0) return failed(...problems);
  const tones = [...new Set(timeline.sounds.flatMap((sound) => sound.tone ?? []))];
  const draft = {
    title: header.title,
    rung: 'own',
    tones: tones.sort((a, b) => toneStep(a) - toneStep(b)).join(' '),
    newTone: null,
    home: header.isLah ? (tones.includes('l,') ? ('l,' as const) : ('l' as const)) : ('d' as const),
    seed: 1,
    take: 1,
    do: pitchName(header.doPitch),
    tempoBpm: header.tempoBpm,
    ticksPerQuarter: 480,
    metre,
    upbeatTicks: timeline.upbeatTicks,
    phrases: nameForms(
      phrases,
      phrases.map(() => ({ form: null, cadence: null })),
    ),
    problems: [],
  };
  const faults = draftProblems(draft);
  return faults.length > 0 ? failed(...faults) : finishDraft(draft);
}

interface Header {
  readonly title: string;
  readonly doPitch: Pitch;
  readonly isLah: boolean;
  readonly tempoBpm: number;
  /** Offset behind the key line. */
  readonly end: number;
}

function readHeader(source: string): Header | null {
  const line =
    /^[ \t]*(?:key|doh is)[ \t]+([A-G])[ \t]*(flat|sharp|[b#\u266d\u266f](?![a-z]))?((?:_1|\^1|[\u2081\u00b9])*).*$/im.exec(
      source,
    );
  if (line === null) return null;
  const [whole, letter = '', sign = '', marks = ''] = line;
  const usual = /[AB]/i.test(letter) ? 3 : 4;
  const octave = usual + (marks.match(/\^1|\u00b9/g) ?? []).length - (marks.match(/_1|\u2081/g) ?? []).length;
  const alter = /flat|b|\u266d/i.test(sign) ? 'b' : sign === '' ? '' : '#';
  const doPitch = readPitch(`${letter.toUpperCase()}${alter}${String(octave)}`);
  const tempo = Number(/\bM\.?\s*=?\s*(\d+(?:\.\d+)?)/.exec(whole)?.[1] ?? 112);
  const title = source
    .slice(0, line.index)
    .split(/\r\n|\n|\r/)
    .map((each) => each.trim());
  return doPitch === null
    ? null
    : {
        title: title.filter((each) => each !== '').join(' ') || 'Untitled',
        doPitch,
        isLah: /\blah is\b/i.test(whole),
        tempoBpm: tempo >= 20 && tempo <= 400 ? tempo : 112,
        end: line.index + whole.length,
      };
}

/** A line of letters with its words. */
interface Line {
  readonly music: Piece;
  readonly words: Piece | null;
}

function readLines(source: string, from: number): readonly Line[] {
  const lines: { music: Piece; words: Piece | null }[] = [];
  let inBlock = false;
  for (const match of source.slice(from).matchAll(/([^\r\n]*)(?:\r\n|\n|\r|$)/g)) {
    const piece = { text: match[1] ?? '', start: from + match.index };
    const last = lines.at(-1);
    if (piece.text.trim() === '') inBlock = false;
    else if (inBlock && last !== undefined && last.words === null) last.words = trimmed(piece);
    else {
      lines.push({ music: piece, words: null });
      inBlock = true;
    }
  }
  return lines;
}

/** Pulses in a bar of each metre; the pulse is a quarter in simple time, an eighth in compound time. */
const METRE_OF_PULSES: Readonly<Record<number, MetreName>> = {
  2: '2/4',
  3: '3/4',
  4: '4/4',
  6: '6/8',
  9: '9/8',
  12: '12/8',
};

/** The metre that the bars show; every bar but an upbeat and the last must have as many pulses as the first whole one. */
function metreOf(pulses: readonly Pulse[], problems: Problem[]): Metre | null {
  const bars = barsOf(pulses);
  const whole = bars.filter((bar) => bar[0]?.mark === '|');
  const size = whole[0]?.length ?? 0;
  const name = METRE_OF_PULSES[size];
  const wrong = whole.find((bar, i) => (i < whole.length - 1 ? bar.length !== size : bar.length > size));
  const bar = name === undefined ? whole[0] : wrong;
  if (bar === undefined && name !== undefined) return METRES[name];
  const number = bar === undefined ? 1 : whole.indexOf(bar) + 1;
  const seen = bar?.length ?? 0;
  const message =
    name === undefined
      ? `Bar 1 has ${String(seen)} pulses; bars have 2, 3, 4, 6, 9 or 12.`
      : `Bar ${String(number)} has ${String(seen)} pulses where the first has ${String(size)}.`;
  const span = bar?.[0] === undefined ? { start: 0, end: 1 } : { start: bar[0].start, end: bar[0].start + 1 };
  problems.push(
    fault('bar-length', message, span, 'Each pulse has its mark: | the strong one, : or ! the others.'),
  );
  return null;
}

function barsOf(pulses: readonly Pulse[]): readonly (readonly Pulse[])[] {
  const bars: Pulse[][] = [];
  for (const pulse of pulses) {
    if (pulse.mark === '|' || bars.length === 0) bars.push([]);
    bars.at(-1)?.push(pulse);
  }
  return bars;
}

/** A tone or a silence with its whole length. */
interface Sound {
  /** Ticks from the start of the song. */
  readonly onset: Ticks;
  duration: Ticks;
  /** Null for a silence. */
  readonly tone: Tone | null;
  readonly phrase: number;
  /** Sounds of one slur have the same number; 0 without one. */
  readonly slur: number;
  readonly piece: Piece;
}

/** Lay the parts of all pulses end to end; the upbeat begins with its first tone, the last bar completes it. */
function timelineOf(
  pulses: readonly Pulse[],
  metre: Metre,
  problems: Problem[],
): { sounds: readonly Sound[]; upbeatTicks: Ticks } {
  const quarter = (metre.beatClass === 'simple' ? 480 : 240) / 4;
  const bar = ticksPerBar(metre);
  const upbeatPulses = pulses.findIndex((pulse) => pulse.mark === '|');
  const firstBar = Math.max(0, upbeatPulses) * 4 * quarter;
  const sounds: Sound[] = [];
  let at = 0;
  for (const part of pulses.flatMap((pulse) => pulse.parts)) {
    const last = sounds.at(-1);
    const duration = part.quarters * quarter;
    if (part.sign === '-' && (last === undefined || last.tone === null)) {
      problems.push(
        fault('broken-tie', 'This hyphen holds on a note, but none sounds before it.', spanOf(part.piece)),
      );
    } else if (part.sign === '-' && last !== undefined) {
      last.duration += duration;
    } else if (part.sign === null && last?.tone === null && last.phrase === part.phrase) {
      last.duration += duration;
    } else {
      const tone = part.sign === '-' ? null : part.sign;
      sounds.push({ onset: at, duration, tone, phrase: part.phrase, slur: part.slur, piece: part.piece });
    }
    at += duration;
  }
  // silence before the first tone of an upbeat is none of the song's
  let skipped = 0;
  while (sounds[0]?.tone === null && sounds[0].onset < firstBar) {
    const [first] = sounds;
    const cut = Math.min(first.duration, firstBar - first.onset);
    skipped += cut;
    if (cut === first.duration) sounds.shift();
    else sounds[0] = { ...first, onset: firstBar, duration: first.duration - cut };
  }
  const upbeatTicks = firstBar - skipped;
  const moved = sounds.map((sound) => ({ ...sound, onset: sound.onset - skipped }));
  return {
    sounds: completeLastBar(moved, { upbeatTicks, hasUpbeat: firstBar > 0, bar, problems }),
    upbeatTicks,
  };
}

/** Lengthen or shorten the silence at the end, so that the last bar and the upbeat make one bar. */
function completeLastBar(
  sounds: readonly Sound[],
  by: { upbeatTicks: Ticks; hasUpbeat: boolean; bar: Ticks; problems: Problem[] },
): readonly Sound[] {
  const sung = sounds.findLastIndex((sound) => sound.tone !== null);
  const last = sounds[sung];
  const written = sounds.at(-1);
  if (last === undefined || written === undefined) {
    by.problems.push(fault('nothing-to-sing', 'This text has no letters to sing.', { start: 0, end: 1 }));
    return [];
  }
  const soundEnd = last.onset + last.duration;
  const writtenEnd = written.onset + written.duration;
  const bars = Math.ceil((writtenEnd - by.upbeatTicks) / by.bar);
  const end = bars * by.bar;
  if (!by.hasUpbeat && writtenEnd !== end) {
    by.problems.push(
      fault(
        'bar-length',
        'The last bar is not full.',
        spanOf(last.piece),
        'Silent pulses are written too, as a mark with nothing behind it.',
      ),
    );
  } else if (soundEnd > end) {
    by.problems.push(
      fault(
        'upbeat-length',
        'The last note sounds on where the upbeat has taken the time of the last bar.',
        spanOf(last.piece),
        'Shorten it by the length of the upbeat.',
      ),
    );
  }
  const kept = sounds.slice(0, sung + 1);
  const rest = sounds[sung + 1] ?? { ...last, tone: null, slur: 0 };
  return end > soundEnd ? [...kept, { ...rest, onset: soundEnd, duration: end - soundEnd }] : kept;
}

interface Making {
  readonly metre: Metre;
  readonly upbeatTicks: Ticks;
  readonly doPitch: Pitch;
  readonly problems: Problem[];
}

function phraseNotes(sounds: readonly Sound[], words: Piece | null, making: Making): readonly DraftNote[] {
  const slurOf = slurPlaces(sounds, making.problems);
  const takes = sounds.filter((sound) => sound.tone !== null && (slurOf.get(sound) ?? 'start') === 'start');
  const syllables = syllablesOf(words, takes, making.problems);
  const bar = ticksPerBar(making.metre);
  return sounds.flatMap((sound): readonly DraftNote[] => {
    const into = (sound.onset - making.upbeatTicks + bar) % bar;
    const lengths = cutLength(making.metre, into, sound.duration, sound.tone === null);
    if (lengths === null) {
      const message = 'This note or rest is shorter than a sixteenth, or does not end on one.';
      making.problems.push(fault('note-value', message, spanOf(sound.piece)));
      return [];
    }
    let onset = sound.onset;
    return lengths.map((duration, i): DraftNote => {
      const [isFirst, isLast] = [i === 0, i === lengths.length - 1];
      const place = slurOf.get(sound) ?? null;
      const tie = isFirst ? (isLast ? null : 'start') : isLast ? 'stop' : 'both';
      const note: DraftNote = {
        onset,
        duration,
        tone: sound.tone,
        pitch: sound.tone === null ? null : pitchName(pitchOf(sound.tone, making.doPitch)),
        syllable: isFirst ? (syllables.get(sound) ?? null) : null,
        slur: (place === 'start' && isFirst) || (place === 'stop' && isLast) ? place : null,
        tie: sound.tone === null ? null : tie,
        breath: sound.tone === null ? null : false,
      };
      onset += duration;
      return note;
    });
  });
}

/** `start`, `inside` or `stop` for each sound of a slur. */
function slurPlaces(
  sounds: readonly Sound[],
  problems: Problem[],
): ReadonlyMap<Sound, 'start' | 'inside' | 'stop'> {
  const places = new Map<Sound, 'start' | 'inside' | 'stop'>();
  for (const slur of new Set(sounds.map((sound) => sound.slur).filter((each) => each > 0))) {
    const joined = sounds.filter((sound) => sound.slur === slur && sound.tone !== null);
    joined.forEach((sound, i) =>
      places.set(sound, i === 0 ? 'start' : i === joined.length - 1 ? 'stop' : 'inside'),
    );
    const [only] = joined;
    if (joined.length === 1 && only !== undefined) {
      problems.push(
        fault('broken-slur', 'The line under this letter joins it to no other.', spanOf(only.piece)),
      );
    }
  }
  return places;
}

function syllablesOf(
  words: Piece | null,
  takes: readonly Sound[],
  problems: Problem[],
): ReadonlyMap<Sound, NoteSyllable> {
  const found = new Map<Sound, NoteSyllable>();
  if (words === null) return found;
  const written = readSyllables(words);
  const [extra, bare] = [written[takes.length], takes[written.length]];
  if (extra !== undefined || bare !== undefined) {
    const message = `There are ${String(written.length)} syllables for ${String(takes.length)} notes of this line.`;
    const piece = extra?.piece ?? bare?.piece ?? words;
    const hint = 'Notes on one syllable are joined by a line beneath, or stand in round brackets: (s.l)';
    problems.push(fault('syllables-count', message, spanOf(piece), hint));
    return found;
  }
  let word = -1;
  let inside = false;
  takes.forEach((sound, i) => {
    const { text = '', goesOn = false } = written[i] ?? {};
    if (!inside) word += 1;
    const division = inside ? (goesOn ? 'middle' : 'end') : goesOn ? 'begin' : 'single';
    found.set(sound, { text, word, division });
    inside = goesOn;
  });
  const last = written.at(-1);
  if (inside && last !== undefined) {
    const message = `The word of "${last.piece.text}" goes on, but the line ends.`;
    problems.push(fault('broken-word', message, spanOf(last.piece)));
  }
  return found;
}
