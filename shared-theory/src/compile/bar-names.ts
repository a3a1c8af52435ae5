/** Names of bars that hand edits hold on to: pass, section and place in it, and which bar of the tune that is. */
import type { ArrangedBar, BarRef } from '../contract/index.js'
import { barTicks } from '../units/index.js'

/** The name of a bar: the inverse of `findBar`. A pickup has that of the bar it leads to. */
export function nameOfBar(bars: readonly ArrangedBar[], index: number): BarRef | undefined {
  return namesOfBars(bars)[index]
}

/** Index of a bar named by pass, section and place within it; undefined where there is none. */
export function findBar(bars: readonly ArrangedBar[], at: BarRef): number | undefined {
  return playedOf(bars).get(spot(at))?.[at.bar]
}

/** Every bar's name. */
export function namesOfBars(bars: readonly ArrangedBar[]): readonly BarRef[] {
  const starts = sectionStarts(bars)
  const names: BarRef[] = bars.map(({ pass, sectionId }) => ({ pass, sectionId, bar: 0 }))
  for (const indices of playedOf(bars).values()) {
    const tuneBars = indices.map((index) => bars[index]?.provenance.tuneBar)
    // A groove doubles all bars or none, so the first tells; a single bar may have been lengthened by hand.
    const isDoubled = tuneBars[0] === tuneBars[1] && tuneBars.some((tuneBar) => tuneBar !== tuneBars[0])
    let part = 0
    indices.forEach((index, bar) => {
      const { pass, sectionId } = bars[index] as ArrangedBar
      const tuneBar = tuneBars[bar]
      const start = starts.get(sectionId)
      part = bar > 0 && tuneBars[bar - 1] === tuneBar ? part + 1 : 0
      // What an opening or ending has made is counted as it stands.
      const isOfTune = tuneBar !== undefined && start !== undefined && sectionId !== pass
      names[index] = {
        pass,
        sectionId,
        bar,
        ...(isOfTune ? { ofSection: tuneBar - start } : {}),
        ...(isOfTune && isDoubled ? { part } : {}),
      }
    })
  }
  return names
}

/** Index into Tune.bars of each section's first bar, read from the bars played. */
export function sectionStarts(bars: readonly ArrangedBar[]): ReadonlyMap<string, number> {
  const starts = new Map<string, number>()
  for (const [index, { sectionId, provenance }] of bars.entries()) {
    const { tuneBar } = provenance
    if (tuneBar !== undefined && !isPickup(bars, index))
      starts.set(sectionId, Math.min(tuneBar, starts.get(sectionId) ?? tuneBar))
  }
  return starts
}

/** Indices of the bars of each section of each pass. A pickup leads in; bar 0 of a section is the one after it. */
export function playedOf(bars: readonly ArrangedBar[]): ReadonlyMap<string, readonly number[]> {
  const played = new Map<string, number[]>()
  for (const [index, bar] of bars.entries()) {
    if (isPickup(bars, index)) continue
    const known = played.get(spot(bar))
    if (known) known.push(index)
    else played.set(spot(bar), [index])
  }
  return played
}

export const spot = ({ pass, sectionId }: Pick<BarRef, 'pass' | 'sectionId'>): string =>
  JSON.stringify([pass, sectionId])

export const isPickup = (bars: readonly ArrangedBar[], index: number): boolean => {
  const bar = bars[index]
  return index === 0 && bar !== undefined && bar.lengthTicks < barTicks(bar.metre)
}
