/** What free bars share: their tempo, their phrases, and the note a phrase is held on. */
import type { ArrangedBar } from '../../contract/index.js'
import { beatTicks } from '../../fit/index.js'
import { findGroove } from '../../rhythm/index.js'
import { must } from '../../units/index.js'

/** Quarters a minute around which free bars breathe: the rubato groove's own. */
export const RUBATO_BPM = must(findGroove('rubato'), 'the rubato groove').tempo.default

/** Each bar's place in its phrase, and the phrase's length: eights, then a four, a two; a bar left over ends the phrase before it. */
export function phrasesOf(count: number): readonly (readonly [inPhrase: number, length: number])[] {
  const places: (readonly [number, number])[] = []
  while (places.length < count) {
    const rest = count - places.length
    const length = rest >= 8 ? 8 : rest >= 4 ? 4 : 2
    if (rest === 1) places.push([1, 2])
    else for (let at = 0; at < length; at++) places.push([at, length])
  }
  return places
}

/** The tick of a bar's last note where it is held for two beats or more; a section of free bars waits there. */
export function lastFermata(bar: ArrangedBar): number | undefined {
  const note = bar.melody.at(-1)
  return note && note.durationTicks >= 2 * beatTicks(bar.metre) ? note.startTick : undefined
}
