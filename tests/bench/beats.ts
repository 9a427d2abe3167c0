/**
 * bench:beats FILE... : how well the words fall on the beats of known placements. Prints figures and every miss.
 */
import { readFileSync } from 'node:fs';
import { writeBeatMarks } from '../../src/beat-marks.ts';
import { placeBeats } from '../../src/setting/placement.ts';
import { openLexicon, readVerse } from '../../src/syllabify/index.ts';
import { readCases, type KnownCase, type KnownForm } from './beats-data.ts';
import { report, scoreCase, type CaseFigure } from './beats-score.ts';

const paths = process.argv.slice(2).filter((arg) => !arg.startsWith('--'));
const quiet = process.argv.includes('--quiet');
const lexicon = openLexicon(readFileSync('dist/pronunciations.bin'));

const figures = new Map<KnownCase['kind'], CaseFigure[]>();
for (const known of readCases(paths)) {
  const verse = readVerse(known.text, { lexicon });
  if (!verse.ok) throw new Error(JSON.stringify(verse.problems));
  const placed = placeBeats(verse.value, { beatClass: null, beats: null });
  if (!placed.ok) throw new Error(JSON.stringify(placed.problems));
  const figure = scoreCase(known, placed.value);
  figures.set(known.kind, [...(figures.get(known.kind) ?? []), figure]);
  if (quiet) continue;
  const tactus = known.tactus.find(({ name }) => name === figure.tactus);
  if (figure.metre === false)
    console.log(`${known.id}: is ${known.beatClass}, placed as ${placed.value.beatClass}`);
  figure.lines.forEach((line, i) => {
    if (line.right) return;
    const placedLine = placed.value.lines[i];
    const marks =
      placedLine === undefined
        ? ''
        : writeBeatMarks({ ...placedLine, ticksPerBeat: placed.value.ticksPerBeat });
    const form = tactus?.lines[i]?.forms[0];
    console.log(
      `${known.id} ${String(i + 1)} ${placed.value.beatClass} ${figure.tactus}\n   known  ${form === undefined ? '' : show(form)}\n   placed ${marks}${line.countWrong ? '   (count)' : ''}`,
    );
  });
}
for (const [kind, list] of figures)
  console.log(report(kind === 'verse' ? 'Traditional rhymes' : 'Song books', list));

function show({ syllables }: KnownForm): string {
  let beat = -1;
  return syllables
    .map(({ text, on, beat: at }) => {
      if (!on || at === null) return text;
      const empty = ' |-'.repeat(Math.max(0, Math.min(9, at - beat - 1)));
      beat = at;
      return `${empty} |${text}`.trim();
    })
    .join(' ');
}
