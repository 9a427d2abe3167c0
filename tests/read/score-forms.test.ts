/** One worked example for each construct of the score form, typed as a teacher would. */
import { describe, expect, test } from 'vitest';
import { readScore } from '../../src/read/score.ts';

/** Tone, length in ticks and syllable of each note; `z` a rest, `~` tied on, `(` and `)` a slur, `,` a breath. */
function heard(metre: string, lines: readonly string[]): string {
  const outcome = readScore({
    values: { score: 'chantwright 1', metre },
    spans: {},
    offset: 0,
    body: lines.join('\n'),
  });
  if (!outcome.ok) throw new Error(outcome.problems.map((problem) => problem.message).join('\n'));
  return outcome.value.phrases
    .map((phrase) =>
      phrase.notes
        .map((note) => {
          const tie = note.tie === 'stop' || note.tie === 'both' ? '~' : '';
          const [open, close] = [note.slur === 'start' ? '(' : '', note.slur === 'stop' ? ')' : ''];
          const word = note.syllable === null ? '' : `=${note.syllable.text}`;
          return `${tie}${open}${note.tone ?? 'z'}${String(note.duration)}${close}${note.breath === true ? ',' : ''}${word}`;
        })
        .join(' '),
    )
    .join(' / ');
}

describe('the score form', () => {
  test.each([
    ['a quarter and two eighths', '2/4', '| ta ti-ti ||', '| s m m ||', '| One red hen ||', 's480=One m240=red m240=hen'],
    ['rests', '2/4', '| ta z | z-z | ta ti-(ti) ||', '| s | | s s ||', '| a | | b c ||', 's480=a z480 z960 s480=b s240=c z240'],
    ['long notes', '4/4', '| ta-a-a ta | ta-a ta-a | ta-a-a-a ||', '| m s | m s | m ||', '| a b | c d | e ||', 'm1440=a s480=b m960=c s960=d m1920=e'],
    ['dotted quarter, syncopation', '2/4', '| tam-ti | ti-ta-ti ||', '| s m | s l s ||', '| late owl | a round bun ||', 's720=late m240=owl s240=a l480=round s240=bun'],
    ['sixteenths', '2/4', '| tika-tika ti-tika | tika-ti ta ||', '| ssss sll | sss m ||', '| a b c d e f g | h i j k ||', 's120=a s120=b s120=c s120=d s240=e l120=f l120=g s120=h s120=i s240=j m480=k'],
    ['dotted eighths', '2/4', '| tim-ka ka-tim ||', '| s m s m ||', '| hop it hop it ||', 's360=hop m120=it s120=hop m360=it'],
    ['six-eight', '6/8', '| ti-ti-ti ta-ti | tam tam | tam-am ||', '| sss sm | s s | m ||', '| a b c d e | f g | h ||', 's240=a s240=b s240=c s480=d m240=e s720=f s720=g m1440=h'],
    ['a slur', '2/4', '| ti-ti ta ||', '| (s l) s ||', '| moon light ||', '(s240=moon l240) s480=light'],
    ['a slur over a bar line', '2/4', '| ta ta | ta ta ||', '| s (s | l) s ||', '| new moon | light ||', 's480=new (s480=moon l480) s480=light'],
    ['a tie over a bar line', '2/4', '| ta ta | ta ta ||', '| s m | - s ||', '| so long | now ||', 's480=so m480=long ~m480 s480=now'],
    ['breaths', '2/4', '| ta, ti-ti, ||', '| s m s ||', '| hey ho hey ||', 's480,=hey m240=ho s240,=hey'],
    ['octaves', '2/4', "| ta ta ||", "| l, d' ||", '| down up ||', "l,480=down d'480=up"],
    ['an upbeat, which the last bar completes', '2/4', 'ti | ta ta | ta (ti) ||', 's | m m | m ||', 'The | cat sat | on ||', 's240=The m480=cat m480=sat m480=on z240'],
    ['a divided word, three ways', '3/4', '| ti-ti ti-ti ti-ti ||', '| sm sm sm ||', '| ket- tle ket-tle ket - tle ||', 's240=ket m240=tle s240=ket m240=tle s240=ket m240=tle'],
    ['a hyphen of the word, a kept character', '2/4', '| ti-ti ta ||', '| s m s ||', '| Bo-- Peep a\\|b ||', 's240=Bo- m240=Peep s480=a|b'],
    ['a rest marked under the rest, a line under a held note', '2/4', '| ta z | ta-a ||', '| s z | m ||', '| hush | now __ ||', 's480=hush z480 m960=now'],
  ])('%s', (_, metre, rhythm, letters, words, wanted) => {
    expect(heard(metre, [rhythm, letters, words])).toBe(wanted);
  }); // prettier-ignore

  test('a line that ends inside a bar, and the next that begins there', () => {
    const lines = [
      'ti | ta ta | ta (ti)',
      's | m m | m',
      'The | cat sat | on',
      '',
      'ti | ta ta | ta (ti) ||',
      's | d d | d ||',
      'the | wool mat | there ||',
    ];
    expect(heard('2/4', lines)).toBe(
      's240=The m480=cat m480=sat m480=on z240 / s240=the d480=wool d480=mat d480=there z240',
    );
  });

  test('names by place: a held beat, a beat that begins held, a silent place', () => {
    const outcome = readScore({
      values: { score: 'chantwright 1', metre: '2/4', names: 'takadimi' },
      spans: {},
      offset: 0,
      body: '| ta - | ta -di | ta-(di) ta-ka-di-mi ||\n| s | s m | s sssm ||\n| a | b c | d e f g h ||',
    });
    expect(outcome.ok && outcome.value.phrases[0]?.notes.map((note) => note.duration)).toEqual([
      960, 720, 240, 240, 240, 120, 120, 120, 120,
    ]);
  });

  test('settings are those of a rhyme file, the rest is what is usual', () => {
    const outcome = readScore({
      values: { score: 1, metre: '2/4', title: 7, do: 'Eb4', tempo: 96 },
      spans: {},
      offset: 0,
      body: '| ta ta ||\n| s m ||\n| a b ||',
    });
    expect(outcome).toMatchObject({
      ok: true,
      value: { title: '7', do: 'Eb4', tempoBpm: 96, rung: 'own', home: 'd', tones: 'm s' },
    });
  });
});
