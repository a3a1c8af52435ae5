/** What stands above the staff at a bar: marks, tempo, feel, road signs, dynamics. */
import type { ArrangedBar, FoldedBar } from '../../contract/index.js'
import { hasNewTempo, jumpWords, type TimeMark, timeMark, timesWords } from './chart-marks.js'
import type { SectionMark } from './section-marks.js'
import { type XmlElement, el, leaf } from './xml.js'

const direction = (
  types: readonly XmlElement[],
  sound?: XmlElement,
  placement: 'above' | 'below' = 'above',
): XmlElement => el('direction', { placement }, ...types.map((type) => el('direction-type', {}, type)), sound)

const words = (text: string, attributes: { readonly [name: string]: string | number } = {}): XmlElement =>
  leaf('words', text, attributes)

/** Rehearsal letter in its box, the form letter beside it. */
export function markDirections(mark: SectionMark): XmlElement[] {
  return [
    direction([leaf('rehearsal', mark.letter, { enclosure: 'square', 'font-weight': 'bold' })]),
    direction([words(mark.form, { 'font-weight': 'bold', 'font-style': 'normal' })]),
  ]
}

/** Segno or coda sign at a bar's start, with what a player program needs to come here. */
export function signDirections(folded: FoldedBar): XmlElement[] {
  return [
    ...(folded.segno ? [direction([el('segno')], el('sound', { segno: 'segno' }))] : []),
    ...(folded.coda ? [direction([el('coda')], el('sound', { coda: 'coda' }))] : []),
  ]
}

/** Whose small notes these are. */
export const cueDirection = (name: string): XmlElement =>
  direction([words(`(${name})`, { 'font-size': 8, 'font-style': 'normal', 'font-weight': 'normal' })])

const AT_BAR_END = { 'font-weight': 'bold', 'font-style': 'normal', justify: 'right', halign: 'right' }

/** To Coda, D.S., D.C. and the number of times, at a bar's end. */
export function jumpDirections(
  folded: FoldedBar,
  { hasRepeats, isOpen }: { readonly hasRepeats: boolean; readonly isOpen: boolean },
): XmlElement[] {
  const found: XmlElement[] = []
  const times = timesWords(folded, isOpen)
  if (times !== undefined) found.push(direction([words(times, AT_BAR_END)]))
  if (folded.toCoda) found.push(direction([words('To Coda', AT_BAR_END)], el('sound', { tocoda: 'coda' })))
  const jump = jumpWords(folded, hasRepeats)
  if (jump !== undefined) {
    const sound = folded.jump?.startsWith('D.S.') ? el('sound', { dalsegno: 'segno' }) : el('sound', { dacapo: 'yes' })
    found.push(direction([words(jump, AT_BAR_END)], sound))
  }
  return found
}

/** Tempo and feel where they change: words, metronome mark and playback tempo. */
export function tempoDirections(
  bar: ArrangedBar,
  before: ArrangedBar | undefined,
  feelName: (feel: string) => string,
): XmlElement[] {
  const { feel, ramp, beat } = timeMark(bar, before, feelName)
  const types: XmlElement[] = []
  if (feel !== undefined) types.push(words(feel, { 'font-weight': 'bold' }))
  if (ramp !== undefined) types.push(words(ramp, { 'font-style': 'italic' }))
  if (beat !== undefined) types.push(metronome(beat))
  const ended = before && (before.tempoEndBpm ?? before.tempoBpm)
  const sounds = ended === undefined || ended !== bar.tempoBpm
  if (types.length === 0) return sounds ? [el('sound', { tempo: decimal(bar.tempoBpm) })] : []
  const isTold = sounds || hasNewTempo(bar, before)
  return [direction(types, isTold ? el('sound', { tempo: decimal(bar.tempoBpm) }) : undefined)]
}

function metronome({ unit, isDotted, perMinute }: NonNullable<TimeMark['beat']>): XmlElement {
  return el(
    'metronome',
    { parentheses: 'no' },
    leaf('beat-unit', unit),
    isDotted && el('beat-unit-dot'),
    leaf('per-minute', perMinute),
  )
}

const decimal = (value: number): string => `${Math.round(value * 1000) / 1000}`

export function textDirection(text: string): XmlElement {
  return direction([words(text, { 'font-style': 'italic' })])
}

export function dynamicDirection(dynamic: NonNullable<ArrangedBar['dynamic']>): XmlElement {
  return direction([el('dynamics', {}, el(dynamic))], undefined, 'below')
}
