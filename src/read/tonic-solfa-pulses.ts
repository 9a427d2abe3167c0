/**
 * Lines of tonic sol-fa letters as pulses, each with its parts and what stands in them.
 */
import { isTone, type Tone } from '../pitch.ts';
import type { Problem } from '../problem.ts';
import { fault, spanOf, type Piece } from './score-text.ts';

/** A part of a pulse. */
export interface Part {
  /** Its length in quarters of the pulse, 1 to 4. */
  readonly quarters: number;
  /** The tone that begins, `-` when the one before is held, null for silence. */
  readonly sign: Tone | '-' | null;
  /** Index of the line that it stands in. */
  readonly phrase: number;
  /** Letters joined by one slur have the same number; 0 without one. */
  readonly slur: number;
  readonly piece: Piece;
}

/** A pulse; `mark` is the sign in front of it, with `||` read as `|`. */
export interface Pulse {
  readonly mark: '|' | '!' | ':';
  /** Their quarters sum to 4. */
  readonly parts: readonly Part[];
  /** UTF-16 offset of the mark. */
  readonly start: number;
}

/** A part before its length is known. */
interface Draft {
  /** `''` at the start of the pulse. */
  readonly mark: '' | '.' | ',';
  /** True when nothing, not even a blank, stands between its mark and the next. */
  touches: boolean;
  sign: Tone | '-' | null;
  phrase: number;
  slur: number;
  piece: Piece;
}

interface OpenPulse {
  readonly mark: Pulse['mark'];
  readonly parts: Draft[];
  readonly start: number;
}

const TOKEN =
  /(?<bar>\|{1,2}|[!:])|(?<part>[.,])|(?<tone>[a-z]+\u0332*(?:[_^]\u0332*1|[\u2081\u00b9'\u2019\u20321])?)|(?<hold>-)|(?<bracket>[()])|(?<space>\s+)|(?<other>.)/gu;

/** Read all lines as one row of pulses; a line may begin inside a bar, or inside a pulse. Problems: `tone-name`, `rhythm-name`. */
export function readPulses(lines: readonly Piece[], problems: Problem[]): readonly Pulse[] {
  const pulses: OpenPulse[] = [];
  const slurs = { last: 0, open: 0, bracket: false };
  let pendingBar: number | null = null;
  lines.forEach((line, phrase) => {
    const tokens = [...line.text.trimEnd().matchAll(TOKEN)];
    let spaced = true;
    slurs.open = 0;
    slurs.bracket = false;
    tokens.forEach((match, t) => {
      const { bar, part, tone, hold, bracket, space, other } = match.groups ?? {};
      const piece = { text: match[0].replaceAll('\u0332', ''), start: line.start + match.index };
      const isUnder = match[0].includes('\u0332') || line.text[match.index + match[0].length] === '\u0332';
      if (space !== undefined) {
        spaced = true;
        return;
      }
      if (other === '\u0332') return;
      const openHere = (mark: Pulse['mark'], start: number): void => {
        pulses.push({ mark, parts: [newPart('', phrase, piece)], start });
      };
      if (bar !== undefined) {
        const mark = bar.startsWith('|') ? '|' : (bar as '!' | ':');
        if (pendingBar !== null && mark !== '|') openHere('|', pendingBar);
        pendingBar = null;
        // a bar line that ends a line is drawn again at the start of the next
        if (mark === '|' && t === tokens.length - 1) pendingBar = piece.start;
        else openHere(mark, piece.start);
      } else {
        if (pendingBar !== null || pulses.length === 0) openHere('|', pendingBar ?? piece.start);
        pendingBar = null;
      }
      trackSlur(slurs, { bracket, isUnder });
      const pulse = pulses.at(-1);
      const last = pulse?.parts.at(-1);
      if (part !== undefined && pulse !== undefined && last !== undefined) {
        last.touches = !spaced && last.sign === null && last.mark !== '';
        pulse.parts.push(newPart(part as '.' | ',', phrase, piece));
      } else if ((tone !== undefined || hold !== undefined) && last !== undefined) {
        if (last.sign !== null) problems.push(crowded(piece));
        last.sign = hold === undefined ? readTone(piece, problems) : '-';
        last.phrase = phrase;
        last.piece = piece;
        last.slur = slurs.open;
      } else if (other !== undefined) {
        problems.push(fault('tone-name', `"${other}" is no sign of this notation.`, spanOf(piece), SIGNS));
      }
      if (bracket === ')') slurs.open = 0;
      spaced = false;
    });
  });
  return pulses.map((pulse) => ({ mark: pulse.mark, start: pulse.start, parts: lengthsOf(pulse, problems) }));
}

const SIGNS = 'Letters are d r m f s l t; marks are | ! : . , and - to hold on.';

function newPart(mark: Draft['mark'], phrase: number, piece: Piece): Draft {
  return { mark, touches: false, sign: null, phrase, slur: 0, piece };
}

function trackSlur(
  slurs: { last: number; open: number; bracket: boolean },
  is: { bracket: string | undefined; isUnder: boolean },
): void {
  if (is.bracket === '(') {
    slurs.open = slurs.last += 1;
    slurs.bracket = true;
  } else if (is.bracket === ')') {
    slurs.bracket = false;
  } else if (!slurs.bracket && is.isUnder && slurs.open === 0) {
    slurs.open = slurs.last += 1;
  } else if (!slurs.bracket && !is.isUnder) {
    slurs.open = 0;
  }
}

/** Octaves: `₁` `_1` and a bare 1 lower, `¹` `^1` and an apostrophe raise. */
function readTone(piece: Piece, problems: Problem[]): Tone | null {
  const text = piece.text
    .replace(/(?:_1|\u2081|(?<=[a-z])1)$/u, ',')
    .replace(/(?:\^1|\u00b9|\u2019|\u2032)$/u, "'");
  if (isTone(text)) return text;
  const hint = /^[drmfslt][ae]$|^ba$/.test(text)
    ? 'Songs have no sharpened or flattened tones.'
    : 'A letter is d, r, m, f, s, l or t, with \u2081 below or \u00b9 above.';
  problems.push(fault('tone-name', `"${piece.text}" is not a tone of a song.`, spanOf(piece), hint));
  return null;
}

function crowded(piece: Piece): Problem {
  const hint = 'Divide the pulse by a dot for halves, commas for quarters: s.s or s,s.s,s';
  return fault(
    'rhythm-name',
    `"${piece.text}" follows another letter with no mark between.`,
    spanOf(piece),
    hint,
  );
}

/** Where each part stands in its pulse, in quarters: a dot at 2, a comma at 1 or 3. */
function lengthsOf(pulse: OpenPulse, problems: Problem[]): readonly Part[] {
  const drafts = pulse.parts;
  const places: number[] = [];
  drafts.forEach((draft, i) => {
    const half = drafts.slice(0, i + 1).some((each) => each.mark === '.');
    const place = draft.mark === '' ? 0 : draft.mark === '.' ? 2 : half ? 3 : 1;
    if (i > 0 && place <= (places[i - 1] ?? 0)) {
      const message = `The mark "${draft.mark}" has no place here: a pulse has one dot, and a comma before and behind it.`;
      problems.push(
        fault('rhythm-name', message, spanOf(draft.piece), 'Whole pulses are divided by colons.'),
      );
    }
    places.push(place);
  });
  return drafts.map((draft, i): Part => {
    const next = drafts[i + 1];
    const before = drafts[i - 1];
    let { sign } = draft;
    // `s.,l`: the dot is touched by the comma, and the note goes on; `s,.l`: the second note begins at the comma
    if (draft.touches && draft.mark === '.') sign = '-';
    if (draft.touches && draft.mark === ',') sign = next?.sign ?? null;
    if (before?.touches === true && before.mark === ',') sign = '-';
    const quarters = Math.max(1, (places[i + 1] ?? 4) - (places[i] ?? 0));
    return { quarters, sign, phrase: draft.phrase, slur: draft.slur, piece: draft.piece };
  });
}
