/**
 * Chantwright as a library: the public names, listed by hand.
 */
export { compose, placeRhyme, type Composition, type PlacedRhyme } from './compose.ts';
export { FORMATS, type Format, type FormatName } from './export/index.ts';
export { loadLessonMidi, PART_FORMATS, type PartFormat } from './export/part-formats.ts';
export { notationOf, scanJson, writeNotation, type ScanJson } from './export/notation.ts';
export { lessonsByStep, type Lesson } from './lesson.ts';
export {
  matterWith,
  readRhymeFile,
  readWish,
  readYaml,
  settle,
  type Options,
  type RhymeFile,
} from './options.ts';
export { openEngraver, type Engraver } from './pages/engraver.ts';
export type { Faces } from './pages/faces.ts';
export { makePages, PAGE_KINDS, type MadePages, type PageDocument, type PageKind } from './pages/index.ts';
export type { PageOptions, PageSong, PageTools } from './pages/index.ts';
export type { HideWishes } from './pages/blanks.ts';
export { FACE_NAMES, type FaceName, type Page, type PageSet } from './pages/page.ts';
export { writePdf } from './pages/pdf.ts';
export { writeHtml, writeSvg } from './pages/svg.ts';
export { openTypeface, type Typeface } from './pages/typeface.ts';
export { addPartner } from './parts/partner.ts';
export { reportPartners, reportParts } from './parts/report.ts';
export { addParts, readPartWishes, type PartWish } from './parts/wishes.ts';
export type { Part, PartNote, SongWithParts } from './parts.ts';
export { pitchName, pitchOf, readPitch, type Pitch, type Tone } from './pitch.ts';
export type { PlacedLine, Placement } from './placement.ts';
export { writeLeaderPage } from './practice/leader-page.ts';
export { makeLesson } from './practice/make-lesson.ts';
export { PLAN_NAMES, planNamed, readPlan, type Plan, type PlanStep } from './practice/plan.ts';
export { andThen, failed, made, PROBLEM_CODES } from './problem.ts';
export type { Outcome, Problem, ProblemCode, Severity } from './problem.ts';
export { readMusicXml } from './read/musicxml.ts';
export { readSongJson, songLines } from './read/song-json.ts';
export type { Rhythm, RhythmNote, RhythmPhrase } from './rhythm.ts';
export type { Rung } from './rung.ts';
export { setMelody } from './setting/melody.ts';
export { placeBeats } from './setting/placement.ts';
export { RHYTHM_LADDER, VALUE_LABELS, type RhythmRung } from './setting/rhythm-ladder.ts';
export { setRhythm } from './setting/rhythm.ts';
export { findRung, RUNGS } from './setting/rungs.ts';
export { PLAIN, showProblem, type Paint, type Source } from './show-problem.ts';
export type { Song, SongNote, SongPhrase } from './song.ts';
export { loadMp3Writer, type Mp3Writer } from './sound/mp3.ts';
export type { SoundOptions } from './sound/render.ts';
export { wavPieces } from './sound/wav.ts';
export { nearest } from './suggest.ts';
export { openLexicon, readVerse, type Lexicon } from './syllabify/index.ts';
export { METRES, type Metre, type MetreName } from './time.ts';
export type { Line, Verse } from './verse.ts';
export { inWords, WISH_NAMES, type Takes, type TextWishName, type WishName, type Wishes } from './wishes.ts';
