/** Before the tests: the compiled pronunciations must stand in dist/. */
export function setup(): void {
  // Filled in with the build.
}
