/**
 * Chantwright as a library: the public names, listed by hand.
 */
export { compose, placeRhyme, type Composition, type Origin, type PlacedRhyme } from './compose.ts';
export { checkSong, type CheckOptions, type Departure, type SongCheck } from './check/check-song.ts';
export { checkJson, writeCheck, type CheckAsked } from './check/write-check.ts';
export { wordStress, type StressOf } from './examine.ts';
export { FORMATS, type ExportOptions, type Format, type FormatName } from './export/index.ts';
export { loadLessonMidi, PART_FORMATS, type PartFormat } from './export/part-formats.ts';
export { explainPlacement } from './export/scan-explained.ts';
export { notationOf, scanJson, writeNotation, type ScanJson } from './export/notation.ts';
export { lessonsByStep, type Lesson } from './lesson.ts';
export { matterWith, readYaml, type PlacedYaml } from './front-matter.ts';
export { readLadderFile, readRhymeFile, readWish, settle, type Options, type RhymeFile } from './options.ts';
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
export type { SongDraft } from './read/draft.ts';
export { formOf, type TextForm } from './read/form.ts';
export { readMusicXml } from './read/musicxml.ts';
export { readRhythmNames } from './read/rhythm-names.ts';
export { readSongJson, songLines } from './read/song-json.ts';
export { completeDraft, isOpen, readDrafts, songAsAsked } from './resume.ts';
export { findRhythmNames, rhythmFamilyNames, type RhythmNames } from './rhythm-names.ts';
export type { Rhythm, RhythmNote, RhythmPhrase } from './rhythm.ts';
export type { Rung } from './rung.ts';
export { explainMelody, type PhraseReasons } from './setting/explain.ts';
export { alterations, type Alteration } from './setting/family.ts';
export { VOICES, type VoiceBand } from './setting/keys.ts';
export type { Ladder } from './setting/ladder-file.ts';
export { setMelody, type MelodyOptions } from './setting/melody.ts';
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
export {
  inWords,
  USUAL_LADDER,
  WISH_NAMES,
  type Takes,
  type TextWishName,
  type WishName,
  type Wishes,
} from './wishes.ts';
