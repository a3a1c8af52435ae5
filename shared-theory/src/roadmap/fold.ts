/** Linear bars to a folded score: every bar written once that can be, with its playings and what differs in each. */
import type { ArrangedBar, Arrangement, FoldedBar, FoldedScore } from '../contract/index.js'
import { stableJson } from '../units/index.js'
import { planFold } from './plan-fold.js'
import { printedContent } from './printed-content.js'

/** The folded score; `unfold` gives the arrangement back exactly. At most one segno and one coda, no repeat that a jump would skip. */
export function fold(arrangement: Arrangement): FoldedScore {
  const { version, title, lineup, groove, bars } = arrangement
  const passStarts = new Set(bars.flatMap((bar, index) => (bars[index - 1]?.pass === bar.pass ? [] : [index])))
  const plan = planFold(numbered(bars.map(printedContent)), sectionStarts(bars), passStarts)
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

type Plan = ReturnType<typeof planFold>

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

function sectionStarts(bars: readonly ArrangedBar[]): readonly number[] {
  return bars.flatMap((bar, index) => {
    const before = bars[index - 1]
    return before && before.sectionId === bar.sectionId && before.pass === bar.pass ? [] : [index]
  })
}

/** For each written bar the linear bars it plays, ascending. */
function writtenBars(length: number, { repeats, jump }: Plan): readonly (readonly number[])[] {
  const home = Array.from({ length }, (_, index) => index)
  for (const { startBar, bars, times } of repeats) {
    for (let index = bars; index < bars * times; index++) home[startBar + index] = startBar + (index % bars)
  }
  if (jump) for (let index = 0; index < jump.bars; index++) home[jump.fromBar + index] = jump.toBar + index
  const playings = new Map<number, number[]>()
  for (const [index, at] of home.entries()) playings.set(at, [...(playings.get(at) ?? []), index])
  return [...playings.values()]
}

/** The marks of the written bar whose first playing is a given linear bar. */
function roadMarks({ repeats, jump }: Plan): (first: number) => Partial<FoldedBar> {
  // The last bar written before the jump: the end of the last repeat where the jump follows one.
  const beforeJump = jump && lastWrittenBefore(jump.fromBar, repeats)
  return (first) => {
    const opens = repeats.some(({ startBar }) => startBar === first)
    const closes = repeats.find(({ startBar, bars }) => startBar + bars - 1 === first)
    return {
      ...(opens ? { repeatStart: true as const } : {}),
      ...(closes ? { repeatEnd: closes.times } : {}),
      ...(jump && jump.toBar === first && first > 0 ? { segno: true as const } : {}),
      ...(jump && jump.fromBar + jump.bars === first ? { coda: true as const } : {}),
      ...(jump && jump.toBar + jump.bars - 1 === first ? { toCoda: true as const } : {}),
      ...(jump && beforeJump === first
        ? { jump: jump.toBar > 0 ? ('D.S. al Coda' as const) : ('D.C. al Coda' as const) }
        : {}),
    }
  }
}

function lastWrittenBefore(bar: number, repeats: Plan['repeats']): number {
  const closing = repeats.find(({ startBar, bars, times }) => startBar + bars * times === bar)
  return closing ? closing.startBar + closing.bars - 1 : bar - 1
}

/** Fields of a later playing that are not the first's; undefined where all are equal. */
function differences(first: ArrangedBar, later: ArrangedBar, place: number): Partial<ArrangedBar> | undefined {
  const differs: Record<string, unknown> = later.barIndex === place ? {} : { barIndex: later.barIndex }
  for (const [field, value] of Object.entries(later)) {
    if (field === 'barIndex') continue
    if (stableJson(value) !== stableJson(first[field as keyof ArrangedBar])) differs[field] = value
  }
  return Object.keys(differs).length > 0 ? differs : undefined
}
