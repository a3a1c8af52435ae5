/** What an option changes, and what the checks say of just that: bars that are as they were are not checked again. */
import { validate } from '../check/index.js'
import type { ArrangedBar, Issue } from '../contract/index.js'
import { barTicks } from '../units/index.js'

/** Bars with what identifies the sound and print of each. */
export interface Printed {
  readonly bars: readonly ArrangedBar[]
  readonly prints: readonly string[]
}

export function printed(bars: readonly ArrangedBar[]): Printed {
  return { bars, prints: bars.map(printOf) }
}

/** Bars that would sound and read the same have the same print, whatever made them. */
function printOf(bar: ArrangedBar): string {
  const { metre, groups, key, tempoBpm, tempoEndBpm, feel, chords, melody, mark, dynamic, fermataTick, lengthTicks } =
    bar
  const harmony = chords.map(({ startTick, chord }) => `${startTick}${chord.symbol}`).join()
  const line = melody
    .map(
      ({ startTick, durationTicks, midi, tiedToNext }) =>
        `${startTick}-${durationTicks}-${midi}${tiedToNext ? '~' : ''}`,
    )
    .join()
  return `${metre.beats}/${metre.beatType} ${groups.join('+')} ${lengthTicks} ${key.key} ${tempoBpm} ${tempoEndBpm ?? ''} ${feel} ${mark ?? ''} ${dynamic ?? ''} ${fermataTick ?? ''} ${harmony} ${line}`
}

/** Errors by kind and tune bar, and how many warnings. */
export interface Found {
  readonly errors: readonly (Issue & { readonly tuneBar: number | undefined })[]
  readonly warnings: number
}

/** What the checks say of the bars whose print, or whose neighbours' print, is not among the known ones; of all where there are none. */
export function checkChanges(made: Printed, known?: Printed): Found {
  const { bars, prints } = made
  const seen = new Set(known?.prints.map((_, index) => contextAt(known.prints, index)))
  // A chorus that comes again is checked once.
  const fresh = prints.map((_, index) => {
    const context = contextAt(prints, index)
    const isNew = !seen.has(context)
    seen.add(context)
    return isNew
  })
  const hasShort = bars.some(({ lengthTicks, metre }) => lengthTicks < barTicks(metre))
  if (!known || hasShort || fresh.every(Boolean)) return found(bars, 0, bars.length, bars)
  const runs: Found[] = []
  for (let start = fresh.indexOf(true); start >= 0;) {
    let end = start
    while (fresh[end]) end++
    runs.push(
      found(bars.slice(Math.max(0, start - 1), end + 1), Math.min(start, 1), end - start, bars.slice(start, end)),
    )
    start = fresh.indexOf(true, end)
  }
  return {
    errors: runs.flatMap(({ errors }) => errors),
    warnings: runs.reduce((sum, { warnings }) => sum + warnings, 0),
  }
}

const contextAt = (prints: readonly string[], index: number): string =>
  `${prints[index - 1] ?? ''}|${prints[index] ?? ''}|${prints[index + 1] ?? ''}`

/** Findings of a slice of bars that belong to `count` of them from `first`; the others are there as neighbours only. */
function found(slice: readonly ArrangedBar[], first: number, count: number, own: readonly ArrangedBar[]): Found {
  // No plan is given: what it adds is about lifts, which their own recipe has just prepared.
  const issues = validate({ version: 1, title: '', lineup: [], groove: '', bars: slice }).flatMap((one) => {
    const index = Number(/^bars\/(\d+)/.exec(one.path)?.[1] ?? first) - first
    const tuneBar = own[index]?.provenance.tuneBar
    return index >= 0 && index < count ? [{ ...one, tuneBar }] : []
  })
  return {
    errors: issues.filter(({ severity }) => severity === 'error'),
    warnings: issues.filter(({ severity }) => severity === 'warning').length,
  }
}

/** The first error the tune did not have at the same tune bar (of joined bars: at either). */
export function newFault(before: Found, after: Found): Issue | undefined {
  const had = new Set(before.errors.map(({ code, tuneBar }) => `${code} ${tuneBar}`))
  return after.errors.find(({ code, tuneBar }) => {
    if (tuneBar === undefined) return true
    return !had.has(`${code} ${tuneBar}`) && !had.has(`${code} ${tuneBar + 1}`)
  })
}
