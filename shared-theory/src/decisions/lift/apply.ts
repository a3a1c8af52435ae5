/** The lift itself: the bar before is prepared, everything from the place on moves. */
import type { ArrangedBar, Chosen, Tune } from '../../contract/index.js'
import { issue } from '../../units/index.js'
import type { Applied } from '../recipe.js'
import { stamped } from '../stamp.js'
import { movedBar, movedNote, moveOf } from './move.js'
import { liftIndex } from './place.js'
import { prepare, preparingAt, type PreparationKind } from './prepare.js'
import { refusalText } from './words.js'

/** Bars with the chosen lift; params may be anything, and what cannot be done leaves the bars as they are with an issue. */
export function lift(kind: PreparationKind, bars: readonly ArrangedBar[], chosen: Chosen, tune: Tune): Applied {
  const { title, params, id } = chosen.option
  const semitones = params['semitones']
  if (typeof semitones !== 'number' || !Number.isInteger(semitones) || Math.abs(semitones) > 6) {
    const text = `${title}: a lift goes up or down by one to six half steps, not by '${String(semitones)}'. Nothing moves.`
    return { bars, issues: [issue('LI12', 'warning', 'chosen', text)] }
  }
  if (semitones === 0) return { bars, issues: [] }
  const index = liftIndex(bars, chosen.at ?? chosen.option.at, tune)
  if (index === undefined) {
    return { bars, issues: [issue('LI12', 'warning', 'chosen', `${title}: no such place in the running order.`)] }
  }
  const out = bars.map((bar, at) => {
    if (at < index) return bar
    return { ...movedBar(bar, semitones), provenance: stamped(bar.provenance, 'lift', id, 'LI5') }
  })
  const issues: Applied['issues'][number][] = []
  const before = bars[index - 1]
  if (before) {
    let bar = before
    const preparing = preparingAt(bars, index, semitones, params['aim'] === 'key' ? 'key' : 'arrival')
    if (kind !== 'direct' && preparing) {
      const preparation = prepare(kind, preparing)
      if ('refused' in preparation) {
        const text = `${title}: ${refusalText(preparation.refused, before, tune)} The bar before stays as written.`
        issues.push(issue('LI6', 'warning', `bars/${index - 1}/chords`, text))
      } else bar = { ...bar, chords: preparation.chords }
    }
    const moved = withPickup(untied(bar), bars[index] as ArrangedBar, semitones, tune)
    if (moved !== before) out[index - 1] = { ...moved, provenance: stamped(before.provenance, 'lift', id, 'LI3') }
  }
  return { bars: out, issues }
}

/** A tie cannot join two pitches: the last note before the lift ends at the bar line. */
function untied(bar: ArrangedBar): ArrangedBar {
  const last = bar.melody.at(-1)
  if (!last?.tiedToNext) return bar
  const { tiedToNext: _tiedToNext, ...ended } = last
  return { ...bar, melody: [...bar.melody.slice(0, -1), ended] }
}

/** A pass's pickup, taking the end of the bar before, belongs to what it leads into and moves with it. */
function withPickup(bar: ArrangedBar, first: ArrangedBar, semitones: number, tune: Tune): ArrangedBar {
  const isLeadIn = tune.pickupTicks > 0 && first.provenance.tuneBar === 1 && bar.provenance.tuneBar !== 0
  if (!isLeadIn || !bar.melody.some(({ source }) => source?.bar === 0)) return bar
  const { interval } = moveOf(first.key, semitones)
  return { ...bar, melody: bar.melody.map((note) => (note.source?.bar === 0 ? movedNote(note, interval) : note)) }
}
