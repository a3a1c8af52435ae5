/** The order in which players play a folded score's written bars: repeats, endings, one jump, the coda. */
import type { FoldedBar } from '../contract/index.js'

export interface PlayingOrder {
  /** Indices of written bars. */
  readonly order: readonly number[]
  /** Where the marks don't lead on: index of the written bar and what is missing. */
  readonly broken: readonly { readonly bar: number; readonly missing: 'coda' | 'segno' | 'to-coda' | 'repeat-start' }[]
}

/** After a D.S. or D.C. repeats are not taken again and the last ending is played (common practice). Total: a mark that leads
 *  nowhere is passed over and named in `broken`; marks that play far more than the playings say are cut off. */
export function playingOrder(bars: readonly FoldedBar[]): PlayingOrder {
  const order: number[] = []
  const segno = bars.findIndex((bar) => bar.segno)
  const coda = bars.findIndex((bar) => bar.coda)
  let at = 0
  let repeatFrom = 0
  let time = 1
  let hasJumped = false
  const most = bars.reduce((sum, { playings }) => sum + playings.length, bars.length)
  while (at < bars.length && order.length < most) {
    const bar = bars[at] as FoldedBar
    if (bar.repeatStart && repeatFrom !== at) {
      repeatFrom = at
      time = 1
    }
    if (bar.ending && !bar.ending.includes(hasJumped ? lastEnding(bars, at) : time)) {
      at++
      continue
    }
    order.push(at)
    const next = nextBar(bar, at)
    at = next
  }
  return { order, broken: brokenMarks(bars) }

  function nextBar(bar: FoldedBar, here: number): number {
    if (hasJumped && bar.toCoda && coda > here) return coda
    if (!hasJumped && bar.repeatEnd !== undefined) {
      if (time < bar.repeatEnd) {
        time++
        return repeatFrom
      }
      time = 1
      repeatFrom = here + 1
    }
    const target = bar.jump?.startsWith('D.S.') ? segno : 0
    if (!hasJumped && bar.jump && target >= 0) {
      hasJumped = true
      return target
    }
    return here + 1
  }
}

/** The highest ending number of the group of endings a bar stands in. */
function lastEnding(bars: readonly FoldedBar[], at: number): number {
  let last = 0
  for (let index = at; index < bars.length && bars[index]?.ending; index++) {
    last = Math.max(last, ...(bars[index]?.ending ?? []))
  }
  return last
}

function brokenMarks(bars: readonly FoldedBar[]): PlayingOrder['broken'] {
  const broken: { bar: number; missing: 'coda' | 'segno' | 'to-coda' | 'repeat-start' }[] = []
  const hasSegno = bars.some((bar) => bar.segno)
  const coda = bars.findIndex((bar) => bar.coda)
  let hasToCoda = false
  for (const [index, bar] of bars.entries()) {
    if (bar.toCoda) {
      hasToCoda = true
      if (coda < 0) broken.push({ bar: index, missing: 'coda' })
    }
    if (bar.jump?.startsWith('D.S.') && !hasSegno) broken.push({ bar: index, missing: 'segno' })
    if (bar.jump?.endsWith('al Coda') && !hasToCoda) broken.push({ bar: index, missing: 'to-coda' })
  }
  return broken
}
