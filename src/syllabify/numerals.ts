/**
 * Numbers written in digits, as they are sung: `2` two, `21` twenty-one, `100` one hundred, `1st` first. The printed
 * text under the notes is the words, so that it has as many parts as the voice sings.
 */

const ONES =
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const TENS = '- - twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');
const SCALES = ['', 'thousand', 'million', 'billion'];
const ORDINALS: Readonly<Record<string, string>> = {
  one: 'first',
  two: 'second',
  three: 'third',
  five: 'fifth',
  eight: 'eighth',
  nine: 'ninth',
  twelve: 'twelfth',
};

/**
 * The words of a number.
 *
 * @param digits digits only, commas taken out.
 * @example numberWords('121') // => ['one', 'hundred', 'twenty-one']
 */
export function numberWords(digits: string): readonly string[] {
  if (digits.length > 12 || /^0./.test(digits))
    return Array.from(digits, (digit) => ONES[Number(digit)] ?? digit);
  if (/^1[1-9]\d\d$/.test(digits)) return yearWords(digits);
  const value = Number(digits);
  if (value === 0) return ['zero'];
  const words: string[] = [];
  for (let scale = SCALES.length - 1; scale >= 0; scale--) {
    const group = Math.floor(value / 1000 ** scale) % 1000;
    if (group === 0) continue;
    words.push(...hundreds(group));
    if (scale > 0) words.push(SCALES[scale] ?? '');
  }
  return words;
}

/** Years and the like from 1100 to 1999 are said in two halves: fourteen ninety-two. */
function yearWords(digits: string): readonly string[] {
  const rest = Number(digits.slice(2));
  const tail = rest === 0 ? ['hundred'] : rest < 10 ? ['o', ONES[rest] ?? ''] : hundreds(rest);
  return [...hundreds(Number(digits.slice(0, 2))), ...tail];
}

function hundreds(value: number): readonly string[] {
  const words: string[] = value >= 100 ? [ONES[Math.floor(value / 100)] ?? '', 'hundred'] : [];
  const rest = value % 100;
  if (rest === 0) return words;
  if (rest < 20) return [...words, ONES[rest] ?? ''];
  const tens = TENS[Math.floor(rest / 10)] ?? '';
  return [...words, rest % 10 === 0 ? tens : `${tens}-${ONES[rest % 10] ?? ''}`];
}

/** The words of `1st`, `22nd`, `100th`: the last word becomes its ordinal. */
export function ordinalWords(digits: string): readonly string[] {
  const words = numberWords(digits);
  const last = words.at(-1) ?? '';
  const cut = last.lastIndexOf('-') + 1;
  const stem = last.slice(cut);
  const ordinal =
    ORDINALS[stem] ??
    (stem.endsWith('y') ? `${stem.slice(0, -1)}ieth` : stem.endsWith('t') ? `${stem}h` : `${stem}th`);
  return [...words.slice(0, -1), last.slice(0, cut) + ordinal];
}
