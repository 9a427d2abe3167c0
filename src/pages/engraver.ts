/**
 * The engraver: verovio, which is loaded here and nowhere else. It takes our MusicXML, rearranged so that each phrase
 * stands on a system of its own, upbeat included.
 */

/** Draws MusicXML as SVG; one for a whole run, since starting it costs more than many songs. */
export interface Engraver {
  /**
   * One long page, one system to each system break.
   * @throws RangeError when the engraver cannot read the music.
   */
  readonly draw: (musicXml: string, options: EngraverOptions) => string;
}

export interface EngraverOptions {
  /** Width of the systems in the engraver's units; a staff space is 180 of them. */
  readonly widthUnits: number;
  /** False leaves each system as wide as its notes need. */
  readonly justified: boolean;
}

/** Start the engraver. */
export async function openEngraver(): Promise<Engraver> {
  const [{ default: createModule }, { enableLog, LOG_OFF, VerovioToolkit }] = await Promise.all([
    import('verovio/wasm'),
    import('verovio/esm'),
  ]);
  const module = await createModule();
  const toolkit = new VerovioToolkit(module);
  // it would print to the terminal; what it says is found out by looking at its drawing
  enableLog(LOG_OFF, module);
  return {
    draw: (musicXml, { widthUnits, justified }) => {
      toolkit.setOptions({
        adjustPageHeight: true,
        breaks: musicXml.includes('<print new-system') ? 'encoded' : 'none',
        footer: 'none',
        header: 'none',
        minLastJustification: 0.4,
        mnumInterval: 0,
        noJustification: !justified,
        pageHeight: 60000,
        pageMarginBottom: 0,
        pageMarginLeft: 0,
        pageMarginRight: 0,
        pageMarginTop: 0,
        pageWidth: Math.round(widthUnits / 10),
        scale: 100,
        svgViewBox: true,
        xmlIdSeed: 1,
      });
      // names inside the drawing are numbered from here, so that a song is drawn alike whatever came before
      toolkit.resetXmlIdSeed(1);
      if (!toolkit.loadData(musicXml)) throw new RangeError('The engraver cannot read this music.');
      return toolkit.renderToSVG(1);
    },
  };
}

/**
 * Our MusicXML as the engraver shall have it: no part name, no tempo (the page has them), solfa letters only when
 * asked for, and a bar that holds the end of one phrase and the upbeat of the next divided between two systems.
 */
export function engraverInput(musicXml: string, options: { readonly letters: boolean }): string {
  const plain = musicXml
    .replace(/<part-name>[^<]*<\/part-name>/, '<part-name/>')
    .replace(/<direction [\s\S]*?<\/direction>/g, '')
    .replace(/<credit [\s\S]*?<\/credit>/g, '')
    .replace(/<identification>[\s\S]*?<\/identification>/, '')
    .replace(/<print new-system="yes"\/>/g, '');
  const letters = options.letters ? plain : plain.replace(/<lyric number="2"[\s\S]*?<\/lyric>/g, '');
  let first = true;
  return letters.replace(
    /<measure number="(\d+)"([^>]*)>([\s\S]*?)<\/measure>/g,
    (_, number: string, rest: string, body: string) => {
      const parts = partsAtPhrases(body);
      return parts
        .map(({ text, startsPhrase }, i) => {
          const breaks = startsPhrase && !first;
          if (startsPhrase) first = false;
          const name =
            i === 0 ? `number="${number}"${rest}` : `number="X${number}-${String(i)}" implicit="yes"`;
          const opening = `<measure ${name}>${breaks ? '<print new-system="yes"/>' : ''}`;
          const open =
            i < parts.length - 1 ? '<barline location="right"><bar-style>none</bar-style></barline>' : '';
          return `${opening}${text}${open}</measure>`;
        })
        .join('');
    },
  );
}

/** A bar's contents, divided where a phrase begins inside it; beams that would cross are divided too. */
function partsAtPhrases(body: string): readonly Part[] {
  const parts = body.split(/(?=<grouping type="start"[^>]*member-of="phrase")/).map((text): Part => ({
    text,
    startsPhrase: text.startsWith('<grouping'),
  }));
  const [head, next, ...others] = parts;
  // clef, key and metre go with the phrase that they stand before
  const joins =
    head !== undefined && next !== undefined && !head.startsPhrase && !head.text.includes('<note');
  return withoutCrossing(joins ? [{ ...next, text: head.text + next.text }, ...others] : parts);
}

interface Part {
  readonly text: string;
  readonly startsPhrase: boolean;
}

function withoutCrossing(parts: readonly Part[]): readonly Part[] {
  if (parts.length < 2) return parts;
  return parts.map(({ text, startsPhrase }) => ({ text: beamsClosed(text), startsPhrase }));
}

/** Beam groups that are cut at either end of the text begin and end inside it; a note left alone has none. */
function beamsClosed(text: string): string {
  const notes = text.split(/(?=<note>)/);
  for (const level of ['1', '2']) {
    const pattern = new RegExp(`<beam number="${level}">(begin|continue|end)</beam>`);
    const states = notes.map((note) => pattern.exec(note)?.[1] ?? null);
    states.forEach((state, i) => {
      if (state === null) return;
      const joinsBefore = state !== 'begin' && i > 0 && (states[i - 1] ?? 'end') !== 'end';
      const joinsAfter = state !== 'end' && i + 1 < states.length && (states[i + 1] ?? 'begin') !== 'begin';
      const now = joinsBefore ? (joinsAfter ? 'continue' : 'end') : joinsAfter ? 'begin' : null;
      const note = notes[i] ?? '';
      const beam = now ?? (level === '1' ? null : hookIn(note));
      notes[i] = note.replace(pattern, beam === null ? '' : `<beam number="${level}">${beam}</beam>`);
    });
  }
  return notes.join('');
}

/** What is left of the second beam of a sixteenth that lost its neighbour: a hook, if the first beam is still there. */
function hookIn(note: string): string | null {
  const first = /<beam number="1">(begin|continue|end)</.exec(note)?.[1];
  if (first === undefined) return null;
  return first === 'begin' ? 'forward hook' : 'backward hook';
}
