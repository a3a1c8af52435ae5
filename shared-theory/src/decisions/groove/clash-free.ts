/** Which maps a groove takes the bars through: the usual choice, or a single map where that would make a note clash that did not. */
import type { ArrangedBar } from '../../contract/index.js'
import { judgeMelody, neighboursOf } from '../../fit/index.js'
import { type RebarObstacle, type Rebarred, mainMetre, rebarTargets } from '../../rhythm/index.js'
import { sameMetre } from '../../units/index.js'
import { type GrooveRequest, toGrooveMetre } from './place-groove.js'

export interface Taken {
  readonly made: Rebarred | RebarObstacle
  /** Set where another choice than the usual one was needed. */
  readonly mapIds?: readonly string[]
}

/** A note that was passing by can become a held one when its beat is stretched; another map may leave it short. */
export function clashFree(
  bars: readonly ArrangedBar[],
  request: Pick<GrooveRequest, 'groove' | 'mapIds' | 'groups'>,
): Taken {
  const usual = toGrooveMetre(bars, request)
  if (request.mapIds !== undefined || 'why' in usual || usual.steps.every(({ mapId }) => mapId === 'same')) {
    return { made: usual }
  }
  const had = hardNotes(bars)
  const isFree = (made: Rebarred): boolean => [...hardNotes(made.bars)].every((note) => had.has(note))
  if (isFree(usual)) return { made: usual }
  const metre = mainMetre(bars)
  const target = usual.bars.find((bar) => metre && !sameMetre(bar.metre, metre))
  if (!metre || !target) return { made: usual }
  const ids = rebarTargets(metre)
    .filter((route) => sameMetre(route.metre, target.metre) && route.groups.join('+') === target.groups.join('+'))
    .flatMap((route) => route.mapIds)
  for (const id of ids) {
    const made = toGrooveMetre(bars, { ...request, mapIds: [id] })
    if (!('why' in made) && isFree(made)) return { made, mapIds: [id] }
  }
  return { made: usual }
}

/** The tune's notes that clash hard, each by its place in the tune. */
function hardNotes(bars: readonly ArrangedBar[]): ReadonlySet<string> {
  const notes = new Set<string>()
  for (const [index, bar] of bars.entries()) {
    for (const { fit, noteIndex } of judgeMelody(bar, neighboursOf(bars, index))) {
      const source = bar.melody[noteIndex]?.source
      if (fit === 'hard' && source) notes.add(`${source.bar}:${source.index}`)
    }
  }
  return notes
}
