/** Forms whose sections are not all of one common length: A A B A of ten, ten, eight and ten bars, a bridge of four, twice six bars. */
import type { LikenessView } from './likeness.js'

export interface UnevenForm {
  readonly letters: readonly string[]
  readonly sizes: readonly number[]
  /** Mean likeness of the sections that repeat another. */
  readonly repeated: number
}

/** Where nothing but the repeats speaks for a length, they must be surer than on the common grids. From judgement. */
const SURE = 0.75
const LEAST_BARS = 4
const MOST_BARS = 20

/** Forms by the sizes of their letters, given the length of A and of the whole. */
const KINDS: { readonly [pattern: string]: (a: number, body: number) => readonly (readonly number[])[] } = {
  AABA: (a, body) => [[a, a, body - 3 * a, a]],
  AAB: (a, body) => [[a, a, body - 2 * a]],
  ABA: (a, body) => [[a, body - 2 * a, a]],
  AA: (a, body) => (body === 2 * a ? [[a, a]] : []),
  AABB: (a, body) => [[a, a, body / 2 - a, body / 2 - a]],
}

/** Every such form that fits `body` bars from `from` on. */
export function* unevenForms(view: LikenessView, from: number, body: number): Generator<UnevenForm> {
  for (let a = LEAST_BARS; a <= MOST_BARS && 2 * a <= body; a++) {
    for (const [pattern, sizesFor] of Object.entries(KINDS)) {
      for (const sizes of sizesFor(a, body)) {
        if (!sizes.every((size) => Number.isInteger(size) && size >= LEAST_BARS && size <= MOST_BARS)) continue
        const letters = Array.from(pattern)
        const repeated = likenessOfRepeats(view, from, letters, sizes)
        if (repeated !== undefined) yield { letters, sizes, repeated }
      }
    }
  }
}

/** Undefined where a section is not like the first of its letter, or another letter's section is. */
function likenessOfRepeats(
  view: LikenessView,
  from: number,
  letters: readonly string[],
  sizes: readonly number[],
): number | undefined {
  const firsts = new Map<string, { readonly bar: number; readonly size: number }>()
  let bar = from
  let sum = 0
  let count = 0
  for (const [index, letter] of letters.entries()) {
    const size = sizes[index] as number
    const first = firsts.get(letter)
    for (const [other, place] of firsts) {
      const alike = view.ofStretches(place.bar, bar, Math.min(size, place.size))
      if (other === letter ? alike < SURE : alike >= SURE) return undefined
      if (other === letter) {
        sum += alike
        count++
      }
    }
    if (!first) firsts.set(letter, { bar, size })
    bar += size
  }
  return count > 0 ? sum / count : undefined
}
