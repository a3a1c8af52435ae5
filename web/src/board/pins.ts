/** Comments at their bars: where each stands now in an arrangement, and the numbers its pins carry. */
import type { ArrangedBar } from '@chartloft/shared-theory'
import { anchoredBar, type BarPlace, barPlaces, type DraftComment } from '@chartloft/shared-theory/board'
import { anchorOf, type ShownBar } from '../look/bars.js'

type Pins = NonNullable<ShownBar['pins']>

const places = new WeakMap<readonly ArrangedBar[], readonly BarPlace[]>()
/** Worked out once an arrangement. */
export function placesOf(bars: readonly ArrangedBar[]): readonly BarPlace[] {
  const known = places.get(bars) ?? barPlaces(bars)
  places.set(bars, known)
  return known
}

/** Comments carry the number they have among the open ones, the same on every page; one that is done with has none. */
export function pinNumbers(comments: readonly DraftComment[]): ReadonlyMap<string, number> {
  return new Map(comments.filter(({ resolved }) => !resolved).map(({ id }, index) => [id, index + 1]))
}

const pinned = new WeakMap<
  readonly BarPlace[],
  { readonly of: readonly DraftComment[]; readonly pins: ReadonlyMap<number, Pins> }
>()
/** Pins by bar of the arrangement, open comments only. */
export function pinsAt(there: readonly BarPlace[], comments: readonly DraftComment[]): ReadonlyMap<number, Pins> {
  const known = pinned.get(there)
  if (known?.of === comments) return known.pins
  const numbers = pinNumbers(comments)
  const pins = new Map<number, Pins>()
  for (const comment of comments) {
    const number = numbers.get(comment.id)
    const bar = number === undefined ? undefined : anchoredBar(comment.anchor, there)
    if (number === undefined || bar === undefined) continue
    pins.set(bar, [...(pins.get(bar) ?? []), { number, id: anchorOf(comment.id) }])
  }
  pinned.set(there, { of: comments, pins })
  return pins
}
