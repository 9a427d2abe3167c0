/**
 * What both readers of rhythm give, and how both take a line of rhythm names apart.
 */
import type { Problem } from '../problem.ts';
import type { Ticks } from '../time.ts';
import type { BarText } from './score-divided.ts';
import type { Piece } from './score-text.ts';

/** A note or a rest of a bar. */
export interface Sound {
  /** Ticks from where the bar's content begins. */
  readonly at: Ticks;
  readonly duration: Ticks;
  readonly rest: boolean;
  readonly breath: boolean;
  /** Index of its segment in the bar. */
  readonly segment: number;
  /** The word that stands for it. */
  readonly piece: Piece;
}

/** Reads a bar: its sounds in order, or null when a problem was added. `endTicks` is where a full bar ends. */
export type ReadBar = (bar: BarText, place: BarPlace, problems: Problem[]) => readonly Sound[] | null;

/** What is known of a bar before it is read. */
export interface BarPlace {
  readonly isFirst: boolean;
  /** What the bar should hold; the first bar may hold less, as an upbeat. */
  readonly ticks: Ticks;
}

/** One hyphenated word of a rhythm: `ti` of `ti-ti,`; the comma is a breath. */
export interface Word extends Piece {
  readonly breath: boolean;
}

/** The words of a group that hyphens join; hyphens may be any number. */
export function wordsOfGroup(group: string, start: number): readonly Word[] {
  return [...group.matchAll(/[^-]+/g)].map((match) => {
    const breath = match[0].endsWith(',');
    const text = breath ? match[0].slice(0, -1) : match[0];
    return { text, start: start + match.index, breath };
  });
}

/** The groups of a text that white space divides. */
export function groupsOf(piece: Piece): readonly Piece[] {
  return [...piece.text.matchAll(/\S+/g)].map((match) => ({
    text: match[0],
    start: piece.start + match.index,
  }));
}
