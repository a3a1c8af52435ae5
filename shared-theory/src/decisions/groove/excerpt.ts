/** Before and after: a few bars of a section as they are and as a groove has them, for a screen to show side by side. Plain data. */
import type { ArrangedBar, ArrangedNote, Metre, Option, PlacedChord } from '../../contract/index.js'
import { plainMapId } from '../../rhythm/index.js'
import { readRequest, readWritten, toGrooveMetre, AS_WRITTEN } from './place-groove.js'
import { mapWords } from './words.js'

/** One bar as a reader sees it; ticks as everywhere, 5040 a quarter. */
export interface ExcerptBar {
  readonly metre: Metre
  readonly groups: readonly number[]
  readonly lengthTicks: number
  readonly melody: readonly ArrangedNote[]
  readonly chords: readonly PlacedChord[]
  /** 0-based bar of the tune it comes from (of joined bars the first). */
  readonly tuneBar?: number
}

/** What becomes of one bar, or of the bars that are joined. */
export interface ExcerptStep {
  readonly before: readonly ExcerptBar[]
  readonly after: readonly ExcerptBar[]
  /** What happens to the bars, in words; absent where they stay as they are. */
  readonly words?: string
}

/** The first bars of a section (of the first one where none is named) before and after a groove option, step by step; at least `count` bars of
 *  the tune where the section has them. `bars` are those the option acts on (`barsBefore(plan, 'groove')`). Empty where there are no such
 *  bars or the option cannot be played on them. Notes know their place in the tune by `source`. */
export function rebarExcerpt(
  bars: readonly ArrangedBar[],
  option: Pick<Option, 'recipe' | 'params'>,
  { sectionId, count = 4 }: { readonly sectionId?: string; readonly count?: number } = {},
): readonly ExcerptStep[] {
  const first = bars.find(
    (bar) => bar.provenance.tuneBar !== undefined && (sectionId ?? bar.sectionId) === bar.sectionId,
  )
  if (!first) return []
  const request = option.recipe === AS_WRITTEN ? readWritten(option.params, bars) : readRequest(option.params, bars)
  if (typeof request === 'string') return []
  // The whole is re-barred, so that the maps are those the arrangement takes.
  const made = toGrooveMetre(bars, request)
  if ('why' in made) return []
  const steps: ExcerptStep[] = []
  let firstOut = 0
  let shown = 0
  for (const { from, to, mapId } of made.steps) {
    const before = from.map((index) => bars[index] as ArrangedBar)
    const after = made.bars.slice(firstOut, firstOut + to)
    firstOut += to
    const isHere = before.every(({ sectionId: own, pass }) => own === first.sectionId && pass === first.pass)
    if (!isHere || shown >= count) continue
    shown += from.length
    const words = mapId === 'same' ? {} : { words: mapWords(plainMapId(mapId)) }
    steps.push({ before: before.map(shownBar), after: after.map(shownBar), ...words })
  }
  return steps
}

function shownBar({ metre, groups, lengthTicks, melody, chords, provenance }: ArrangedBar): ExcerptBar {
  const { tuneBar } = provenance
  return { metre, groups, lengthTicks, melody, chords, ...(tuneBar === undefined ? {} : { tuneBar }) }
}
