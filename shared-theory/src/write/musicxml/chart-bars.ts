/** The bars of a chart in the order they are written, each with its number, mark and neighbours. */
import type { ArrangedBar, Arrangement, FoldedBar } from '../../contract/index.js'
import { fold } from '../../roadmap/index.js'
import { type ChartBar, isPickupBar } from './measure.js'
import { sectionMarks } from './section-marks.js'

/** Every bar as played. */
export function linearCharts(bars: readonly ArrangedBar[]): readonly ChartBar[] {
  return chartsOf(bars, bars, [])
}

/** With repeats, D.S. and coda. */
export function foldedCharts(arrangement: Arrangement): readonly ChartBar[] {
  const folded = fold(arrangement).bars
  return chartsOf(
    folded.map(({ bar }) => bar),
    arrangement.bars,
    folded,
  )
}

function chartsOf(
  written: readonly ArrangedBar[],
  played: readonly ArrangedBar[],
  folded: readonly FoldedBar[],
): readonly ChartBar[] {
  const coda = folded.findIndex((bar) => bar.coda)
  const playedBefore = (index: number): ArrangedBar | undefined =>
    played[(folded[index]?.playings[0]?.barIndex ?? index) - 1]
  const marks = sectionMarks(written, coda < 0 ? undefined : coda, playedBefore)
  const hasRepeats = folded.some(({ repeatEnd }) => repeatEnd !== undefined)
  const firstNumber = written[0] && isPickupBar(written[0], 0) ? 0 : 1
  return written.map((bar, index): ChartBar => {
    const own = folded[index]
    const before = playedBefore(index)
    const mark = marks.get(index)
    return {
      bar,
      number: index + firstNumber,
      ...(own ? { folded: own } : {}),
      ...(index > 0 ? { writtenBefore: written[index - 1]! } : {}),
      ...(before ? { playedBefore: before } : {}),
      ...(index + 1 < written.length ? { writtenAfter: written[index + 1]! } : {}),
      ...(mark ? { mark } : {}),
      isPickup: isPickupBar(bar, index),
      hasRepeats,
      ...endingEdges(folded, index),
      ...(isOpenRepeat(folded, index) ? { isOpen: true as const } : {}),
    }
  })
}

/** Whether an ending's bracket begins or ends at a written bar. */
function endingEdges(
  folded: readonly FoldedBar[],
  index: number,
): Partial<Pick<ChartBar, 'endingStarts' | 'endingStops' | 'endingFollows'>> {
  const own = folded[index]?.ending?.join()
  if (own === undefined) return folded[index + 1]?.ending ? { endingFollows: true } : {}
  return {
    ...(folded[index - 1]?.ending?.join() === own ? {} : { endingStarts: true as const }),
    ...(folded[index + 1]?.ending?.join() === own ? {} : { endingStops: true as const }),
  }
}

/** A repeat that ends here and is played until the cue. */
function isOpenRepeat(folded: readonly FoldedBar[], index: number): boolean {
  if (folded[index]?.repeatEnd === undefined) return false
  let start = index
  while (start > 0 && !folded[start]?.repeatStart) start--
  return /\bon cue\b/i.test(folded[start]?.bar.mark ?? '')
}
