/** The published aggregate figures (bands as JSON, tables as Markdown), read from files given by path; never shipped. */
import { readFileSync } from 'node:fs';
import type { Shares } from './tune-features.ts';

export interface Bands {
  readonly cross_entropy: Readonly<
    Record<
      string,
      {
        readonly known_set: {
          readonly bits: Readonly<
            Record<string, { readonly per_song_p10: number; readonly p50: number; readonly p90: number }>
          >;
        };
      }
    >
  >;
  readonly bands: Readonly<
    Record<
      string,
      {
        readonly bands: Readonly<
          Record<string, { readonly p5: number; readonly p50: number; readonly p95: number }>
        >;
        readonly split_half_js_bits: Readonly<
          Record<string, { readonly median: number; readonly p95: number }>
        >;
      }
    >
  >;
}

export function readBands(path: string): Bands {
  return JSON.parse(readFileSync(path, 'utf8')) as Bands;
}

/** Distributions of each class by name, as percentages or counts. */
export function readTables(path: string): ReadonlyMap<string, ReadonlyMap<string, Shares>> {
  const text = readFileSync(path, 'utf8');
  const classes = new Map<string, Map<string, Shares>>();
  const put = (name: string, kind: string, shares: Shares): void => {
    const known = classes.get(name) ?? new Map<string, Shares>();
    classes.set(name, known);
    known.set(kind, shares);
  };
  const section = (n: number): string =>
    text.split(/^## /m).find((part) => part.startsWith(`${String(n)}.`)) ?? '';
  const rows = (block: string): string[][] =>
    block
      .split('\n')
      .filter((line) => line.startsWith('|') && !/^\|[-| ]+\|$/.test(line))
      .map((line) =>
        line
          .split('|')
          .slice(1, -1)
          .map((cell) => cell.trim()),
      );

  for (const block of section(4).split('**children_all/').slice(1)) {
    const name = /^\w+/.exec(block)?.[0] ?? '';
    const [head = [], ...lines] = rows(block.split('\n\n').slice(0, 2).join('\n'));
    const shares = new Map<string, number>();
    for (const line of lines) {
      const n = Number(line.at(-1));
      head
        .slice(1, -1)
        .forEach((to, i) => shares.set(`${line[0] ?? ''} ${to}`, (Number(line[i + 1]) * n) / 100));
    }
    put(name, 'transition', shares);
  }
  for (const block of section(5).split('**children_all/').slice(1)) {
    const name = /^\w+/.exec(block)?.[0] ?? '';
    const [head = [], ...lines] = rows(block.split('\n\n').slice(0, 2).join('\n'));
    const places = new Map<string, number>();
    // Weight of each place, from P(strong | degree) and the share of the degree among all notes.
    const row = (label: string): number[] => (lines.find((l) => l[0] === label) ?? []).slice(1).map(Number);
    const all = row('all notes');
    const strongOf = row('P(strong given degree)');
    const strong = all.reduce((sum, share, i) => sum + (share * (strongOf[i] ?? 0)) / 10000, 0);
    put(name, 'degree', new Map(head.slice(1).map((tone, i) => [tone, all[i] ?? 0])));
    for (const [label, place, weight] of [
      ['strong', 'strong', strong],
      ['weak beat', 'weak', (1 - strong) * 0.5],
      ['off beat', 'off', (1 - strong) * 0.5],
    ] as const) {
      head.slice(1).forEach((tone, i) => places.set(`${place} ${tone}`, (row(label)[i] ?? 0) * weight));
    }
    put(name, 'degree_strength', places);
  }
  for (const row of rows(section(3))) {
    const name = /^children_all\/(\w+) in$/.exec(row[0] ?? '')?.[1];
    if (name !== undefined && row.length === 9) {
      put(name, 'interval', new Map(row.slice(1).map((cell, i) => [String(i), Number(cell)])));
    }
    const repeats = /^children_all\/(\w+)$/.exec(row[0] ?? '')?.[1];
    if (repeats !== undefined && row.length === 5) {
      put(
        repeats,
        'repeat_rates',
        new Map([
          ['strong', Number(row[1])],
          ['weak', Number(row[3])],
          ['off', Number(row[4])],
        ]),
      );
    }
  }
  for (const row of rows(section(6))) {
    const name = /^children_all\/(\w+)$/.exec(row[0] ?? '')?.[1];
    if (name !== undefined && row.length === 6 && /[drmfslt]/.test(row[2] ?? '')) {
      put(name, 'phrase_final', listed(row[2] ?? ''));
      put(name, 'song_initial', listed(row[1] ?? ''));
      put(name, 'last_move', listed(row[4] ?? ''));
    }
  }
  for (const row of rows(section(7))) {
    const name = /^children_all\/(\w+)$/.exec(row[0] ?? '')?.[1];
    if (name !== undefined && row.length === 12) {
      const types = [
        'convex',
        'descending',
        'ascending',
        'concave',
        'horizontal-descending',
        'ascending-horizontal',
        'horizontal',
        'horizontal-ascending',
        'descending-horizontal',
      ];
      put(name, 'contour', new Map(types.map((type, i) => [type, Number(row[i + 3])])));
    }
  }
  return classes;
}

/** `m 87, s 5` */
function listed(cell: string): Shares {
  return new Map(
    cell.split(',').reduce<[string, number][]>((list, part) => {
      // A low tone carries a comma of its own: `s, 19` comes in two parts.
      const match = /^\s*(\S+?)?\s+(\d+)$/.exec(part);
      if (match?.[1] !== undefined) list.push([match[1], Number(match[2])]);
      else if (match !== null && list.length > 0)
        list.push([pending(cell, Number(match[2])), Number(match[2])]);
      return list;
    }, []),
  );
}

function pending(cell: string, n: number): string {
  return new RegExp(`([^\\s,]+,) ${String(n)}(?!\\d)`).exec(cell)?.[1] ?? '?';
}
