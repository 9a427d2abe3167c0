import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeMusicXml } from '../../src/export/musicxml.ts';
import type { ProblemCode } from '../../src/problem.ts';
import { readMusicXml } from '../../src/read/musicxml.ts';
import { readXml } from '../../src/read/xml.ts';
import type { Song } from '../../src/song.ts';
import { FERRY, KETTLE, SONGS } from '../export/songs.ts';
import { randomSong } from '../random-song.ts';

const readBack = (text: string): Song => {
  const outcome = readMusicXml(text);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
};

describe('a MusicXML file of ours', () => {
  test.each(SONGS)('reads back to the same song: %s', (_, song) => {
    const outcome = readMusicXml(writeMusicXml(song));
    expect(outcome.problems).toEqual([]);
    expect(outcome.ok && outcome.value).toEqual(song);
  });

  test('reads back to the same song, whatever the song', () => {
    fc.assert(
      fc.property(randomSong, (song) => {
        expect(readBack(writeMusicXml(song))).toEqual(song);
      }),
      { numRuns: 2000 },
    );
  });
});

/** As another program might write it: other divisions, no fields of ours, attributes in quotes of either kind. */
const FOREIGN = `<?xml version='1.0'?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 3.1 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version='3.1'>
  <movement-title>Goat &amp; gate</movement-title>
  <part-list><score-part id="P1"><part-name/></score-part></part-list>
  <part id="P1">
    <measure number="0" implicit="yes">
      <attributes><divisions>2</divisions><key><fifths>1</fifths></key><time><beats>2</beats><beat-type>4</beat-type></time></attributes>
      <direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>90</per-minute></metronome></direction-type></direction>
      <note><pitch><step>D</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice><type>eighth</type>
        <lyric><syllabic>single</syllabic><text>A</text></lyric></note>
    </measure>
    <measure number="1">
      <note><pitch><step>G</step><octave>4</octave></pitch><duration>2</duration><voice>1</voice><lyric><syllabic>single</syllabic><text>goat</text></lyric>
        <lyric number="2"><text>two</text></lyric></note>
      <note><chord/><pitch><step>B</step><octave>4</octave></pitch><duration>2</duration><voice>1</voice></note>
      <note><rest/><duration>1</duration><voice>1</voice></note>
      <note><pitch><step>D</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice><lyric><syllabic>single</syllabic><text>a</text></lyric></note>
    </measure>
    <measure number="2">
      <print new-system="yes"/>
      <note><pitch><step>B</step><octave>4</octave></pitch><duration>3</duration><voice>1</voice><dot/><lyric><text>gate</text></lyric></note>
      <barline location="right"><repeat direction="backward"/></barline>
    </measure>
  </part>
</score-partwise>`;

describe('a MusicXML file of another program', () => {
  test('is read as one line of tune, and what is left out is named', () => {
    const outcome = readMusicXml(FOREIGN);
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    const song = outcome.value;
    expect(song).toMatchObject({
      title: 'Goat & gate',
      do: 'G4',
      home: 'd',
      tempoBpm: 90,
      upbeatTicks: 240,
      tones: 's, d m',
    });
    expect(song.phrases.map((phrase) => [phrase.text, phrase.notes.map((note) => note.tone)])).toEqual([
      ['A goat', ['s,', 'd', null]],
      ['a gate', ['s,', 'm']],
    ]);
    expect(outcome.problems.map((problem) => problem.code)).toContain('left-out');
    expect(outcome.problems.map((problem) => problem.message)).toEqual([
      expect.stringMatching(/measure 1: further verse/),
      expect.stringMatching(/measure 1: chord/),
      expect.stringMatching(/measure 2: repeat/),
    ]);
  });

  const edited = (from: string | RegExp, to: string): string => writeMusicXml(KETTLE).replace(from, to);
  const FAULTS: readonly (readonly [what: string, text: string, code: ProblemCode, says: RegExp])[] = [
    ['not XML', 'Hickory', 'musicxml', /outside of any element/],
    ['a tag that does not close', edited('</measure>', ''), 'musicxml', /<\/part> closes here, but <measure> is open/],
    ['a broken tag', edited('<voice>', '<voice'), 'musicxml', /A tag is not complete here/],
    ['an entity of its own', edited('Kettle, kettle', '&boom;'), 'musicxml', /character reference/],
    ['another kind of file', '<score-timewise/>', 'musicxml', /begins with <score-timewise>/],
    ['no part', '<score-partwise/>', 'musicxml', /no part/],
    ['a metre that songs have not', edited('<beats>2<', '<beats>5<'), 'musicxml', /metre 5\/4; metres are/],
    ['a pitch outside the key', edited('<step>F</step>\n          <alter>1</alter>', '<step>F</step>'), 'tone-name', /F4 in measure 1 is no tone of the scale of D4/],
    ['a change of metre', FOREIGN.replace('<print new-system="yes"/>', '<attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>'), 'musicxml', /The metre changes in measure 2/],
    ['a bar too long', edited('<duration>480</duration>', '<duration>960</duration>'), 'bar-length', /goes over the bar line/],
    ['only rests', FOREIGN.replaceAll(/<pitch>.*?<\/pitch>/g, '<rest/>'), 'nothing-to-sing', /no notes to sing/],
  ]; // prettier-ignore
  test.each(FAULTS)('%s: is named', (_, text, code, says) => {
    const outcome = readMusicXml(text);
    expect(outcome.ok).toBe(false);
    expect(outcome.problems[0]?.message).toMatch(says);
    expect(outcome.problems[0]?.code).toBe(code);
  });

  test('finds the phrases of a file without our marks by its systems, upbeats with them', () => {
    const plain = (song: Song): string =>
      writeMusicXml(song).replace(/ *<grouping[\s\S]*?(?:\/>|<\/grouping>)\n/g, '');
    const lengths = (song: Song): number[] => song.phrases.map((phrase) => phrase.notes.length);
    for (const song of [KETTLE, FERRY]) expect(lengths(readBack(plain(song)))).toEqual(lengths(song));
  });

  test('keeps its tempo when it was changed there', () => {
    const text = writeMusicXml(FERRY).replace('<sound tempo="156"/>', '<sound tempo="120"/>');
    expect(readBack(text).tempoBpm).toBe(80);
  });
});

describe('the XML reader', () => {
  test('resolves references, CDATA and both kinds of quotes', () => {
    const outcome = readXml(`<a b="1 &lt; 2" c='"'>x &#233;&#x1D11E;<![CDATA[<&>]]><!-- no --><d/></a>`);
    expect(outcome.ok && outcome.value).toMatchObject({
      name: 'a',
      attributes: { b: '1 < 2', c: '"' },
      text: 'x é𝄞<&>',
    });
  });

  test('takes a file of 20,000 nested elements', () => {
    const deep = '<a>'.repeat(20_000) + '</a>'.repeat(20_000);
    expect(readXml(deep).ok).toBe(true);
  });
});
