/**
 * The leader's page read back as a person reads it: bars, beats and lengths to ticks, names to kinds. Knows nothing of
 * how the page is made.
 */

export interface PageRow {
  /** Ticks from the start of the page's count. */
  readonly at: number;
  /** Seconds as printed, in tenths. */
  readonly seconds: number;
  readonly length: number;
  readonly name: string;
  readonly cue: string;
}

export interface PageStep {
  readonly number: number;
  readonly title: string;
  readonly tempo: number;
  readonly rows: readonly PageRow[];
}

export interface Page {
  readonly bars: number;
  readonly seconds: number;
  readonly steps: readonly PageStep[];
}

const NAMES = 'tuning|count-in|LISTEN|YOUR TURN|TOGETHER|ALONE|INSIDE|wait|pause';

export function readPage(text: string): Page {
  const metre = /, (\d+)\/(\d+), [\d, ]+ beats a minute\.$/m.exec(text);
  const beats = Number(metre?.[1]);
  const beatType = Number(metre?.[2]);
  const bar = (beats * 4 * 480) / beatType;
  const beat = beatType === 8 ? 720 : 480;
  const head = /, (\d+) bars?, (\d+:\d\d\.\d) in all\./.exec(text);
  const steps: { number: number; title: string; tempo: number; rows: PageRow[] }[] = [];
  for (const line of text.split('\n')) {
    const step = /^(\d+)\. (.+) \((\d+) beats a minute, \d+:\d\d\.\d\)$/.exec(line);
    if (step !== null)
      steps.push({ number: Number(step[1]), title: step[2] ?? '', tempo: Number(step[3]), rows: [] });
    const row = new RegExp(`^ *(\\S+) +(\\d+:\\d\\d\\.\\d) {3}(.+?) +(${NAMES})(?: +(.*))?$`).exec(line);
    if (row === null) continue;
    const [, place = '', time = '', length = '', name = '', cue = ''] = row;
    steps.at(-1)?.rows.push({
      at: placeTicks(place, bar, beat),
      seconds: seconds(time),
      length: lengthTicks(length, bar, beat),
      name,
      cue,
    });
  }
  return { bars: Number(head?.[1]), seconds: seconds(head?.[2] ?? ''), steps };
}

/** `4`, `4:2`, `4:2+1/2`. */
function placeTicks(text: string, bar: number, beat: number): number {
  const match = /^(\d+)(?::(\d+)(?:\+(\d+)\/(\d+))?)?$/.exec(text);
  if (match === null) throw new Error(`no place: ${text}`);
  const [, bars, beats = '1', over = '0', under = '1'] = match;
  return (Number(bars) - 1) * bar + (Number(beats) - 1) * beat + (Number(over) / Number(under)) * beat;
}

/** `2 bars`, `1 bar 1+1/2 beats`, `3 beats`, `1/2 beat`. */
function lengthTicks(text: string, bar: number, beat: number): number {
  const match = /^(?:(\d+) bars?)? ?(?:(?:(\d+)\+)?(\d+)(?:\/(\d+))? beats?)?$/.exec(text);
  if (match === null) throw new Error(`no length: ${text}`);
  const [, bars = '0', whole = '0', over = '0', under = '1'] = match;
  return Number(bars) * bar + Number(whole) * beat + (Number(over) / Number(under)) * beat;
}

function seconds(text: string): number {
  const [minutes, rest] = text.split(':');
  return Number(minutes) * 60 + Number(rest);
}
