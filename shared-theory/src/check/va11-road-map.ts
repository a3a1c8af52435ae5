/** VA11: the folded score plays the arrangement, bar for bar. */
import type { ArrangedBar, FoldedScore, Issue } from '../contract/index.js'
import { playingOrder, printedContent } from '../roadmap/index.js'
import { issue } from '../units/index.js'
import type { CheckContext } from './check-context.js'
import { numberWord } from './words.js'

export function checkRoadMap(context: CheckContext): Issue[] {
  const { folded } = context
  if (!folded || !isFolded(folded)) {
    return folded === undefined
      ? []
      : [issue('VA11', 'error', 'folded', 'The folded score cannot be read; fold it again.')]
  }
  const { order, broken } = playingOrder(folded.bars)
  const found = broken.map(({ bar, missing }) =>
    issue('VA11', 'error', `folded/bars/${bar}`, brokenWords(bar + 1, missing)),
  )
  if (found.length > 0) return found
  const differing = firstDifference(context, folded, order)
  return differing.length > 0 ? differing : wrongPlayings(folded, order)
}

const BROKEN = {
  coda: (bar: number) => `To Coda after bar ${bar}, but no coda is marked: the form can't be played as planned.`,
  segno: (bar: number) => `D.S. after bar ${bar}, but no segno is marked; put it at the bar it means.`,
  'to-coda': (bar: number) => `Al Coda after bar ${bar}, but no bar says To Coda; mark where to leave.`,
  'repeat-start': (bar: number) => `The repeat that ends at bar ${bar} has no beginning; mark it.`,
} as const

const brokenWords = (bar: number, missing: keyof typeof BROKEN): string => BROKEN[missing](bar)

function firstDifference({ bars, numberOf }: CheckContext, folded: FoldedScore, order: readonly number[]): Issue[] {
  for (const [index, bar] of bars.entries()) {
    const at = order[index]
    if (at === undefined) {
      const text = `The folded score ends before bar ${numberOf(index)}; ${order.length} of ${bars.length} bars are played.`
      return [issue('VA11', 'error', `bars/${index}`, text)]
    }
    const written = folded.bars[at]?.bar
    if (!bar || !written || isSamePrint(bar, written)) continue
    const text = `Bar ${numberOf(index)}: the repeats lead to written bar ${at + 1}, which is another bar; check the signs before it.`
    return [issue('VA11', 'error', `bars/${index}`, text)]
  }
  if (order.length <= bars.length) return []
  return [
    issue(
      'VA11',
      'error',
      'folded',
      `The folded score plays ${order.length} bars, the arrangement has ${bars.length}; a repeat is one too many.`,
    ),
  ]
}

/** What each written bar says of its playings is what is played. */
function wrongPlayings(folded: FoldedScore, order: readonly number[]): Issue[] {
  const played = new Map<number, number[]>()
  for (const [index, at] of order.entries()) played.set(at, [...(played.get(at) ?? []), index])
  for (const [at, { playings }] of folded.bars.entries()) {
    const own = played.get(at) ?? []
    const listed = playings.map(({ barIndex }) => barIndex)
    if (own.length === listed.length && own.every((index) => listed.includes(index))) continue
    const text =
      own.length === listed.length
        ? `Written bar ${at + 1} is kept for other bars than it is played as; fold the score again.`
        : `Written bar ${at + 1} is played ${timesWords(own.length)}, but ${keptWords(listed.length)} kept for it; fold the score again.`
    return [issue('VA11', 'error', `folded/bars/${at}`, text)]
  }
  return []
}

const timesWords = (count: number): string => ['never', 'once', 'twice'][count] ?? `${numberWord(count)} times`

const keptWords = (count: number): string => {
  if (count < 2) return count === 0 ? 'no playing is' : 'one playing is'
  return `${numberWord(count)} playings are`
}

const isSamePrint = (a: ArrangedBar, b: ArrangedBar): boolean => a === b || printedContent(a) === printedContent(b)

function isFolded(folded: FoldedScore): boolean {
  const bars: unknown = folded.bars
  return (
    Array.isArray(bars) &&
    bars.every((item: unknown) => {
      const { bar, playings } = (item ?? {}) as { bar?: Partial<ArrangedBar>; playings?: unknown }
      return (
        Array.isArray(playings) &&
        playings.every((one: unknown) => typeof one === 'object' && one !== null) &&
        Array.isArray(bar?.chords) &&
        Array.isArray(bar.melody) &&
        typeof bar.metre === 'object' &&
        typeof bar.key === 'object' &&
        typeof bar.parts === 'object' &&
        Object.values(bar.parts).every(Array.isArray)
      )
    })
  )
}
