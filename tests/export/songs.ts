/**
 * Songs made by hand for the exporters' tests, in a short notation: `s480` is so for a quarter note, `z480` a rest;
 * `~` in front ties the note to the one before, `(` and `)` hold a slur, `,` behind is a breath; `s480=bum-` puts a
 * syllable under the note, a hyphen when its word goes on.
 */
import { isTone, pitchName, pitchOf, readPitch } from '../../src/pitch.ts';
import type { NoteSyllable, Song, SongNote, SongPhrase } from '../../src/song.ts';
import { METRES, type MetreName } from '../../src/time.ts';

interface PhraseSketch {
  readonly notes: string;
  readonly stanza?: number;
  readonly form?: string;
  readonly closed?: boolean;
}

export function sketchSong(
  head: Partial<Omit<Song, 'metre' | 'phrases'>> & { readonly metreName: MetreName },
  phrases: readonly PhraseSketch[],
): Song {
  const { metreName, ...rest } = head;
  const doName = head.do ?? 'D4';
  let onset = 0;
  return {
    title: 'Untitled',
    rung: 'so-mi',
    tones: 'm s',
    newTone: null,
    home: 'd',
    seed: 1,
    take: 1,
    do: doName,
    tempoBpm: 112,
    ticksPerQuarter: 480,
    metre: METRES[metreName],
    upbeatTicks: 0,
    problems: [],
    ...rest,
    phrases: phrases.map((sketch, i): SongPhrase => {
      const notes = sketchNotes(sketch.notes, doName, onset);
      onset = notes.reduce((at, note) => at + note.duration, onset);
      return {
        line: i + 1,
        stanza: sketch.stanza ?? 1,
        text: textOf(notes),
        form: sketch.form ?? 'a',
        cadence: sketch.closed === true ? 'closed' : 'open',
        notes,
      };
    }),
  };
}

function sketchNotes(text: string, doName: string, start: number): readonly SongNote[] {
  let onset = start;
  let word = -1;
  let inWord = false;
  const drafts = text.split(' ').map((token) => {
    const match = /^(~?)(\(?)([a-z][,']?)(\d+)(\)?)(,?)(?:=(.+))?$/.exec(token);
    if (match === null) throw new Error(token);
    const [, tied = '', open = '', letter = '', ticks = '', close = '', breath = '', syllable] = match;
    const doPitch = readPitch(doName);
    const tone = isTone(letter) ? letter : null;
    if (doPitch === null || (tone === null && letter !== 'z')) throw new Error(token);
    const draft = {
      onset,
      duration: Number(ticks),
      tone,
      pitch: tone === null ? null : pitchName(pitchOf(tone, doPitch)),
      syllable: null as NoteSyllable | null,
      slur: open !== '' ? ('start' as const) : close !== '' ? ('stop' as const) : null,
      tied: tied !== '',
      breath: tone === null ? null : breath !== '',
    };
    onset += draft.duration;
    if (syllable !== undefined) {
      const goesOn = syllable.endsWith('-');
      if (!inWord) word += 1;
      const division = inWord ? (goesOn ? 'middle' : 'end') : goesOn ? 'begin' : 'single';
      draft.syllable = { text: goesOn ? syllable.slice(0, -1) : syllable, word, division };
      inWord = goesOn;
    }
    return draft;
  });
  return drafts.map(({ tied, ...draft }, i): SongNote => {
    const over = drafts[i + 1]?.tied === true;
    return { ...draft, tie: tied ? (over ? 'both' : 'stop') : over ? 'start' : null };
  });
}

function textOf(notes: readonly SongNote[]): string {
  const words: string[] = [];
  for (const { syllable } of notes) {
    if (syllable !== null) words[syllable.word] = (words[syllable.word] ?? '') + syllable.text;
  }
  return words.join(' ');
}

/** Simple time, rests, a half note, a slur. */
export const KETTLE: Song = sketchSong(
  { metreName: '2/4', title: 'Kettle, kettle', rung: 'so-mi-la', tones: 'm s l', newTone: 'l' },
  [
    { notes: 's480=Ket- m480=tle, s480=ket- m480=tle', form: 'a' },
    { notes: 's240=sing- s240=ing l240=on l240=the s480=stove z480', form: 'b' },
    { notes: 's480=Ket- m480=tle, (s240=hush l240) s480=now', form: 'a' },
    { notes: 's240=tea s240=for l240=two s240=and m960=cake.', form: "b'", closed: true },
  ],
);

/** 6/8 with an upbeat to every line, a breath, a flat key, la-based minor. */
export const FERRY: Song = sketchSong(
  {
    metreName: '6/8',
    title: 'The ferry goes over',
    rung: 'la-pentatonic',
    tones: 'l, d r m s l',
    newTone: 'l,',
    home: 'l,',
    do: 'F4',
    tempoBpm: 104,
    upbeatTicks: 240,
  },
  [
    { notes: 'm240=The l480=fer- s240=ry m480=goes r240=o- m720=ver ~m480,' },
    { notes: 'm240=the l480=fer- s240=ry m480=goes d240=back, l,720=O-lé z480', closed: true },
  ],
);

/** Sixteenths, dotted values, syncopation, ties over beats and bars, letters with accents and markup. */
export const SPARROW: Song = sketchSong(
  {
    metreName: '4/4',
    title: 'Sparrow & "Wren" <2>',
    rung: 'do-pentatonic',
    tones: 'd r m s l',
    newTone: 'r',
    do: 'Bb3',
    tempoBpm: 96,
    upbeatTicks: 480,
  },
  [
    {
      notes:
        's240=Spar- m240=row s360=Émi- l120=le s120=hop- s120=pi- s120=ty- s120=skip m240=hup m120=hop- r120=py d480=day ' +
        'd240=tra s480=la m240=la s720=hey l240=ho ~l960, z480',
    },
    {
      notes: 's240=a m240=b r120=x m240=y d120=z z480 m960=long z240 (r120=o d120) d960,=end',
      closed: true,
      stanza: 2,
    },
  ],
);

export const SONGS: readonly (readonly [string, Song])[] = [
  ['kettle', KETTLE],
  ['ferry', FERRY],
  ['sparrow', SPARROW],
];
