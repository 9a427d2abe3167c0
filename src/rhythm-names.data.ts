/**
 * The built-in families of rhythm names; a teacher's own file has the same shape.
 *
 * Sources. ta-tiri: ta, ti-ti, ta-a, tiri-tiri and teem as printed by the International Kodaly Society; tai-ti and the
 * rest are common practice. ta-ti: the North American school form, common practice. takadimi: R. Hoffman, W. Pelto and
 * J. W. White, Journal of Music Theory Pedagogy 10 (1996). counting: common practice; the names of the sixteenths in a
 * compound beat are from memory. glyphs: the Unicode musical symbols; not for speaking.
 */
import type { RhythmNames } from './rhythm-names.ts';

export const RHYTHM_FAMILIES: readonly RhythmNames[] = [
  {
    kind: 'value', name: 'ta-ti',
    words: {
      whole: 'ta-a-a-a', dottedHalf: 'ta-a-a', half: 'ta-a', dottedQuarter: 'tam', quarter: 'ta',
      dottedEighth: 'tim', eighth: 'ti', sixteenth: 'ka', twoEighths: null, twoSixteenths: 'tika',
      compoundTwo: 'tam-am', compoundFour: 'tam-am-am-am', beatRest: 'z',
    },
  },
  {
    kind: 'value', name: 'ta-tiri',
    words: {
      whole: 'ta-a-a-a', dottedHalf: 'ta-a-a', half: 'ta-a', dottedQuarter: 'tai', quarter: 'ta',
      dottedEighth: 'teem', eighth: 'ti', sixteenth: 'ri', twoEighths: null, twoSixteenths: 'tiri',
      compoundTwo: 'tai-ai', compoundFour: 'tai-ai-ai-ai', beatRest: 'z',
    },
  },
  {
    kind: 'place', name: 'takadimi',
    places: { simple: ['ta', 'ka', 'di', 'mi'], compound: ['ta', 'va', 'ki', 'di', 'da', 'ma'] },
  },
  {
    kind: 'place', name: 'counting',
    places: { simple: ['#', 'e', '&', 'a'], compound: ['#', 'ta', 'la', 'te', 'li', 'to'] },
  },
  {
    kind: 'value', name: 'glyphs',
    words: {
      whole: '\u{1D15D}', dottedHalf: '\u{1D15E}.', half: '\u{1D15E}', dottedQuarter: '\u2669.', quarter: '\u2669',
      dottedEighth: '\u266A.', eighth: '\u266A', sixteenth: '\u{1D161}', twoEighths: '\u266B', twoSixteenths: '\u266C',
      compoundTwo: '\u{1D15E}.', compoundFour: '\u{1D15D}.', beatRest: '\u{1D13D}',
    },
  },
];
