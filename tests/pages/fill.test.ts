/**
 * Sheets to fill in: what is hidden is hidden in every return, and nowhere to be read; the key agrees in every blank.
 */
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { describe, expect, test } from 'vitest';
import { barOf, dictationBlanks, fillBlanks, hasLetter } from '../../src/pages/blanks.ts';
import type { PageDocument, PageOptions } from '../../src/pages/index.ts';
import type { Group, Page, TextShape } from '../../src/pages/page.ts';
import { writePdf } from '../../src/pages/pdf.ts';
import { writeHtml, writeSvg } from '../../src/pages/svg.ts';
import type { Song, SongNote } from '../../src/song.ts';
import { faces } from './fonts.ts';
import { songOf } from './songs.ts';
import { make, USUAL } from './workshop.ts';

const notesOf = (song: Song): readonly SongNote[] => song.phrases.flatMap((phrase) => phrase.notes);

async function sheets(song: Song, change: Partial<PageOptions>): Promise<readonly PageDocument[]> {
  const { documents } = await make([song], { kinds: ['fill'], ...change });
  return documents;
}

function groupsOf(document: PageDocument | undefined, role: Group['role']): readonly Group[] {
  return (document?.set.pages ?? []).flatMap((page: Page) =>
    page.groups.filter((group) => group.role === role),
  );
}

function texts(groups: readonly Group[]): readonly string[] {
  return groups
    .flatMap((group) => group.shapes.filter((shape): shape is TextShape => shape.kind === 'text'))
    .map(({ text }) => text);
}

/** Every text that the file carries, wherever it stands: page, title, descriptions. */
async function everythingIn(document: PageDocument | undefined): Promise<string> {
  if (document === undefined) return '';
  const { set } = document;
  const pdf = await getDocument({ data: await writePdf(set, faces), verbosity: 0 }).promise;
  const parts: string[] = [JSON.stringify((await pdf.getMetadata()).info)];
  for (let number = 1; number <= pdf.numPages; number++) {
    const page = await pdf.getPage(number);
    const { items } = await page.getTextContent();
    parts.push(
      items.map((item) => ('str' in item ? item.str : '')).join(' '),
      JSON.stringify(await page.getStructTree()),
    );
  }
  const markup = [writeHtml(set, faces), ...set.pages.map((page) => writeSvg(page, set, faces))].join(' ');
  return [...parts, markup.replace(/base64,[^)]*/g, '')].join('\n');
}

const SONGS = [
  ['goose-in-the-basket.txt', 'so-mi-la'],
  ['doorbell.txt', 'so-mi-la-do'],
  ['red-balloon.txt', 'low-so-low-la'],
  ['eight stanzas', 'so-mi-la'],
] as const;

describe.each(SONGS)('%s on %s', (name, rung) => {
  describe.each(['tones', 'rhythm', 'words'] as const)('with hidden %s', (part) => {
    const hide = { ...USUAL.hide, part };

    test('has the same blanks on the sheet and on the key, and the key fills each of them', async () => {
      const song = await songOf(name, rung);
      const [sheet, key] = await sheets(song, { hide });
      const [open, filled] = [groupsOf(sheet, 'blank'), groupsOf(key, 'blank')];
      expect(open.length).toBeGreaterThan(0);
      expect(filled.map(({ alt }) => alt)).toEqual(open.map(({ alt }) => alt));
      filled.forEach((group, i) => {
        const own = open[i]?.shapes ?? [];
        // the blank itself stands in the same place; the key has the answer besides
        expect(group.shapes.slice(0, own.length)).toEqual(own);
        expect(group.shapes.length).toBeGreaterThan(own.length);
      });
      expect(texts(open)).toEqual([]);
    });

    test('has on the key what the song has', async () => {
      const song = await songOf(name, rung);
      const [, key] = await sheets(song, { hide });
      const { notes } = fillBlanks(song, hide);
      const answers = texts(groupsOf(key, 'blank'));
      const hidden = notesOf(song).filter((note) => notes.has(note));
      if (part === 'tones') expect(answers).toEqual(hidden.map((note) => note.tone));
      if (part === 'words')
        expect(answers.join('')).toBe(
          hidden
            .map((note) => note.syllable?.text ?? '')
            .join('')
            .normalize('NFC'),
        );
      if (part === 'rhythm') expect(answers).toEqual([]);
    });
  });

  test('hides the new tone everywhere, and something else besides', async () => {
    const song = await songOf(name, rung);
    const { notes } = fillBlanks(song, USUAL.hide);
    const letters = notesOf(song).filter(hasLetter);
    const news = letters.filter((note) => note.tone === song.newTone);
    expect(news.length).toBeGreaterThan(0);
    expect(news.filter((note) => !notes.has(note))).toEqual([]);
    expect(letters.some((note) => note.tone !== song.newTone && notes.has(note))).toBe(true);
    const [sheet] = await sheets(song, {});
    const shown = texts(groupsOf(sheet, 'paragraph')).filter((text) => text === song.newTone);
    expect(shown).toEqual([]);
  });

  test('hides a place in every phrase that returns', async () => {
    const song = await songOf(name, rung);
    const first = song.phrases[0];
    const { notes } = fillBlanks(song, { ...USUAL.hide, part: 'tones', bars: [1] });
    const start = (phrase: Song['phrases'][number]): number => phrase.notes[0]?.onset ?? 0;
    for (const phrase of song.phrases) {
      const returns = phrase.form.replace(/'+$/, '') === first?.form.replace(/'+$/, '');
      if (!returns || first === undefined) continue;
      for (const note of first.notes.filter((each) => hasLetter(each) && barOf(song, each) === 1)) {
        const at = note.onset - start(first);
        const twin = phrase.notes.find((each) => hasLetter(each) && each.onset - start(phrase) === at);
        if (twin !== undefined) expect(notes.has(twin)).toBe(true);
      }
    }
  });

  test('never says a hidden word anywhere in the file', async () => {
    const song = await songOf(name, rung);
    const hide = { ...USUAL.hide, part: 'words' } as const;
    const named = { song, rhyme: 'x', name: 'x', source: song.title };
    const { documents } = await make([named], { kinds: ['fill'], hide, versions: 2 });
    for (const [i, sheet] of documents.slice(0, 2).entries()) {
      const { notes } = fillBlanks(song, { ...hide, seed: hide.seed + 7919 * i });
      const words = song.phrases.flatMap((phrase) => {
        const hidden = new Set(
          phrase.notes.filter((note) => notes.has(note)).map((note) => note.syllable?.word),
        );
        return [...hidden].map((word) =>
          phrase.notes
            .filter((note) => note.syllable?.word === word)
            .map((note) => note.syllable?.text ?? '')
            .join(''),
        );
      });
      const all = (await everythingIn(sheet)).toLowerCase();
      // a whole word: `a` is also a letter of the format
      const bare = words
        .map((word) => word.toLowerCase().replace(/[^\p{L}\p{N}]/gu, ''))
        .filter((word) => word.length > 3);
      expect(bare.filter((word) => new RegExp(`(?<![\\p{L}-])${word}(?![\\p{L}-])`, 'u').test(all))).toEqual(
        [],
      );
    }
  });

  test('tells no hidden rhythm by where letters and words stand', async () => {
    const song = await songOf(name, rung);
    const hide = { ...USUAL.hide, part: 'rhythm', bars: [1, 2, 3, 4] } as const;
    const [sheet] = await sheets(song, { hide });
    const { notes } = fillBlanks(song, hide);
    const all = await everythingIn(sheet);
    // the figures that describe the rows in words say only what is shown
    const rows = groupsOf(sheet, 'figure').map((group) => group.alt ?? '');
    expect(groupsOf(sheet, 'blank').length).toBeGreaterThan(0);
    const shown = notesOf(song).filter((note) => !notes.has(note)).length;
    expect(
      rows
        .join(', ')
        .split(', ')
        .filter((word) => word !== '' && word !== 'blank'),
    ).toHaveLength(shown);
    expect(all).not.toContain('undefined');
  });
});

describe('sheets', () => {
  test('differ from one another, and each has its answers on the key', async () => {
    const song = await songOf('doorbell.txt', 'so-mi-la-do');
    const documents = await sheets(song, { versions: 4 });
    expect(documents.map(({ name }) => name)).toEqual(
      [1, 2, 3, 4].map((n) => `song-1.fill-${String(n)}`).concat('song-1.fill-key'),
    );
    const layouts = documents
      .slice(0, 4)
      .map((document) => JSON.stringify(groupsOf(document, 'blank').map(({ shapes }) => shapes)));
    expect(new Set(layouts).size).toBe(4);
    const blanks = documents
      .slice(0, 4)
      .reduce((sum, document) => sum + groupsOf(document, 'blank').length, 0);
    expect(groupsOf(documents[4], 'blank')).toHaveLength(blanks);
  });

  test('are the same for the same seed', async () => {
    const song = await songOf('doorbell.txt', 'so-mi-la-do');
    expect(await sheets(song, { versions: 2 })).toEqual(await sheets(song, { versions: 2 }));
    const other = { ...USUAL.hide, seed: 2 };
    expect(await sheets(song, { versions: 1 })).not.toEqual(await sheets(song, { versions: 1, hide: other }));
  });

  test('say when there are not so many different ones, and when there is nothing to hide', async () => {
    const song = await songOf('doorbell.txt', 'so-mi');
    const bars = { ...USUAL.hide, part: 'words', bars: [1] } as const;
    const few = await make([song], { kinds: ['fill'], hide: bars, versions: 3 });
    expect(few.problems.map(({ code }) => code)).toEqual(['few-versions']);
    const none = await make([song], { kinds: ['fill'], hide: { ...bars, bars: [99] } });
    expect(none.problems.map(({ code }) => code)).toEqual(['nothing-to-hide']);
    expect(none.documents).toEqual([]);
  });

  test('warn of letters that no font has', async () => {
    const song = await songOf('doorbell.txt', 'so-mi');
    const { problems } = await make([song], { kinds: ['words'], title: '歌' });
    expect(problems.map(({ code }) => code)).toEqual(['missing-letter']);
  });
});

describe('a dictation', () => {
  test('hides every tone but the first and its returns, and has no words', async () => {
    const song = await songOf('goose-in-the-basket.txt', 'so-mi-la');
    const { notes } = dictationBlanks(song, USUAL.hide, false);
    const letters = notesOf(song).filter(hasLetter);
    expect(notes.has(letters[0] as SongNote)).toBe(false);
    expect(letters.filter((note) => notes.has(note)).length).toBeGreaterThan(letters.length * 0.75);
    const { documents } = await make([song], { kinds: ['dictation'] });
    expect((await everythingIn(documents[0])).toLowerCase()).not.toContain('wiggle');
    expect(texts(groupsOf(documents[0], 'paragraph'))).not.toContain('goose');
  });
});
