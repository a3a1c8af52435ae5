/** Repeats a copyist would write: a stretch that follows itself, played so many times, the last time perhaps with another ending. */
import type { SharedPrints } from './shared-prints.js'

export interface Repeat {
  readonly startBar: number
  /** Bars of one playing, the first ending included. */
  readonly bars: number
  /** Times played in all. */
  readonly times: number
  /** Where the last time ends otherwise: bars shared by all playings, and bars of the last ending. */
  readonly ending?: { readonly sharedBars: number; readonly lastBars: number }
}

/** Signs that save fewer bars are not worth the eyes they cost. From judgement. */
export const LEAST_SAVED = 4

/** Bars played and bars written. */
export const playedBars = ({ bars, times, ending }: Repeat): number =>
  ending ? bars * (times - 1) + ending.sharedBars + ending.lastBars : bars * times
const writtenBars = ({ bars, ending }: Repeat): number => bars + (ending?.lastBars ?? 0)
const endOf = (repeat: Repeat): number => repeat.startBar + playedBars(repeat)
const savedBy = (repeat: Repeat): number => playedBars(repeat) - writtenBars(repeat)

/** The best repeats up to a bar, and from a bar up to another. */
export interface BestRepeats {
  /** In the bars before `end`. */
  readonly before: (end: number) => Chosen
  /** In `from` … `end`, for every `from` at once. */
  readonly upTo: (end: number) => (from: number) => Chosen
}
export interface Chosen {
  readonly saved: number
  readonly repeats: readonly Repeat[]
}

/** `starts` are the bars where a section begins, `passStarts` those where a pass does. Repeats begin and end at sections, or stay inside
 *  one (a vamp); a repeat that leaves its pass is of whole passes. */
export function bestRepeats(
  shared: SharedPrints,
  starts: readonly number[],
  passStarts: ReadonlySet<number>,
): BestRepeats {
  const all = candidates(shared, starts).filter((repeat) => keepsToPasses(repeat, passStarts, shared.length))
  const byEnd = groupedBy(all, endOf)
  const byStart = [...groupedBy(all, ({ startBar }) => startBar)].sort(([a], [b]) => b - a)
  const before: Link[] = [NONE]
  for (let end = 1; end <= shared.length; end++) {
    let best = before[end - 1] as Link
    for (const repeat of byEnd.get(end) ?? []) best = better(best, repeat, before[repeat.startBar] as Link)
    before.push(best)
  }
  return {
    before: (end) => chosen(before[end] ?? NONE),
    upTo: (end) => {
      // Only a bar where some repeat begins changes anything: the bars between take the next one's answer.
      const after = new Map<number, Link>()
      const falling: number[] = []
      const at = (bar: number): Link => {
        const next = nextAtLeast(falling, bar)
        return next === undefined ? NONE : (after.get(next) as Link)
      }
      for (const [start, repeats] of byStart) {
        if (start >= end) continue
        let best = at(start)
        for (const repeat of repeats) if (endOf(repeat) <= end) best = better(best, repeat, at(endOf(repeat)))
        after.set(start, best)
        falling.push(start)
      }
      return (from) => chosen(at(from))
    },
  }
}

function keepsToPasses(repeat: Repeat, passStarts: ReadonlySet<number>, length: number): boolean {
  const { startBar, bars, times } = repeat
  const end = endOf(repeat)
  let leaves = false
  for (const start of passStarts) if (start > startBar && start < end) leaves = true
  if (!leaves) return true
  if (end !== length && !passStarts.has(end)) return false
  for (let time = 0; time < times; time++) if (!passStarts.has(startBar + bars * time)) return false
  return true
}

/** Repeats chosen one after the other, each link one repeat and what was chosen beside it. */
interface Link {
  readonly saved: number
  readonly signs: number
  readonly repeat?: Repeat
  readonly rest?: Link
}
const NONE: Link = { saved: 0, signs: 0 }

/** More bars saved, else fewer signs. */
function better(best: Link, repeat: Repeat, rest: Link): Link {
  const saved = rest.saved + savedBy(repeat)
  const signs = rest.signs + (repeat.ending ? 2 : 1)
  return saved > best.saved || (saved === best.saved && signs < best.signs) ? { saved, signs, repeat, rest } : best
}

function chosen(link: Link): Chosen {
  const repeats: Repeat[] = []
  for (let at: Link | undefined = link; at?.repeat; at = at.rest) repeats.push(at.repeat)
  return { saved: link.saved, repeats }
}

function groupedBy(
  repeats: readonly Repeat[],
  barOf: (repeat: Repeat) => number,
): ReadonlyMap<number, readonly Repeat[]> {
  const groups = new Map<number, Repeat[]>()
  for (const repeat of repeats) {
    const group = groups.get(barOf(repeat))
    if (group) group.push(repeat)
    else groups.set(barOf(repeat), [repeat])
  }
  return groups
}

/** The lowest of falling numbers that is at least `least`. */
function nextAtLeast(falling: readonly number[], least: number): number | undefined {
  let low = 0
  let high = falling.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((falling[middle] as number) >= least) low = middle + 1
    else high = middle
  }
  return falling[low - 1]
}

function candidates(shared: SharedPrints, starts: readonly number[]): readonly Repeat[] {
  const ends = [...starts.filter((start) => start > 0), shared.length]
  const isEnd = new Set(ends)
  return starts.flatMap((startBar, place) => {
    const sectionEnd = starts[place + 1] ?? shared.length
    const best = new Map<number, Repeat>()
    const offer = (repeat: Repeat): void => {
      const known = best.get(endOf(repeat))
      if (savedBy(repeat) < LEAST_SAVED || (known && savedBy(known) >= savedBy(repeat))) return
      best.set(endOf(repeat), repeat)
    }
    // A bar alone is repeated only where it is a whole section: signs round a single bar are hard to read.
    for (let bars = sectionEnd - startBar === 1 ? 1 : 2; startBar + 2 * bars <= shared.length; bars++) {
      const most = 1 + Math.floor(shared.from(startBar, startBar + bars) / bars)
      const times = timesEndingWell(startBar, bars, most, sectionEnd, isEnd)
      if (times > 1) offer({ startBar, bars, times })
    }
    for (const second of ends) {
      if (second <= startBar) continue
      for (const repeat of withEndings(shared, startBar, second, ends)) offer(repeat)
    }
    return [...best.values()]
  })
}

/** The most times after which a section ends, or all of them inside one section. */
function timesEndingWell(
  startBar: number,
  bars: number,
  most: number,
  sectionEnd: number,
  isEnd: ReadonlySet<number>,
): number {
  const inside = Math.min(most, Math.floor((sectionEnd - startBar) / bars))
  for (let times = most; times > Math.max(1, inside); times--) if (isEnd.has(startBar + bars * times)) return times
  return inside
}

/** The same again up to a first and a last ending, each closing a section and neither longer than what is shared. */
function withEndings(
  shared: SharedPrints,
  startBar: number,
  second: number,
  ends: readonly number[],
): readonly Repeat[] {
  const bars = second - startBar
  const alike = shared.from(startBar, second)
  if (alike < LEAST_SAVED) return []
  // Whole times before the one that ends otherwise.
  const whole = 1 + Math.floor(alike / bars)
  const last = startBar + bars * whole
  const sharedBars = Math.min(alike - bars * (whole - 1), bars - 1)
  if (sharedBars < LEAST_SAVED || bars - sharedBars > sharedBars) return []
  return ends.flatMap((end): readonly Repeat[] => {
    const lastBars = end - last - sharedBars
    if (lastBars < 1 || lastBars > sharedBars) return []
    return [{ startBar, bars, times: whole + 1, ending: { sharedBars, lastBars } }]
  })
}
