/**
 * Packages that are not part of the program and may be missing: where their files are, or what to install.
 */
import { createRequire } from 'node:module';
import type { Problem } from '../index.ts';

/** Path of a file inside an installed package, such as `pdfkit/package.json`; null when it is not there. */
export function installedFile(file: string): string | null {
  try {
    return createRequire(import.meta.url).resolve(file);
  } catch {
    return null;
  }
}

/** What to do about missing packages. */
export function missingPackages(what: string, packages: readonly string[]): Problem {
  const names = packages.map((name) => name.replace(/@[^@/]+$/, ''));
  return {
    code: 'missing-package',
    severity: 'error',
    message: `${what} need ${names.join(', ')}, which ${names.length === 1 ? 'is' : 'are'} not installed.`,
    hint: `Install with: npm install ${packages.join(' ')}`,
  };
}
