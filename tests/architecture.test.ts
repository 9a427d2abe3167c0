/**
 * What may import what, and what the pure part of the program may not touch. Read from the sources with the
 * TypeScript parser, so that a comment or a string is never taken for code.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';

const developers = readFileSync(new URL('../DEVELOPERS.md', import.meta.url), 'utf8');
const src = fileURLToPath(new URL('../src', import.meta.url));

interface Import {
  readonly target: string;
  /** True when the types alone are imported: nothing of it is left in the program. */
  readonly typeOnly: boolean;
  /** True for `import()`: loaded when it is needed. */
  readonly lazy: boolean;
}

interface Module {
  /** Path under src, with `/`. */
  readonly path: string;
  readonly tree: ts.SourceFile;
  readonly imports: readonly Import[];
}

const modules: readonly Module[] = readdirSync(src, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts'))
  .sort()
  .map((name) => {
    const text = readFileSync(join(src, name), 'utf8');
    const tree = ts.createSourceFile(name, text, ts.ScriptTarget.Latest, true);
    return { path: name.replaceAll('\\', '/'), tree, imports: importsOf(name, tree) };
  });

function importsOf(path: string, tree: ts.SourceFile): readonly Import[] {
  const found: Import[] = [];
  const add = (node: ts.Expression | undefined, typeOnly: boolean, lazy = false): void => {
    if (node === undefined || !ts.isStringLiteral(node)) return;
    const target = node.text.startsWith('.') ? relative(src, join(src, dirname(path), node.text)) : node.text;
    found.push({ target: target.replaceAll('\\', '/'), typeOnly, lazy });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node)) add(node.moduleSpecifier, node.importClause?.isTypeOnly === true);
    if (ts.isExportDeclaration(node)) add(node.moduleSpecifier, node.isTypeOnly);
    if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword)
      add(node.arguments[0], false, true);
    if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument))
      add(node.argument.literal as ts.Expression, true);
    ts.forEachChild(node, visit);
  };
  visit(tree);
  return found;
}

/** Folders whose files turn one noun into the next. */
const VERBS = [
  'syllabify',
  'setting',
  'export',
  'read',
  'check',
  'practice',
  'parts',
  'pages',
  'sound',
  'term',
  'survey',
];
/** The flat files that know the stages; every other flat file is a noun. */
const HEADS = ['index.ts', 'compose.ts', 'resume.ts', 'examine.ts', 'options.ts', 'wishes.ts'];

/** The part of the program that a file belongs to. */
function partOf(path: string): string {
  const [first = ''] = path.split('/');
  if (path.includes('/')) return first;
  return HEADS.includes(path) ? path : 'noun';
}

/**
 * From each part, the parts that it may import besides itself. `syllabify`, `setting` and `export` never import one
 * another: what they share is a noun.
 */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  noun: [],
  syllabify: ['noun'],
  setting: ['noun'],
  export: ['noun'],
  read: ['noun'],
  check: ['noun', 'setting'],
  practice: ['noun'],
  parts: ['noun', 'setting'],
  pages: ['noun'],
  sound: ['noun'],
  term: ['noun'],
  survey: ['noun'],
  'wishes.ts': ['noun', 'setting', 'export'],
  'options.ts': ['noun', 'setting', 'export', 'wishes.ts'],
  'compose.ts': ['noun', 'syllabify', 'setting', 'read', 'options.ts', 'wishes.ts'],
  'resume.ts': ['noun', 'setting', 'read', 'compose.ts', 'wishes.ts'],
  'examine.ts': ['noun', 'syllabify'],
  'index.ts': ['noun', ...VERBS, 'compose.ts', 'resume.ts', 'examine.ts', 'options.ts', 'wishes.ts'],
  cli: ['index.ts'],
};

describe('imports', () => {
  test('go only in the directions of the table', () => {
    const strays = modules.flatMap(({ path, imports }) =>
      imports
        .filter(({ target }) => target.endsWith('.ts') && partOf(target) !== partOf(path))
        .filter(({ target }) => MAY_IMPORT[partOf(path)]?.includes(partOf(target)) !== true)
        .map(({ target }) => `${path} imports ${target}`),
    );
    expect(strays).toEqual([]);
  });

  test('name real files', () => {
    const paths = new Set(modules.map((module) => module.path));
    const lost = modules.flatMap(({ path, imports }) =>
      imports
        .filter(({ target }) => target.endsWith('.ts') && !paths.has(target))
        .map(({ target }) => `${path}: ${target}`),
    );
    expect(lost).toEqual([]);
  });

  test('run in no rings', () => {
    const next = new Map(
      modules.map(({ path, imports }) => [
        path,
        imports.filter((each) => !each.typeOnly).map((each) => each.target),
      ]),
    );
    const done = new Set<string>();
    const rings: string[] = [];
    const visit = (path: string, trail: readonly string[]): void => {
      if (trail.includes(path)) rings.push([...trail.slice(trail.indexOf(path)), path].join(' -> '));
      else if (!done.has(path)) for (const target of next.get(path) ?? []) visit(target, [...trail, path]);
      done.add(path);
    };
    for (const { path } of modules) visit(path, []);
    expect(rings).toEqual([]);
  });

  test('of an outside package stand in one file each, and DEVELOPERS.md says why it is there', () => {
    const places = new Map<string, Set<string>>();
    for (const { path, imports } of modules) {
      for (const { target } of imports) {
        if (target.endsWith('.ts') || target.startsWith('node:')) continue;
        const [name = ''] = /^(?:@[^/]+\/)?[^/]+/.exec(target) ?? [];
        places.set(name, (places.get(name) ?? new Set()).add(path));
      }
    }
    const spread = [...places].filter(([, files]) => files.size > 1).map(([name, files]) => [name, ...files]);
    expect(spread).toEqual([]);
    const unexplained = [...places]
      .filter(([name]) => !developers.includes(`| \`${name}\``))
      .map(([name]) => name);
    expect(unexplained).toEqual([]);
    expect(places.get('yaml')).toEqual(new Set(['front-matter.ts']));
  });

  test('bring no package but commander to a command line that asks for nothing special', () => {
    const byPath = new Map(modules.map((module) => [module.path, module]));
    const reached = new Set<string>();
    const visit = (path: string): void => {
      if (reached.has(path)) return;
      reached.add(path);
      for (const { target, typeOnly, lazy } of byPath.get(path)?.imports ?? [])
        if (!typeOnly && !lazy) visit(target);
    };
    for (const path of ['cli/main.ts', 'cli/commands/sing.ts', 'export/score.ts']) visit(path);
    const packages = [...reached].filter((target) => !target.endsWith('.ts') && !target.startsWith('node:'));
    expect(packages).toEqual(['commander']);
  });

  test('of what Node brings stand in the command line only', () => {
    const strays = modules.flatMap(({ path, imports }) =>
      imports
        .filter(({ target }) => target.startsWith('node:') && partOf(path) !== 'cli')
        .map(({ target }) => `${path} imports ${target}`),
    );
    expect(strays).toEqual([]);
  });
});

/** Names through which a pure function would learn or change something about the world. */
const WORLDLY = new Set(
  [
    'process',
    'console',
    'fetch',

    'performance',
    'setTimeout',
    'setInterval',
    'setImmediate',
    'queueMicrotask',
  ].concat(['globalThis', 'crypto', 'navigator', 'Intl', 'require', '__dirname', 'Buffer']),
);
/** Methods whose answer depends on the machine or on chance. */
const UNSTEADY = new Set(['toLocaleString', 'toLocaleLowerCase', 'toLocaleUpperCase', 'localeCompare']);

describe('everything but the command line', () => {
  const pure = modules.filter(({ path }) => partOf(path) !== 'cli');

  test('asks nothing of the clock, the environment, the locale or chance', () => {
    const strays: string[] = [];
    for (const { path, tree } of pure) {
      const visit = (node: ts.Node): void => {
        if (ts.isTypeNode(node) || ts.isInterfaceDeclaration(node)) return;
        if (ts.isIdentifier(node) && isFree(node) && WORLDLY.has(node.text))
          strays.push(`${path}: ${node.text}`);
        if (partOf(path) !== 'pages' && isApproximate(node)) strays.push(`${path}: ${node.getText()}`);
        if (node.getText() === 'Math.random') strays.push(`${path}: Math.random`);
        if (readsTheClock(node)) strays.push(`${path}: Date`);
        if (ts.isPropertyAccessExpression(node) && UNSTEADY.has(node.name.text))
          strays.push(`${path}: ${node.name.text}`);
        if (ts.isMetaProperty(node)) strays.push(`${path}: import.meta`);
        ts.forEachChild(node, visit);
      };
      visit(tree);
    }
    expect(strays).toEqual([]);
  });

  test('keeps no state between calls', () => {
    const strays = pure.flatMap(({ path, tree }) =>
      tree.statements
        .filter(ts.isVariableStatement)
        .filter((statement) => (statement.declarationList.flags & ts.NodeFlags.Const) === 0)
        .map((statement) => `${path}: ${statement.getText().slice(0, 60)}`),
    );
    expect(strays).toEqual([]);
  });

  test('has no classes but errors, no enums, no default exports, no export of everything', () => {
    const strays: string[] = [];
    for (const { path, tree } of modules) {
      const visit = (node: ts.Node): void => {
        const heirs = ts.isClassDeclaration(node)
          ? (node.heritageClauses?.map((clause) => clause.getText()) ?? [])
          : [];
        if (ts.isClassDeclaration(node) && !heirs.some((text) => /Error\b/.test(text)))
          strays.push(`${path}: class`);
        if (ts.isEnumDeclaration(node)) strays.push(`${path}: enum`);
        if (ts.isExportAssignment(node)) strays.push(`${path}: export default`);
        if (ts.isExportDeclaration(node) && node.exportClause === undefined) strays.push(`${path}: export *`);
        ts.forEachChild(node, visit);
      };
      visit(tree);
    }
    expect(strays).toEqual([]);
  });
});

/**
 * Functions whose last digit ECMAScript leaves to the engine ("implementation-approximated", ECMA-262 section 21.3).
 * Pages may measure with them; nothing else may depend on them.
 */
function isApproximate(node: ts.Node): boolean {
  const approximate = /^Math\.(?:a?(?:sin|cos|tan)h?|atan2|exp|expm1|log|log1p|log10|log2|pow|cbrt|hypot)$/;
  return ts.isPropertyAccessExpression(node) && approximate.test(node.getText());
}

/** `Date.now`, `Date()` and `new Date()`; a date made from given numbers is a value like any other. */
function readsTheClock(node: ts.Node): boolean {
  if (!ts.isIdentifier(node) || node.text !== 'Date' || ts.isTypeReferenceNode(node.parent)) return false;
  return !(ts.isNewExpression(node.parent) && (node.parent.arguments?.length ?? 0) > 0);
}

/** True for a name that stands for a value, not for a property, a key or a parameter's own name. */
function isFree(node: ts.Identifier): boolean {
  const { parent } = node;
  if (ts.isPropertyAccessExpression(parent)) return parent.expression === node;
  if (ts.isPropertyAssignment(parent) || ts.isPropertySignature(parent) || ts.isBindingElement(parent)) {
    return ts.isPropertyAssignment(parent) && parent.initializer === node;
  }
  return !ts.isParameter(parent) && !ts.isVariableDeclaration(parent) && !ts.isFunctionDeclaration(parent);
}
