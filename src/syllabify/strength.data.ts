/**
 * How strong words of one syllable are, by the work they do, and how that changes with their place in the line.
 * Which words are weak follows the shares of stressed tokens in published gold scansions (about 33,000 syllables of
 * English verse; see DEVELOPERS.md) and common practice; word lists by grammar, from memory.
 * Numbers are hundredths of log-odds of standing on a beat.
 */

/** Words of one syllable by class; a word that is in none carries meaning. */
export const LITTLE_WORDS = {
  article: 'a an the',
  possessive: "my your his her its our their thy whose ye're",
  'linking word': 'and or but nor as than if',
  'joining word': 'when while where though till since that which who whom how what why because lest',
  'light preposition': 'of to at for from with by',
  preposition: 'in on through past near round like till',
  particle: 'up down out off back by over away',
  'subject pronoun': 'i he she it we they you ye thou',
  'object pronoun': 'me him us them thee',
  'form of be': "is am are was were be been 's 're",
  'helping verb':
    'has have had do does did can could will would shall should may might must doth dost hath hast wilt shalt art wert',
  'shortened word':
    "i'll he'll she'll we'll they'll you'll it'll i'm i've you've we've they've i'd he'd she'd we'd they'd you'd he's she's it's we're they're you're that's there's here's what's who's where's how's let's 'tis 'twas 'twere 'twill 'em",
  'shortened word with not': "can't don't won't shan't ain't aren't weren't",
  'pointing word': 'this these those there here then now so thus',
  'quantity word': 'all some more most no not none each both such much few any own same just yet still quite too once',
  'number word': 'one two three four five six eight nine ten twelve',
  'light verb':
    'come came go goes went gone get got let lets put see saw said says say make made take took give gave run ran sat stood bring brought find found know knew think thought want lost lived fell tell told keep kept hear heard call called look looked',
  'light adjective':
    'good big old poor fine great small black white red blue green brown grey wee sweet dear fat long tall young new nice fair high low bright soft warm cold hot wise bold proud brave sad mad glad round wild',
  exclamation: 'o oh ah ho hey hi ha fie lo yes yea nay hush shh',
} as const;

export type LittleClass = keyof typeof LITTLE_WORDS;

/** Words of two syllables and more that do the work of little words. */
export const LITTLE_LONGER_WORDS =
  'upon into over under after before about above below behind beneath beside between along across among around against until unto within without any every many very other another because although little only never ever even over away again also either neither both having being going';

/** Strength of each class, before its place is known. */
export const CLASS_STRENGTH = {
  article: -375,
  possessive: -250,
  'linking word': -200,
  'joining word': 53,
  'light preposition': -154,
  preposition: 22,
  particle: 46,
  'subject pronoun': -173,
  'object pronoun': -156,
  'form of be': -140,
  'helping verb': -177,
  'shortened word': -91,
  'shortened word with not': 61,
  'pointing word': -50,
  'quantity word': 45,
  'number word': 221,
  'light verb': 71,
  'light adjective': 77,
  exclamation: -17,
  'strong word': 242,
  'stressed syllable': 163,
  'stressed syllable of a little word': 62,
  'second stress': 3,
  'weak syllable beside the stress': -152,
  'weak syllable apart from the stress': -188,
  'weak syllable of a little word': -221,
} as const;

export type StrengthClass = keyof typeof CLASS_STRENGTH;

/** What a place in the line adds, for little words, strong words, and syllables of longer words. */
export const PLACE_STRENGTH = {
  'little word, last in the line': 219,
  'little word, before a pause': 118,
  'little word, first in the line': 30,
  'strong word, last in the line': 145,
  'strong word, before a pause': 63,
  'strong word, before a stress': 10,
  'strong word, first in the line': 11,
  'stressed syllable, last word of the line': 12,
  'stressed syllable, before a stress': -39,
  'weak syllable, last in the line': 88,
  'weak syllable, before a weak syllable': 20,
} as const;

export type StrengthPlace = keyof typeof PLACE_STRENGTH;
