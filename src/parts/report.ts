/**
 * What was tried and why, as plain text for the teacher: every canon entry, where a drone rubs, what a second voice was
 * charged for, which songs go together.
 */
import type { Song } from '../song.ts';
import { bestEntry, canonEntries, namedClashes, type CanonEntry } from './canon.ts';
import { droneClashes } from './drone.ts';
import { bestOstinato } from './ostinato.ts';
import { judgePartner, type PartnerVerdict } from './partner.ts';
import { SECOND_RULES, type SecondRule } from './second-costs.ts';
import { bestSecond } from './second.ts';
import type { PartWish } from './wishes.ts';

/** Report on what is wanted of one song, a paragraph for each part. */
export function reportParts(song: Song, wishes: readonly PartWish[]): string {
  const paragraphs = wishes.map((wish) => {
    switch (wish.kind) {
      case 'drone':
        return droneReport(song);
      case 'ostinato':
        return ostinatoReport(song);
      case 'canon':
        return canonReport(song, wish.voices);
      case 'second':
        return secondReport(song);
      case 'partner':
        return '';
    }
  });
  return `${song.title} (${song.rung})\n\n${paragraphs.join('\n\n')}\n`;
}

function canonReport(song: Song, voices: number): string {
  const entries = canonEntries(song, voices);
  const best = bestEntry(entries);
  if (best === null) return `Canon for ${String(voices)} voices: the song is too short.`;
  const rows = entries.map((entry) => `${entry === best ? '*' : ' '} ${entryRow(entry)}`);
  return [`Canon for ${String(voices)} voices; * is the entry to take`, ...rows].join('\n');
}

function entryRow({ beats, clashes, unisons, together, sharedEnds, cost }: CanonEntry): string {
  const strong = clashes.filter((clash) => clash.strong);
  const counts = [
    `${String(strong.length)} strong and ${String(clashes.length - strong.length)} weak clashes`,
    `${String(unisons)} of ${String(together)} beats in unison`,
    `${String(sharedEnds)} shared phrase ends`,
  ];
  const named = strong.length === 0 ? '' : `\n      ${namedClashes(strong)}`;
  return `${String(beats).padStart(2)} ${beats === 1 ? 'beat ' : 'beats'}  cost ${String(cost).padStart(4)}  ${counts.join(', ')}${named}`;
}

function droneReport(song: Song): string {
  const clashes = droneClashes(song);
  if (clashes.length === 0) return 'Drone: it suits this tune.';
  const why = { 'strong-beat': 'on a strong beat', 'goes-on': 'going on', 'phrase-end': 'ending a phrase' };
  const rows = clashes.map(
    ({ bar, beat, tone, why: reason }) => `  bar ${String(bar)} beat ${String(beat)}: ${tone} ${why[reason]}`,
  );
  return ['Drone: it rubs here, so it is changed to two chords', ...rows].join('\n');
}

function ostinatoReport(song: Song): string {
  const best = bestOstinato(song);
  if (best === null) return 'Ostinato: no stretch of whole words in whole bars.';
  const words = best.figure.notes.map(({ syllable }) => syllable?.text ?? '').join(' ');
  return `Ostinato: ${words} on ${best.tones.join(' ')} (cost ${String(best.cost)})`;
}

function secondReport(song: Song): string {
  const second = bestSecond(song);
  if (second === null) return 'Second voice: the tune sings tones that its rung has not.';
  const rows = (Object.keys(SECOND_RULES) as SecondRule[]).flatMap((rule) => {
    const times = second.ledger.filter((charge) => charge.rule === rule).length;
    return times === 0 ? [] : [`  ${rule.padEnd(22)} ${String(times)} x ${String(SECOND_RULES[rule])}`];
  });
  return [`Second voice ${second.side} the tune: cost ${String(second.cost)}`, ...rows].join('\n');
}

/** Which songs go with which, the best pair first; then those that cannot, with the reason. */
export function reportPartners(songs: readonly Song[]): string {
  const pairs = songs.flatMap((song, i) =>
    songs.slice(i + 1).map((other) => ({ song, other, verdict: judgePartner(song, other) })),
  );
  const fitting = pairs.filter(({ verdict }) => verdict.hindrance === null);
  fitting.sort((a, b) => a.verdict.cost - b.verdict.cost);
  const rows = fitting.map(
    ({ song, other, verdict }) => `  ${pairName(song, other)}: ${verdictText(verdict)}`,
  );
  const lone = songs.filter((song) => !fitting.some((pair) => pair.song === song || pair.other === song));
  const none =
    lone.length === 0 ? [] : ['', 'No partner here', ...lone.map((song) => `  ${song.title} (${song.rung})`)];
  const heading =
    rows.length === 0 ? 'No two of these songs go together.' : 'Partner songs, those that fit best first';
  return `${[heading, ...rows, ...none].join('\n')}\n`;
}

function pairName(song: Song, other: Song): string {
  return `${song.title} (${song.rung}) and ${other.title} (${other.rung})`;
}

function verdictText({ clashes, cost }: PartnerVerdict): string {
  const strong = clashes.filter((clash) => clash.strong).length;
  const weak = clashes.length - strong;
  return clashes.length === 0
    ? `nothing rubs (cost ${String(cost)})`
    : `${String(strong)} strong and ${String(weak)} weak clashes (cost ${String(cost)})`;
}
