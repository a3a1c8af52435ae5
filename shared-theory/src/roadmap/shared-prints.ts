/** How far two places of the music print alike: the table every repeat, ending and jump is found in. */

/** Bars that print like each other from two places on; `prints` names each bar's printed content by number. */
export interface SharedPrints {
  readonly length: number
  /** How many bars from `a` on print like those from `b` on; 0 past the end. */
  readonly from: (a: number, b: number) => number
}

/** Filled from the end backwards: one more than the places after, where two bars print alike. */
export function sharedPrints(prints: readonly number[]): SharedPrints {
  const { length } = prints
  const row = length + 1
  const table = new Uint16Array(row * row)
  for (let a = length - 1; a >= 0; a--)
    for (let b = length - 1; b > a; b--)
      if (prints[a] === prints[b]) table[a * row + b] = 1 + (table[(a + 1) * row + b + 1] as number)
  return {
    length,
    from: (a, b) => (a === b ? length - a : (table[Math.min(a, b) * row + Math.max(a, b)] ?? 0)),
  }
}
