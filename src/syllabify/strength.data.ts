/**
 * How strong words of one syllable are, by the work they do, and how that changes with their place in the line.
 * Which words are weak follows the shares of stressed tokens in published gold scansions (about 33,000 syllables of
 * English verse; see DEVELOPERS.md) and common practice; word lists by grammar, from memory.
 * Numbers are hundredths of log-odds of standing on a beat.
 */

/** Words of one syllable by class; a word that is in none carries meaning. */
export const LITTLE_WORDS = {
  article: 'a an the',
  possessive: 'my your his her its our their thy',
  'linking word': 'and or but nor as than if',
  'question word': 'what which who whom whose where why how',
  'joining word': 'when while though till since that because lest',
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
  title: 'miss mrs mr saint st',
  exclamation: 'o oh ah ho hey hi ha fie lo yes yea nay hush shh',
} as const;

export type LittleClass = keyof typeof LITTLE_WORDS;

/** Words of two syllables and more that do the work of little words. */
export const LITTLE_LONGER_WORDS =
  'upon into over under after before about above below behind beneath beside between along across among around against until unto within without other another because although never ever even away again also either neither both having being going';

/** Adjectives and the like of two syllables that often give way to the noun that follows: `little Miss Muffet`. */
export const LIGHT_LONGER_WORDS =
  'little pretty merry jolly very many any every silly tiny funny happy lucky busy only naughty hungry seven';

/** Strength of each class, before its place is known. */
export const CLASS_STRENGTH = {
  'article': -402,
  'possessive': -235,
  'linking word': -195,
  'joining word': 12,
  'question word': 109,
  'light preposition': -164,
  'preposition': -7,
  'particle': 149,
  'subject pronoun': -165,
  'object pronoun': -162,
  'form of be': -97,
  'helping verb': -50,
  'shortened word': -103,
  'shortened word with not': 82,
  'pointing word': 16,
  'quantity word': 155,
  'number word': 257,
  'light verb': 76,
  'light adjective': 257,
  'title': -55,
  'exclamation': -3,
  'strong word': 231,
  'stressed syllable': 202,
  'stressed syllable of a light word': 3,
  'stressed syllable of a little word': 205,
  'second stress': 0,
  'weak syllable beside the stress': -184,
  'weak syllable apart from the stress': -227,
  'weak syllable of a light word': -312,
  'weak syllable of a little word': -318,
} as const;

export type StrengthClass = keyof typeof CLASS_STRENGTH;

/** What a place in the line adds, for little words, strong words, and syllables of longer words. */
export const PLACE_STRENGTH = {
  'little word, last in the line': 313,
  'little word, before a pause': 145,
  'little word, first in the line': -49,
  'strong word, last in the line': 235,
  'strong word, before a pause': 116,
  'strong word, before a stress': -42,
  'strong word, first in the line': 3,
  'light word, before a stress': -123,
  'number word, before a stress': -26,
  'stressed syllable, last word of the line': 21,
  'stressed syllable, before a stress': -51,
  'weak syllable, last in the line': 153,
  'second stress, last in the line': 147,
} as const;

export type StrengthPlace = keyof typeof PLACE_STRENGTH;
