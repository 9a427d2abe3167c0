/**
 * Song -> plain sentences for a screen reader, or for anyone who learns by ear: phrase by phrase, bar by bar, what is
 * sung, on which tone, for how long. No signs that have to be seen, no layout.
 */
import { readPitch, type Tone } from '../pitch.ts';
import type { Song, SongNote, SongPhrase } from '../song.ts';
import { beatsPerBar, type Ticks } from '../time.ts';
import { barNumber, isTiedOn, isTiedOver } from './bars.ts';

/**
 * Write a song as sentences.
 *
 * @example
 * // Line 1, open: Kettle, kettle
 * // Bar 1. Ket, so, one beat. tle, mi, one beat.
 */
export function writeSpoken(song: Song): string {
  const several = song.phrases.some((phrase) => phrase.stanza !== 1);
  let stanza = 0;
  const blocks = song.phrases.map((phrase) => {
    const heading = several && phrase.stanza !== stanza ? [`Stanza ${String(phrase.stanza)}.`] : [];
    stanza = phrase.stanza;
    return [...heading, ...phraseSentences(song, phrase)].join('\n');
  });
  return `${[openingSentences(song), ...blocks].join('\n\n')}\n`;
}

function openingSentences(song: Song): string {
  const tones = song.tones.split(' ').map((tone) => toneName(tone as Tone));
  const perBar = beatsPerBar(song.metre);
  const divides = song.metre.beatClass === 'simple' ? 'two' : 'three';
  const upbeat =
    song.upbeatTicks > 0 ? ` It begins with an upbeat of ${beatsText(song, song.upbeatTicks)}.` : '';
  const isNew = song.newTone === null ? '' : ` New is ${toneName(song.newTone)}.`;
  return [
    `${song.title.replace(/[.!?]?$/, '.')}`,
    `Rung ${song.rung}. Tones from low to high: ${tones.join(', ')}.${isNew} Home is ${toneName(song.home)}.`,
    `Do is ${doText(song.do)}. ${capital(numberWord(perBar))} beats in a bar, each dividing in ${divides}, ${String(song.tempoBpm)} beats a minute.${upbeat}`,
  ].join('\n');
}

function phraseSentences(song: Song, phrase: SongPhrase): readonly string[] {
  const lines = [`Line ${String(phrase.line)}, ${phrase.cadence}: ${phrase.text}`];
  let bar = -1;
  let sentences: string[] = [];
  const close = (): void => {
    if (sentences.length > 0)
      lines.push(`${bar === 0 ? 'Upbeat' : `Bar ${String(bar)}`}. ${sentences.join(' ')}`);
    sentences = [];
  };
  phrase.notes.forEach((note, i) => {
    const number = barNumber(song, note.onset);
    if (number !== bar) close();
    bar = number;
    // a tied sound is told once, where it begins
    if (!isTiedOn(note)) sentences.push(noteSentence(song, phrase.notes, i));
    if (note.breath === true) sentences.push('Breathe.');
  });
  close();
  return lines;
}

function noteSentence(song: Song, notes: readonly SongNote[], i: number): string {
  const note = notes[i];
  if (note === undefined) return '';
  let length = note.duration;
  let last = i;
  for (let k = i + 1; isTiedOver(notes[last] ?? note) && k < notes.length; k++) {
    length += notes[k]?.duration ?? 0;
    last = k;
  }
  const lasts = beatsText(song, length);
  if (note.tone === null) return `Rest, ${lasts}.`;
  const over = barNumber(song, note.onset) !== barNumber(song, notes[last]?.onset ?? note.onset);
  const held = over ? ', held over the bar line' : '';
  const words =
    note.syllable === null ? 'on the same syllable' : note.syllable.text.replace(/[.,;:!?]+$/, '');
  return `${words}, ${toneName(note.tone)}, ${lasts}${held}.`;
}

const NAMES: Readonly<Record<string, string>> = {
  d: 'do',
  r: 're',
  m: 'mi',
  f: 'fa',
  s: 'so',
  l: 'la',
  t: 'ti',
};

function toneName(tone: Tone): string {
  const name = NAMES[tone.charAt(0)] ?? tone;
  return tone.endsWith(',') ? `low ${name}` : tone.endsWith("'") ? `high ${name}` : name;
}

/** `F sharp 4`: a reader should say the sign. */
function doText(name: string): string {
  const pitch = readPitch(name);
  if (pitch === null) return name;
  const sign = pitch.alter < 0 ? ' flat' : pitch.alter > 0 ? ' sharp' : '';
  return `${pitch.letter}${sign} ${String(pitch.octave)}`;
}

/** A length in felt beats, as it is said: quarters and halves of a simple beat, thirds and sixths of a compound one. */
function beatsText(song: Song, ticks: Ticks): string {
  const beat = song.metre.ticksPerBeat;
  const whole = Math.floor(ticks / beat);
  const parts = song.metre.beatClass === 'simple' ? SIMPLE_PARTS : COMPOUND_PARTS;
  const part = parts[(ticks % beat) / 120] ?? '';
  if (part === '') return whole === 1 ? 'one beat' : `${numberWord(whole)} beats`;
  if (whole === 0) return part === 'a half' ? 'half a beat' : `${part} of a beat`;
  return `${numberWord(whole)} and ${part} beats`;
}

const SIMPLE_PARTS = ['', 'a quarter', 'a half', 'three quarters'];
const COMPOUND_PARTS = ['', 'a sixth', 'a third', 'a half', 'two thirds', 'five sixths'];
const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];

function numberWord(n: number): string {
  return NUMBERS[n] ?? String(n);
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
