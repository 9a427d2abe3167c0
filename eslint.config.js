import tseslint from 'typescript-eslint';

export default tseslint.config(
  { ignores: ['dist/', 'node_modules/', 'coverage/', 'examples/'] },
  ...tseslint.configs.strict,
  ...tseslint.configs.stylistic,
  {
    rules: {
      '@typescript-eslint/no-non-null-assertion': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-explicit-any': 'error',
      'no-console': 'error',
      eqeqeq: 'error',
      'no-restricted-syntax': [
        'error',
        { selector: 'TSEnumDeclaration', message: 'Use a closed union.' },
        { selector: 'ExportDefaultDeclaration', message: 'Name every export.' },
        {
          selector: "CallExpression[callee.object.name='Math'][callee.property.name='random']",
          message: 'Use the seeded generator.',
        },
      ],
    },
  },
  { files: ['build/**', 'tests/bench/**', 'bin/**'], rules: { 'no-console': 'off' } },
  // bin/ is CommonJS
  { files: ['bin/**'], rules: { '@typescript-eslint/no-require-imports': 'off' } },
  {
    files: ['*.config.ts', '*.config.js'],
    rules: { 'no-restricted-syntax': 'off' },
  },
);
