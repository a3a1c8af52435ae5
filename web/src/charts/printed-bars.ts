/** What a person last printed of a chart, bar by bar, and which bars of the chart as it stands now read otherwise. */
import type { ChartMark, EngravedChart } from '@chartloft/shared-theory'

/** A print as one browser remembers it: no notes, only what tells two bars apart. */
export interface Print {
  readonly at: number
  readonly version: number
  readonly bars: readonly string[]
}
export interface PrintChanges {
  /** Chart numbers of bars that are new or read otherwise. */
  readonly changed: readonly number[]
  /** Bars of the print that are gone: how many, and the number of the bar they stood before; 0 at the end. */
  readonly gone: readonly { readonly count: number; readonly before: number }[]
}

/** A short name for what each written bar says in this chart: notes, chords, metre, key, signs and words; not its number, line or letter. */
export function barsOfChart({ musicXml, marks }: EngravedChart): readonly string[] {
  const measures: string[] = marks.map(saysAbove)
  for (const part of musicXml.split(/<part id=/).slice(1))
    for (const [index, measure] of part
      .split(/<measure [^>]*>/)
      .slice(1)
      .entries())
      if (measures[index] !== undefined) measures[index] += plain(measure)
  return measures.map(shortName)
}

/** Line breaks and where a long rest happens to begin are no change. */
const plain = (measure: string): string =>
  measure
    .replaceAll(/<print [^>]*\/>/g, '')
    .replaceAll(/<measure-style>\s*<multiple-rest>[\s\S]*?<\/measure-style>/g, '')
    .replaceAll(/<attributes>\s*<\/attributes>/g, '')
    .replaceAll(/<\/measure>[\s\S]*$/g, '')
    .replaceAll(/\s+/g, ' ')

const saysAbove = ({ time, words, segno, coda, toCoda, jump, times }: ChartMark): string =>
  JSON.stringify([time, words, segno, coda, toCoda, jump, times])

/** 53 bits of a text in base 36: two rounds of multiplying and mixing, enough to tell a few hundred bars apart. */
function shortName(text: string): string {
  let high = 0xdeadbeef
  let low = 0x41c6ce57
  for (let index = 0; index < text.length; index++) {
    const code = text.charCodeAt(index)
    high = Math.imul(high ^ code, 2654435761)
    low = Math.imul(low ^ code, 1597334677)
  }
  high = Math.imul(high ^ (high >>> 16), 2246822507) ^ Math.imul(low ^ (low >>> 13), 3266489909)
  low = Math.imul(low ^ (low >>> 16), 2246822507) ^ Math.imul(high ^ (high >>> 13), 3266489909)
  return (4294967296 * (2097151 & low) + (high >>> 0)).toString(36)
}

/** Bars matched in order, as many as can be (longest common subsequence); what is left over has changed. */
export function changesSince(
  print: Pick<Print, 'bars'>,
  now: readonly string[],
  marks: readonly ChartMark[],
): PrintChanges {
  const { bars: old } = print
  const row = now.length + 1
  const alike = new Uint16Array((old.length + 1) * row)
  for (let a = old.length - 1; a >= 0; a--)
    for (let b = now.length - 1; b >= 0; b--)
      alike[a * row + b] =
        old[a] === now[b]
          ? 1 + (alike[(a + 1) * row + b + 1] as number)
          : Math.max(alike[(a + 1) * row + b] as number, alike[a * row + b + 1] as number)
  const changed: number[] = []
  const gone: { count: number; before: number }[] = []
  const numberAt = (index: number): number => marks[index]?.number ?? 0
  let a = 0
  let b = 0
  while (a < old.length || b < now.length) {
    if (a < old.length && b < now.length && old[a] === now[b]) {
      a++
      b++
      continue
    }
    // Everything up to the next match: new bars take the old ones' place, and only what is too many is gone.
    const from = { a, b }
    while (a < old.length || b < now.length) {
      if (a < old.length && b < now.length && old[a] === now[b]) break
      const skipsOld =
        b >= now.length ||
        (a < old.length && (alike[(a + 1) * row + b] as number) >= (alike[a * row + b + 1] as number))
      if (skipsOld) a++
      else b++
    }
    for (let index = from.b; index < b; index++) changed.push(numberAt(index))
    const count = a - from.a - (b - from.b)
    if (count > 0) gone.push({ count, before: b < now.length ? numberAt(b) : 0 })
  }
  return { changed, gone }
}

/** '12–14, 40': runs of numbers as they are said. */
export function runsOf(numbers: readonly number[]): string {
  const runs: [number, number][] = []
  for (const number of numbers) {
    const last = runs.at(-1)
    if (last && number === last[1] + 1) last[1] = number
    else runs.push([number, number])
  }
  return runs.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(', ')
}

/** Prints of one board, by chart: 'score', or a part and its pitch. */
export type Prints = { readonly [chart: string]: Print }

/** What a browser kept, as far as it is a print. */
export function printOf(prints: unknown, chart: string): Print | undefined {
  const print = (prints as Prints | null)?.[chart]
  const isWhole =
    typeof print?.at === 'number' &&
    typeof print.version === 'number' &&
    Array.isArray(print.bars) &&
    print.bars.every((bar) => typeof bar === 'string')
  return isWhole ? print : undefined
}
