/**
 * What stands above the letters of a tonic sol-fa text: title, key and speed.
 */
import { readPitch, type Pitch } from '../pitch.ts';

/** True for a text with a line such as `Key D.` and letters between pulse marks below it. */
export function isTonicSolfa(text: string): boolean {
  return KEY_LINE.test(text) && /^[^\n]*[|:!.,][^\n]*\|[ \t\r]*$/m.test(text);
}

const KEY_LINE = /^[ \t]*(?:key|doh is)[ \t]+[A-G][b#]?(?![a-z])/im;

/** Title, key and speed; `M. 112` is the mark of the metronome. */
export interface Header {
  readonly title: string;
  readonly doPitch: Pitch;
  readonly isLah: boolean;
  readonly tempoBpm: number;
  /** Offset behind the key line. */
  readonly end: number;
}

/** Read the header, or null when no line gives the key (`Key F.` or `Doh is F.`). */
export function readHeader(source: string): Header | null {
  const line =
    /^[ \t]*(?:key|doh is)[ \t]+([A-G])[ \t]*(flat|sharp|[b#\u266d\u266f](?![a-z]))?((?:_1|\^1|[\u2081\u00b9])*).*$/im.exec(
      source,
    );
  if (line === null) return null;
  const [whole, letter = '', sign = '', marks = ''] = line;
  const usual = /[AB]/i.test(letter) ? 3 : 4;
  const octave = usual + (marks.match(/\^1|\u00b9/g) ?? []).length - (marks.match(/_1|\u2081/g) ?? []).length;
  const alter = /flat|b|\u266d/i.test(sign) ? 'b' : sign === '' ? '' : '#';
  const doPitch = readPitch(`${letter.toUpperCase()}${alter}${String(octave)}`);
  const tempo = Number(/\bM\.?\s*=?\s*(\d+(?:\.\d+)?)/.exec(whole)?.[1] ?? 112);
  const title = source
    .slice(0, line.index)
    .split(/\r\n|\n|\r/)
    .map((each) => each.trim());
  return doPitch === null
    ? null
    : {
        title: title.filter((each) => each !== '').join(' ') || 'Untitled',
        doPitch,
        isLah: /\blah is\b/i.test(whole),
        tempoBpm: tempo >= 20 && tempo <= 400 ? tempo : 112,
        end: line.index + whole.length,
      };
}
