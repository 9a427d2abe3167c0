/**
 * Golden files: what is written now against what was accepted before. `npm run golden` accepts.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';

/** True while `npm run golden` runs. */
export const ACCEPTING: boolean = process.env['GOLDEN'] === 'accept';

/** The accepted bytes of a file; when accepting, these bytes become them. */
export function golden(path: string, now: Uint8Array): Buffer | null {
  if (ACCEPTING) {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, now);
  }
  try {
    return readFileSync(path);
  } catch {
    return null;
  }
}
