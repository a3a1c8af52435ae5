/** Which country's dates and numbers go with a language: the reader's own where the browser names one, else the one given. */

export function localeOf(
  language: string,
  otherwise: string,
  wanted: readonly string[] = globalThis.navigator?.languages ?? [],
): string {
  return wanted.find((tag) => tag === language || tag.startsWith(`${language}-`)) ?? otherwise
}
