/** Bars that slow down: tempo from bar line to bar line, linear in between. */
import type { ArrangedBar } from '../../contract/index.js'

/** Thousandths of the tempo at the start of the first bar and at every bar's end. Source: from memory. */
const OVER_TWO: readonly number[] = [1000, 920, 780]
const OVER_FOUR: readonly number[] = [1000, 970, 920, 850, 700]

/** From one share of the tempo to another (thousandths), evenly over the bars. */
export function slower(bars: readonly ArrangedBar[], [from, to]: readonly [number, number]): readonly ArrangedBar[] {
  return along(
    bars,
    Array.from({ length: bars.length + 1 }, (_, index) => from + ((to - from) * index) / bars.length),
  )
}

/** The usual ritardando over the last four bars, or over all of two or three. */
export function ritardando(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const curve = bars.length >= 4 ? OVER_FOUR : OVER_TWO
  const count = Math.min(bars.length, curve.length - 1)
  const shares = bars.length === 1 ? [1000, 780] : curve
  return [...bars.slice(0, bars.length - count), ...along(bars.slice(bars.length - count), shares)]
}

function along(bars: readonly ArrangedBar[], shares: readonly number[]): readonly ArrangedBar[] {
  const tempoBpm = bars[0]?.tempoBpm ?? 0
  const at = (index: number): number => Math.round(tempoBpm * (shares[index] ?? 1000)) / 1000
  return bars.map((bar, index) => ({ ...bar, tempoBpm: at(index), tempoEndBpm: at(index + 1) }))
}
