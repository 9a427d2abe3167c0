/** Excerpt -> events: the leader singing on words or solfa, and the rhythm of the words alone. */
import type { LessonEvent } from '../lesson.ts';
import type { Tone } from '../pitch.ts';
import type { Ticks } from '../time.ts';
import type { Excerpt, SungNote } from './excerpt.ts';
import { sungName, sungVowel } from './solfa.ts';
import { CHANT, LEADER, TUNING } from './timeline.ts';

/** The leader sings it; on solfa every note has its name, under a slur too. */
export function sung(excerpt: Excerpt, on: 'words' | 'solfa'): readonly LessonEvent[] {
  return excerpt.notes.map((note, i) => ({
    track: LEADER,
    onset: note.onset,
    duration: note.duration,
    pitch: note.pitch,
    vowel: on === 'solfa' ? sungVowel(note.tone) : 'u',
    text: on === 'solfa' ? sungName(note.tone) : note.text,
    joined: note.slurred,
    strong: i === 0,
  }));
}

/** The rhythm of the words on a drum, one stroke a syllable. */
export function chanted(excerpt: Excerpt): readonly LessonEvent[] {
  return strokes(excerpt.notes).map(({ onset, duration, text }, i) => ({
    track: CHANT,
    onset,
    duration,
    pitch: null,
    vowel: null,
    text,
    joined: false,
    strong: i === 0,
  }));
}

/** Notes that a slur joins to one syllable become one. */
function strokes(notes: readonly SungNote[]): readonly SungNote[] {
  const joined: SungNote[] = [];
  notes.forEach((note, i) => {
    const before = joined.at(-1);
    if (before !== undefined && notes[i - 1]?.slurred === true) {
      joined[joined.length - 1] = { ...before, duration: note.onset + note.duration - before.onset };
    } else {
      joined.push(note);
    }
  });
  return joined;
}

/** One tone of a figure that is played to tune by. */
export function played(pitch: number, onset: Ticks, duration: Ticks): LessonEvent {
  return { track: TUNING, onset, duration, pitch, vowel: null, text: null, joined: false, strong: false };
}

/** One tone of a figure that the leader sings, on a name or a word. */
export function voiced(
  tone: Tone,
  pitch: number,
  time: { readonly onset: Ticks; readonly duration: Ticks },
  text: string,
): LessonEvent {
  return {
    track: LEADER,
    ...time,
    pitch,
    vowel: sungVowel(tone),
    text,
    joined: false,
    strong: time.onset === 0,
  };
}
