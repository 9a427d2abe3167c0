/** Takes a score file apart with the yaml package, as the command line does. */
import { isMap, isScalar, parseDocument } from 'yaml';
import type { ScoreText } from '../../src/read/score.ts';

export function scoreFile(text: string): ScoreText {
  const match = /^---\n([\s\S]*?)^---\n/m.exec(text);
  const matter = match?.[1] ?? '';
  const offset = match?.[0].length ?? 0;
  const document = parseDocument(matter);
  if (document.errors.length > 0) throw new Error(document.errors[0]?.message);
  const spans: Record<string, { start: number; end: number }> = {};
  if (isMap(document.contents)) {
    for (const { key, value } of document.contents.items) {
      const node = (value ?? key) as { range?: [number, number, number] };
      const [start = 0, end = 0] = node.range ?? [];
      if (isScalar(key)) spans[String(key.value)] = { start: start + 4, end: end + 4 };
    }
  }
  return { values: document.toJS() as Record<string, unknown>, spans, body: text.slice(offset), offset };
}
