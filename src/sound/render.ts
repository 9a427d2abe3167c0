/**
 * Lesson -> samples, chunk after chunk, so that a long lesson needs no more memory than a short one. Deterministic
 * to the last bit: integer phases, tables made by +, -, *, /, and one order of adding.
 */
import { clockOf, lessonLength, type Lesson, type LessonEvent, type Track } from '../lesson.ts';
import { BAR, CEILING, CLICK, CLICK_HZ, DRUM, DRUM_HZ, LEVELS, LIGHTER } from './instruments.data.ts';
import { hertzOf, sineTable } from './sine.ts';
import {
  SAMPLE_RATE,
  soundTables,
  stroke,
  struckLength,
  sungLength,
  sungTone,
  type SoundTables,
  type Sounding,
} from './voices.ts';
import { vowelTable } from './vowels.ts';

export interface SoundOptions {
  /** `both`: one channel with everything. `apart`: the leader left, added parts right, the beat on both sides. */
  readonly sides: 'both' | 'apart';
}

/** Frames (one sample a channel) in a chunk; the last chunk is shorter. */
const CHUNK_FRAMES = 8192;

/** Frames of the whole lesson at 44,100 a second, rounded to the nearest. */
export function frameCount(lesson: Lesson): number {
  return Math.round(clockOf(lesson)(lessonLength(lesson)) * SAMPLE_RATE);
}

export function channelCount(options: SoundOptions): 1 | 2 {
  return options.sides === 'both' ? 1 : 2;
}

/**
 * The samples of a lesson: 16-bit, 44,100 frames a second, channels interleaved, in chunks of 8,192 frames.
 *
 * No sample is above CEILING of full scale (-1.4 dBFS): levels are bounded before anything sounds.
 */
export function* renderLesson(
  lesson: Lesson,
  options: SoundOptions = { sides: 'both' },
): Generator<Int16Array> {
  const sine = sineTable();
  const tables = soundTables(sine, (vowel, key, dark) => vowelTable(sine, vowel, hertzOf(key), dark));
  const frames = frameCount(lesson);
  const channels = channelCount(options);
  const scale = mixScale(lesson) * 32767;
  const coming = placedSounds(lesson, tables);
  let next = coming.next();
  let sounding: PlacedSound[] = [];
  const sides = Array.from({ length: channels }, () => new Float64Array(CHUNK_FRAMES));
  for (let start = 0; start < frames; start += CHUNK_FRAMES) {
    const count = Math.min(CHUNK_FRAMES, frames - start);
    while (next.done !== true && next.value.start < start + count) {
      sounding.push(next.value);
      next = coming.next();
    }
    sides.forEach((side) => side.fill(0));
    for (const sound of sounding) addSound(sound, start, count, sides);
    sounding = sounding.filter((sound) => sound.start + sound.length > start + count);
    const chunk = new Int16Array(count * channels);
    sides.forEach((side, channel) => {
      for (let n = 0; n < count; n++) chunk[n * channels + channel] = Math.round((side[n] ?? 0) * scale);
    });
    yield chunk;
  }
}

/** A sound with its place, in frames from the start of the lesson. */
interface PlacedSound {
  readonly start: number;
  readonly length: number;
  readonly role: Track['role'];
  readonly add: Sounding;
}

function addSound(sound: PlacedSound, start: number, count: number, sides: readonly Float64Array[]): void {
  const from = Math.max(0, start - sound.start);
  const to = Math.min(sound.length, start + count - sound.start);
  if (to <= from) return;
  const at = sound.start + from - start;
  const [left, right] = sides;
  const both = sound.role === 'beat';
  if (left === undefined) return;
  if (right === undefined || (!both && sound.role !== 'part')) return sound.add(left, at, from, to);
  if (!both) return sound.add(right, at, from, to);
  // one sound, heard on both sides: made once, since a sound goes on from where it was
  const own = new Float64Array(to - from);
  sound.add(own, 0, from, to);
  own.forEach((value, n) => {
    left[at + n] = (left[at + n] ?? 0) + value;
    right[at + n] = (right[at + n] ?? 0) + value;
  });
}

/** All sounds in order of their start. */
function* placedSounds(lesson: Lesson, tables: SoundTables): Generator<PlacedSound> {
  const clock = clockOf(lesson);
  const frameAt = (tick: number): number => Math.round(clock(tick) * SAMPLE_RATE);
  const joined = new Set<number>();
  for (const step of lesson.steps) {
    for (const span of step.spans) {
      for (const event of span.events) {
        const track = lesson.tracks[event.track];
        if (track === undefined) throw new RangeError(`There is no track ${String(event.track)}.`);
        const start = frameAt(event.onset);
        const length = frameAt(event.onset + event.duration) - start;
        const joinedBefore = joined.has(event.track);
        if (event.joined) joined.add(event.track);
        else joined.delete(event.track);
        yield { start, role: track.role, ...soundOf(event, track, { length, joinedBefore }, tables) };
      }
    }
  }
}

function soundOf(
  event: LessonEvent,
  track: Track,
  time: { readonly length: number; readonly joinedBefore: boolean },
  tables: SoundTables,
): { readonly length: number; readonly add: Sounding } {
  const level = LEVELS[track.role] * (event.strong ? 1 : LIGHTER);
  const key = event.pitch ?? 69;
  if (track.instrument === 'voice') {
    const tone = {
      hertz: hertzOf(key),
      key,
      vowel: event.vowel ?? 'u',
      level,
      length: time.length,
      joinedBefore: time.joinedBefore,
      joinedAfter: event.joined,
    };
    return { length: sungLength(tone), add: sungTone(tone, tables) };
  }
  const { length } = time;
  const struck = { mallet: BAR, drum: DRUM, click: CLICK }[track.instrument];
  const hertz = {
    mallet: hertzOf(key),
    drum: DRUM_HZ,
    click: event.strong ? CLICK_HZ.strong : CLICK_HZ.other,
  }[track.instrument];
  return { length: struckLength(struck, length), add: stroke(struck, { hertz, level, length }, tables) };
}

/**
 * By what the mix is made softer so that it cannot go above CEILING: the levels of all that may sound at one moment,
 * added up; the loudest such sum decides. A tone of its track is at most its level at any sample (tables stay within
 * 1, partials add up to 1 or less, and of two tones under a slur one falls as the other rises), so the sum is a bound.
 */
export function mixScale(lesson: Lesson): number {
  const changes: { readonly at: number; readonly by: number }[] = [];
  for (const step of lesson.steps) {
    for (const span of step.spans) {
      for (const event of span.events) {
        const level = LEVELS[lesson.tracks[event.track]?.role ?? 'leader'];
        changes.push({ at: event.onset, by: level }, { at: event.onset + event.duration, by: -level });
      }
    }
  }
  // at one moment, what ends goes before what begins
  changes.sort((a, b) => a.at - b.at || a.by - b.by);
  let sum = 0;
  let loudest = 0;
  for (const { by } of changes) {
    sum += by;
    if (sum > loudest) loudest = sum;
  }
  return loudest > CEILING ? CEILING / loudest : 1;
}
