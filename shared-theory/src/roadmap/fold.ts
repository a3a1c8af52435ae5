/** Linear bars to a folded score: every bar written once that can be, with its playings and what differs in each. */
import type { ArrangedBar, Arrangement, FoldedBar, FoldedScore } from '../contract/index.js'
import { arrangementShape } from '../tune/index.js'
import { barTicks } from '../units/index.js'
import { type FoldPlan, planFold } from './plan-fold.js'
import { printsInOrder } from './printed-content.js'
import { playedBars, type Repeat } from './repeats.js'

/** The folded score; `unfold` gives the arrangement back exactly. At most one segno and one coda, no repeat that a jump would skip. Of an
 *  arrangement that is not whole as much as can be read is folded; never throws. */
export function fold(given: Arrangement): FoldedScore {
  const arrangement = arrangementShape(given)
  const { version, title, lineup, groove, bars } = arrangement
  const plan = planFold(
    numbered(printsInOrder(bars)),
    startsOf(bars, isSectionStart),
    new Set(startsOf(bars, isPassStart)),
  )
  const written = writtenBars(bars.length, plan)
  const marks = roadMarks(plan)
  return {
    version,
    title,
    lineup,
    groove,
    bars: written.map((playings): FoldedBar => {
      const first = playings[0] as number
      const bar = bars[first] as ArrangedBar
      return {
        bar,
        playings: playings.map((barIndex) => {
          const differs = differences(bar, bars[barIndex] as ArrangedBar, barIndex)
          return differs ? { barIndex, differs } : { barIndex }
        }),
        ...marks(first),
      }
    }),
  }
}

/** Equal texts share a number. */
function numbered(texts: readonly string[]): readonly number[] {
  const numbers = new Map<string, number>()
  return texts.map((text) => {
    const known = numbers.get(text)
    if (known !== undefined) return known
    numbers.set(text, numbers.size)
    return numbers.size - 1
  })
}

const isPassStart = (bar: ArrangedBar, before: ArrangedBar | undefined): boolean => before?.pass !== bar.pass
const isSectionStart = (bar: ArrangedBar, before: ArrangedBar | undefined): boolean =>
  isPassStart(bar, before) || before?.sectionId !== bar.sectionId

/** Indices of bars that begin something; the bar after a pickup begins what the pickup leads into. */
function startsOf(
  bars: readonly ArrangedBar[],
  begins: (bar: ArrangedBar, before: ArrangedBar | undefined) => boolean,
): readonly number[] {
  const hasPickup = bars[0] !== undefined && bars[0].lengthTicks < barTicks(bars[0].metre)
  return bars.flatMap((bar, index) => (begins(bar, bars[index - 1]) || (index === 1 && hasPickup) ? [index] : []))
}

/** For each written bar the linear bars it plays, ascending. */
function writtenBars(length: number, { repeats, jump }: FoldPlan): readonly (readonly number[])[] {
  const home = Array.from({ length }, (_, index) => index)
  for (const repeat of repeats) {
    const { startBar, bars, times, ending } = repeat
    const lastEnding = ending ? bars * (times - 1) + ending.sharedBars : playedBars(repeat)
    for (let index = bars; index < lastEnding; index++) home[startBar + index] = startBar + (index % bars)
  }
  if (jump) for (let index = 0; index < jump.bars; index++) home[jump.fromBar + index] = jump.toBar + index
  const playings = new Map<number, number[]>()
  for (const [index, at] of home.entries()) {
    const known = playings.get(at)
    if (known) known.push(index)
    else playings.set(at, [index])
  }
  return [...playings.values()]
}

/** The marks of the written bar whose first playing is a given linear bar. */
function roadMarks({ repeats, jump }: FoldPlan): (first: number) => Partial<FoldedBar> {
  const byBar = new Map<number, Partial<FoldedBar>>()
  const mark = (bar: number, marks: Partial<FoldedBar>): void => {
    byBar.set(bar, { ...byBar.get(bar), ...marks })
  }
  for (const repeat of repeats) markRepeat(repeat, mark)
  if (jump) {
    const { toBar, fromBar, bars } = jump
    if (toBar > 0) mark(toBar, { segno: true })
    mark(fromBar + bars, { coda: true })
    mark(toBar + bars - 1, { toCoda: true })
    mark(lastWrittenBefore(fromBar, repeats), { jump: toBar > 0 ? 'D.S. al Coda' : 'D.C. al Coda' })
  }
  return (first) => byBar.get(first) ?? {}
}

function markRepeat(
  { startBar, bars, times, ending }: Repeat,
  mark: (bar: number, marks: Partial<FoldedBar>) => void,
): void {
  mark(startBar, { repeatStart: true })
  mark(startBar + bars - 1, { repeatEnd: times })
  if (!ending) return
  const before = Array.from({ length: times - 1 }, (_, index) => index + 1)
  for (let bar = ending.sharedBars; bar < bars; bar++) mark(startBar + bar, { ending: before })
  const last = startBar + bars * (times - 1) + ending.sharedBars
  for (let bar = 0; bar < ending.lastBars; bar++) mark(last + bar, { ending: [times] })
}

/** The last bar written before a jump: the end of a repeat without endings where the jump follows one. */
function lastWrittenBefore(bar: number, repeats: readonly Repeat[]): number {
  const closing = repeats.find((repeat) => !repeat.ending && repeat.startBar + playedBars(repeat) === bar)
  return closing ? closing.startBar + closing.bars - 1 : bar - 1
}

/** Fields of a later playing that are not the first's; undefined where all are equal. */
function differences(first: ArrangedBar, later: ArrangedBar, place: number): Partial<ArrangedBar> | undefined {
  const differs: Record<string, unknown> = later.barIndex === place ? {} : { barIndex: later.barIndex }
  for (const [field, value] of Object.entries(later)) {
    if (field === 'barIndex') continue
    if (!isSame(value, first[field as keyof ArrangedBar])) differs[field] = value
  }
  return Object.keys(differs).length > 0 ? differs : undefined
}

/** Equal as JSON is, whatever the order of the fields. */
function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return Object.is(a, b)
  const names = Object.keys(a)
  if (Array.isArray(a) !== Array.isArray(b) || names.length !== Object.keys(b).length) return false
  for (const name of names)
    if (!Object.hasOwn(b, name) || !isSame((a as Fields)[name], (b as Fields)[name])) return false
  return true
}
type Fields = { readonly [name: string]: unknown }
