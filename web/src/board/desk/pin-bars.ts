/** The bars a comment may be pinned to, each once: a tune bar that several options show is one bar, what each of them adds is its own. */
import { anchorAt, type BarPlace } from '@chartloft/shared-theory/board'
import type { TalkedOver } from './loft-comments.js'

export interface PinBar {
  /** As counted in the arrangement it is shown in. */
  readonly number: number
  readonly place: BarPlace
  /** Named where the number alone could be another bar of another option. */
  readonly option?: number
}

/** In order of their numbers, then of the options. */
export function pinBars(music: readonly TalkedOver[]): readonly PinBar[] {
  const bars = new Map<string, PinBar>()
  for (const { places, shown, option } of music) {
    for (const index of shown) {
      const place = places[index]
      if (!place) continue
      const { bar: _bar, ...held } = anchorAt(place)
      const key = JSON.stringify(place.tuneBar === undefined ? anchorAt(place) : held)
      if (!bars.has(key)) bars.set(key, { number: index + 1, place, ...(option === undefined ? {} : { option }) })
    }
  }
  const counts = new Map<number, number>()
  for (const { number } of bars.values()) counts.set(number, (counts.get(number) ?? 0) + 1)
  return [...bars.values()]
    .map(({ number, place, option }) => ({
      number,
      place,
      ...(option !== undefined && (counts.get(number) ?? 0) > 1 ? { option } : {}),
    }))
    .sort((a, b) => a.number - b.number || (a.option ?? 0) - (b.option ?? 0))
}
