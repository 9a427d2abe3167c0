/**
 * What a printer would send back: ink in the margins, words that overlap, words that something else runs through.
 * Measured on the ink of the letters, not on their boxes.
 */
import { overlap, type Box, type Faces } from '../../src/pages/faces.ts';
import { inkBox } from '../../src/pages/outline-bounds.ts';
import type { Page, Shape } from '../../src/pages/page.ts';

interface Inked {
  readonly shape: Shape;
  readonly box: Box;
  readonly role: string;
}

export function pageFaults(page: Page, faces: Faces): readonly string[] {
  const inked: Inked[] = page.groups.flatMap(({ role, shapes }) =>
    shapes.flatMap((shape) => {
      const box = inkBox(shape, faces);
      return box === null ? [] : [{ shape, box, role }];
    }),
  );
  const words = inked.filter(({ shape }) => shape.kind === 'text');
  // an open frame is drawn around things, and a blank's line under them
  const others = inked.filter(
    ({ shape, role }) =>
      shape.kind !== 'text' && !(shape.kind === 'rect' && !shape.filled) && role !== 'blank',
  );
  return [
    ...inked.filter(({ box }) => !isInside(box, page)).map((each) => `outside the margins: ${name(each)}`),
    ...pairs(words).map(([a, b]) => `overlap: ${name(a)} and ${name(b)}`),
    ...words.flatMap((word) =>
      others
        .filter((other) => overlap(word.box, inner(other)))
        .map((other) => `${name(other)} runs through ${name(word)}`),
    ),
  ];
}

const SLACK_MM = 0.01;

function isInside(box: Box, { widthMm, heightMm, margins }: Page): boolean {
  return (
    box.xMm >= margins.leftMm - SLACK_MM &&
    box.yMm >= margins.topMm - SLACK_MM &&
    box.xMm + box.widthMm <= widthMm - margins.rightMm + SLACK_MM &&
    box.yMm + box.heightMm <= heightMm - margins.bottomMm + SLACK_MM
  );
}

function pairs(words: readonly Inked[]): readonly (readonly [Inked, Inked])[] {
  return words.flatMap((a, i) =>
    words.slice(i + 1).flatMap((b) => (overlap(inner(a), inner(b)) ? [[a, b] as const] : [])),
  );
}

/** A little less than the ink: a hair's breadth of touching is none. */
function inner({ box }: Inked): Box {
  const hair = Math.min(0.05, box.widthMm / 4, box.heightMm / 4);
  return {
    xMm: box.xMm + hair,
    yMm: box.yMm + hair,
    widthMm: box.widthMm - 2 * hair,
    heightMm: box.heightMm - 2 * hair,
  };
}

function name({ shape, box }: Inked): string {
  const place = `at ${box.xMm.toFixed(1)},${box.yMm.toFixed(1)}`;
  return shape.kind === 'text' ? `"${shape.text}" ${place}` : `${shape.kind} ${place}`;
}
