/** The lift itself: the bar before is prepared, everything from the place on moves. */
import type { ArrangedBar, Chosen, Option, Tune } from '../../contract/index.js'
import { issue, parseKey, pitchClass, tonicOf } from '../../units/index.js'
import type { Applied } from '../recipe.js'
import { stamped } from '../stamp.js'
import { type Aim, isAimed, type Line, type PreparationKind } from './kinds.js'
import { type Manner, movedBar } from './move.js'
import { brokenUnder } from './pickup-break.js'
import { liftIndex } from './place.js'
import { prepare, preparingAt, type Preparing } from './prepare.js'
import { keyWord, refusalText, shown } from './words.js'

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
  const manner = mannerOf(params)
  const out = bars.map((bar, at) => {
    if (at < index) return bar
    return { ...movedBar(bar, semitones, manner), provenance: stamped(bar.provenance, 'lift', id, 'LI5') }
  })
  const before = bars[index - 1]
  const aim: Aim = params['aim'] === 'key' ? 'key' : 'arrival'
  const preparing = preparingAt(bars, index, semitones, aim, manner)
  if (!before || !preparing) return { bars: out, issues: elsewhere(title, params, out[index], index) }
  const scene: Scene = { bars, index, semitones, tune, manner, ...lineOf(params) }
  const { chords, issues } = isArrivalOf(before, bars[index - 2])
    ? { issues: keptArrival(kind, title, index) }
    : preparedChords(kind, title, preparing, scene)
  const bar = untied(
    chords === undefined ? brokenUnder(preparing.bar, before, preparing.around) : { ...preparing.bar, chords },
  )
  if (bar !== before) out[index - 1] = { ...bar, provenance: stamped(before.provenance, 'lift', id, 'LI3') }
  return { bars: out, issues: [...elsewhere(title, params, out[index], index), ...issues] }
}

/** The title names a key; where what the lift starts from has changed since (a lift before it gone, another key), it leads elsewhere. */
function elsewhere(
  title: string,
  params: Option['params'],
  first: ArrangedBar | undefined,
  index: number,
): Applied['issues'] {
  const to = typeof params['to'] === 'string' ? parseKey(params['to']) : undefined
  if (!to || !first || pitchClass(to.tonic) === pitchClass(tonicOf(first.key.key))) return []
  const text = `${title}: it starts from another key now, so it leads to ${keyWord(first.key)}.`
  return [issue('LI10', 'note', `bars/${index}/key`, text)]
}

interface Scene {
  readonly bars: readonly ArrangedBar[]
  readonly index: number
  readonly semitones: number
  readonly tune: Tune
  readonly manner: Manner
  readonly line?: Line
}

/** Octave and spelling as the params ask; anything else is the usual. */
export function mannerOf(params: Option['params']): Manner {
  const octave = params['octave']
  return {
    ...(octave === 1 || octave === -1 ? { octave } : {}),
    ...(params['spelling'] === 'sharps' ? { prefer: 'sharps' as const } : {}),
  }
}

/** The way of a chromatic line, if the params name one. */
export function lineOf(params: Option['params']): { readonly line?: Line } {
  const line = params['line']
  return line === 'rising' || line === 'falling' ? { line } : {}
}

/** The bar before is itself the first of an earlier lift: what that one leads to is not taken away. */
const isArrivalOf = ({ provenance }: ArrangedBar, before: ArrangedBar | undefined): boolean =>
  before !== undefined && provenance.rule === 'LI5' && !isMovedBy(before, provenance.optionId)

const isMovedBy = ({ provenance }: ArrangedBar, optionId: string | undefined): boolean =>
  [provenance, ...(provenance.trail ?? [])].some((step) => step.rule === 'LI5' && step.optionId === optionId)

function keptArrival(kind: PreparationKind, title: string, index: number): Applied['issues'] {
  if (kind === 'direct') return []
  const text = `${title}: the bar before is where the lift before it arrives and keeps its chord, so this one comes unprepared.`
  return [issue('LI10', 'note', `bars/${index - 1}/chords`, text)]
}

/** The preparing bar's chords: as asked; where the melody refuses them (another decision may have changed what arrives), the same
 *  preparation aimed the other way; else none, and an issue says which note forbids it. */
function preparedChords(
  kind: PreparationKind,
  title: string,
  asked: Preparing,
  { bars, index, semitones, tune, manner, line }: Scene,
): { readonly chords?: ArrangedBar['chords']; readonly issues: Applied['issues'] } {
  if (kind === 'direct') return { issues: [] }
  const preparation = prepare(kind, asked, line)
  if (!('refused' in preparation)) return { chords: preparation.chords, issues: [] }
  const path = `bars/${index - 1}/chords`
  const refusal = `${title}: ${refusalText(preparation.refused, asked.bar, tune)}`
  const isKey = asked.goal !== asked.arriving
  const other = isAimed(kind) ? preparingAt(bars, index, semitones, isKey ? 'arrival' : 'key', manner) : undefined
  const second = other && prepare(kind, other, line)
  if (!second || 'refused' in second) {
    return { issues: [issue('LI6', 'warning', path, `${refusal} The bar before stays as written.`)] }
  }
  const text = `${refusal} It leads to ${isKey ? 'the chord that arrives' : 'the new key'} instead, with ${second.leading.map(shown).join(' ')}.`
  return { chords: second.chords, issues: [issue('LI6', 'note', path, text)] }
}

/** A tie cannot join two pitches: the last note before the lift ends at the bar line. */
function untied(bar: ArrangedBar): ArrangedBar {
  const last = bar.melody.at(-1)
  if (!last?.tiedToNext) return bar
  const { tiedToNext: _tiedToNext, ...ended } = last
  return { ...bar, melody: [...bar.melody.slice(0, -1), ended] }
}
