/** From time into a free section: the last bar slows down, and the first free chord is waited on. Source: common practice; 70 % from memory. */
import type { ArrangedBar } from '../contract/index.js'

/** Thousandths of the tempo at the end of the last bar in time. */
const ENDS_AT = 700

/** Bars with a tempo of their own at the end, or a fermata, keep it. */
export function slowedIntoFree(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const isFree = (bar: ArrangedBar | undefined): boolean => bar?.feel === 'rubato'
  return bars.map((bar, index) => {
    const next = bars[index + 1]
    if (!isFree(bar) && next && isFree(next) && bar.tempoEndBpm === undefined)
      return { ...bar, tempoEndBpm: Math.round(bar.tempoBpm * ENDS_AT) / 1000 }
    const begins = index > 0 && isFree(bar) && !isFree(bars[index - 1])
    return begins && bar.fermataTick === undefined && bar.chords[0]?.startTick === 0 ? { ...bar, fermataTick: 0 } : bar
  })
}
