/** A song as the measures see it. */
import { toneSemitones } from '../../src/pitch.ts';
import type { Song } from '../../src/song.ts';
import { strengthAt, ticksPerBar } from '../../src/time.ts';
import type { Sound, SungTune } from './tune-features.ts';

export function tuneOfSong(song: Song): SungTune {
  const bar = ticksPerBar(song.metre);
  return song.phrases.map((phrase) => {
    const sounds: Sound[] = [];
    let zero: number | null = null;
    for (const note of phrase.notes) {
      if (note.tone === null || note.tie === 'stop' || note.tie === 'both') continue;
      const strength = strengthAt(song.metre, (((note.onset - song.upbeatTicks) % bar) + bar) % bar);
      if (strength > 0) zero ??= note.onset;
      sounds.push({ at: note.onset, strength, semitones: toneSemitones(note.tone), duration: note.duration });
    }
    return sounds.map((s) => ({ ...s, at: s.at - (zero ?? s.at) }));
  });
}
