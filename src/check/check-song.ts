/**
 * Song -> departures from rung, range, rhythm and word stress, by phrase and word; and the lowest rung that fits.
 */
import { midiNumber, pitchName, readPitch } from '../pitch.ts';
import type { Rhythm } from '../rhythm.ts';
import type { Rung } from '../rung.ts';
import type { VoiceBand } from '../setting/keys.ts';
import { rhythmOf } from '../setting/open-song.ts';
import { byEarOnly, type RhythmRung } from '../setting/rhythm-ladder.ts';
import type { Song } from '../song.ts';
import { strengthAt, ticksPerBar } from '../time.ts';
import type { Stress } from '../verse.ts';
import { standingFault, stepFault } from './hard-rules.ts';
import { changesTo, type ToneChange } from './lower.ts';
import { soundsOf, type CheckedSound } from './sounds.ts';

export interface CheckOptions {
  /** The rung to hold the song to, or null to find the lowest that fits. */
  readonly rung: Rung | null;
  /** In teaching order. */
  readonly ladder: readonly Rung[];
  readonly voice: VoiceBand | null;
  /** The rhythms that have been taught, or null for all. */
  readonly rhythms: readonly RhythmRung[] | null;
  /** Stress of a syllable (phrase and syllable counted from 0), or null where the words are not known. */
  readonly stress: ((phrase: number, syllable: number) => Stress | null) | null;
}

/** One departure. */
export interface Departure {
  readonly kind: 'rung' | 'range' | 'rhythm' | 'stress';
  /** Number of the line, from 1; null for the song as a whole. */
  readonly line: number | null;
  readonly word: string | null;
  /** In a teacher's words; no full stop. */
  readonly message: string;
}

export interface SongCheck {
  /** The rung that the song was held to, or the lowest that fits; null when none does. */
  readonly rung: Rung | null;
  readonly departures: readonly Departure[];
  /** When no rung was given: the rung below the one that fits, and the smallest change that brings the song onto it. */
  readonly lower: { readonly rung: Rung; readonly changes: readonly ToneChange[] } | null;
}

/** Check a song. Without a rung to hold it to, a song that fits one has no departures of kind `rung`. */
export function checkSong(song: Song, options: CheckOptions): SongCheck {
  const sounds = soundsOf(song);
  const fitting = options.ladder.find((rung) => rungDepartures(song, sounds, rung).length === 0) ?? null;
  const rung = options.rung ?? fitting;
  const departures = [
    ...(rung === null ? noRung(song, options.ladder) : rungDepartures(song, sounds, rung)),
    ...(options.rung === null ? [] : newToneDeparture(sounds, options.rung)),
    ...(options.voice === null ? [] : rangeDepartures(song, sounds, options.voice)),
    ...(options.rhythms === null ? [] : rhythmDepartures(rhythmOf(song), options.rhythms)),
    ...(options.stress === null ? [] : stressDepartures(song, sounds, options.stress)),
  ];
  const below = fitting === null ? undefined : options.ladder[options.ladder.indexOf(fitting) - 1];
  const changes = options.rung !== null || below === undefined ? null : changesTo(song, below);
  return {
    rung,
    departures,
    lower: changes === null || below === undefined ? null : { rung: below, changes },
  };
}

function rungDepartures(
  song: Song,
  sounds: readonly (readonly CheckedSound[])[],
  rung: Rung,
): readonly Departure[] {
  return sounds.flatMap((phrase, i) =>
    phrase.flatMap((sound, k): readonly Departure[] => {
      const before = phrase[k - 1];
      const known =
        rung.tones.includes(sound.tone) && (before === undefined || rung.tones.includes(before.tone));
      const faults = [
        standingFault(rung, sound.tone, sound),
        known && before !== undefined ? stepFault(rung, before.tone, sound.tone, sound) : null,
        sound.slur === 'stop' && sound.last ? 'the last syllable is slurred' : null,
      ];
      const line = song.phrases[i]?.line ?? null;
      return faults.flatMap((message): Departure[] =>
        message === null ? [] : [{ kind: 'rung', line, word: sound.wordText, message }],
      );
    }),
  );
}

function noRung(song: Song, ladder: readonly Rung[]): readonly Departure[] {
  const tones = [
    ...new Set(song.phrases.flatMap((p) => p.notes.flatMap((n) => (n.tone === null ? [] : [n.tone])))),
  ];
  const names = ladder.map((rung) => rung.name).join(', ');
  return [
    {
      kind: 'rung',
      line: null,
      word: null,
      message: `no rung holds ${tones.join(' ')}; the rungs are ${names}`,
    },
  ];
}

function newToneDeparture(sounds: readonly (readonly CheckedSound[])[], rung: Rung): readonly Departure[] {
  const heard = sounds.some((phrase) => phrase.some((s) => s.tone === rung.newTone && s.slur !== 'stop'));
  if (rung.newTone === null || heard) return [];
  const message = `${rung.newTone}, the new tone of ${rung.name}, is not heard`;
  return [{ kind: 'rung', line: null, word: null, message }];
}

function rangeDepartures(
  song: Song,
  sounds: readonly (readonly CheckedSound[])[],
  voice: VoiceBand,
): readonly Departure[] {
  const range = `${pitchName(voice.low)} to ${pitchName(voice.high)} (${voice.name})`;
  return sounds.flatMap((phrase, i) =>
    phrase.flatMap(({ pitch, wordText }): Departure[] => {
      const read = readPitch(pitch);
      if (read === null) return [];
      const key = midiNumber(read);
      if (key >= midiNumber(voice.low) && key <= midiNumber(voice.high)) return [];
      const side = key < midiNumber(voice.low) ? 'below' : 'above';
      const message = `${pitch} lies ${side} the comfortable range ${range}`;
      return [{ kind: 'range', line: song.phrases[i]?.line ?? null, word: wordText, message }];
    }),
  );
}

function rhythmDepartures(rhythm: Rhythm, taught: readonly RhythmRung[]): readonly Departure[] {
  return byEarOnly(rhythm, taught).map(({ line, message }): Departure => {
    return { kind: 'rhythm', line: line ?? null, word: null, message: message.replace(/\.$/, '') };
  });
}

/** Within a word the stressed syllable stands on no weaker place than an unstressed one. */
function stressDepartures(
  song: Song,
  sounds: readonly (readonly CheckedSound[])[],
  stressOf: (phrase: number, syllable: number) => Stress | null,
): readonly Departure[] {
  const bar = ticksPerBar(song.metre);
  return sounds.flatMap((phrase, i) => {
    const sung = phrase.flatMap((sound) => {
      const stress = sound.syllable === null ? null : stressOf(i, sound.syllable);
      const into = (((sound.onset - song.upbeatTicks) % bar) + bar) % bar;
      return stress === null ? [] : [{ ...sound, stress, strength: strengthAt(song.metre, into) }];
    });
    return sung.flatMap((stressed, k): Departure[] => {
      if (stressed.stress !== 2) return [];
      const word = sung.filter((other) => other.word === stressed.word);
      const stronger = word.find((other) => other.stress === 0 && other.strength > stressed.strength);
      const isFirst = sung.findIndex((other) => other.word === stressed.word && other.stress === 2) === k;
      if (stronger === undefined || !isFirst) return [];
      const message = 'the stressed syllable stands on a weaker beat than an unstressed one';
      return [{ kind: 'stress', line: song.phrases[i]?.line ?? null, word: stressed.wordText, message }];
    });
  });
}
