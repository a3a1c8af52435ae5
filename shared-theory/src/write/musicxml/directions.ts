/** What stands above the staff at a bar: marks, tempo, feel, road signs, dynamics. */
import type { ArrangedBar, FoldedBar } from '../../contract/index.js'
import { barGrid } from './bar-grid.js'
import type { SectionMark } from './section-marks.js'
import { type XmlElement, el, leaf } from './xml.js'

const direction = (
  types: readonly XmlElement[],
  sound?: XmlElement,
  placement: 'above' | 'below' = 'above',
): XmlElement => el('direction', { placement }, ...types.map((type) => el('direction-type', {}, type)), sound)

const words = (text: string, attributes: { readonly [name: string]: string } = {}): XmlElement =>
  leaf('words', text, attributes)

/** Rehearsal letter in its box, the form letter beside it; the bar's number too where the engraver would leave it out. */
export function markDirections(mark: SectionMark, barNumber: number | undefined): XmlElement[] {
  return [
    direction([leaf('rehearsal', mark.letter, { enclosure: 'square', 'font-weight': 'bold' })]),
    direction([
      words(barNumber === undefined ? mark.form : `${mark.form} · bar ${barNumber}`, {
        'font-weight': 'bold',
        'font-style': 'normal',
      }),
    ]),
  ]
}

/** Segno or coda sign at a bar's start, with what a player program needs to come here. */
export function signDirections(folded: FoldedBar): XmlElement[] {
  return [
    ...(folded.segno ? [direction([el('segno')], el('sound', { segno: 'segno' }))] : []),
    ...(folded.coda ? [direction([el('coda')], el('sound', { coda: 'coda' }))] : []),
  ]
}

const AT_BAR_END = { 'font-weight': 'bold', 'font-style': 'normal', justify: 'right', halign: 'right' }

/** To Coda, D.S., D.C. and the number of times, at a bar's end. A chart with repeats says that a jump leaves them out; an open repeat
 *  has no number, endings say theirs above. */
export function jumpDirections(
  folded: FoldedBar,
  { hasRepeats, isOpen }: { readonly hasRepeats: boolean; readonly isOpen: boolean },
): XmlElement[] {
  const found: XmlElement[] = []
  const times = folded.repeatEnd
  if (times !== undefined && isOpen) found.push(direction([words('Open, on cue', AT_BAR_END)]))
  else if (times !== undefined && times > 2 && !folded.ending) found.push(direction([words(`${times}×`, AT_BAR_END)]))
  if (folded.toCoda) found.push(direction([words('To Coda', AT_BAR_END)], el('sound', { tocoda: 'coda' })))
  if (folded.jump) {
    const sound = folded.jump.startsWith('D.S.') ? el('sound', { dalsegno: 'segno' }) : el('sound', { dacapo: 'yes' })
    found.push(direction([words(hasRepeats ? `${folded.jump} (no repeats)` : folded.jump, AT_BAR_END)], sound))
  }
  return found
}

/** Tempo and feel where they change: words, metronome mark and playback tempo. `feelName` is printed only where it changes. Where the band
 *  plays freely its pushing and holding back is only for playback, and the time after it begins with a number. */
export function tempoDirections(
  bar: ArrangedBar,
  before: ArrangedBar | undefined,
  feelName: (feel: string) => string,
): XmlElement[] {
  const beforeEnd = before && (before.tempoEndBpm ?? before.tempoBpm)
  const feelChanged = !before || before.feel !== bar.feel
  const wasRamp = before?.tempoEndBpm !== undefined
  const isRamp = bar.tempoEndBpm !== undefined
  const jumped = beforeEnd === undefined || Math.abs(beforeEnd - bar.tempoBpm) > 0.5
  const types: XmlElement[] = []
  if (feelChanged) types.push(words(feelName(bar.feel), { 'font-weight': 'bold' }))
  const isFree = bar.feel === 'rubato'
  const wasFree = before?.feel === 'rubato'
  if (bar.tempoEndBpm !== undefined && !isFree && (!wasRamp || wasFree))
    types.push(words(bar.tempoEndBpm < bar.tempoBpm ? 'rit.' : 'accel.', { 'font-style': 'italic' }))
  const isNewTime = wasFree || (jumped && !(isRamp && wasRamp))
  if (isNewTime && !isFree) types.push(metronome(bar))
  const sounds = beforeEnd === undefined || beforeEnd !== bar.tempoBpm
  if (types.length === 0) return sounds ? [el('sound', { tempo: decimal(bar.tempoBpm) })] : []
  return [direction(types, sounds || jumped ? el('sound', { tempo: decimal(bar.tempoBpm) }) : undefined)]
}

/** The beat people count and how many a minute: a dotted quarter in 6/8. */
function metronome(bar: ArrangedBar): XmlElement {
  const isDotted = barGrid(bar).isCompound
  return el(
    'metronome',
    { parentheses: 'no' },
    leaf('beat-unit', bar.metre.beatType === 2 ? 'half' : 'quarter'),
    isDotted && el('beat-unit-dot'),
    leaf(
      'per-minute',
      Math.round(isDotted ? bar.tempoBpm / 1.5 : bar.metre.beatType === 2 ? bar.tempoBpm / 2 : bar.tempoBpm),
    ),
  )
}

const decimal = (value: number): string => `${Math.round(value * 1000) / 1000}`

export function textDirection(text: string): XmlElement {
  return direction([words(text, { 'font-style': 'italic' })])
}

export function dynamicDirection(dynamic: NonNullable<ArrangedBar['dynamic']>): XmlElement {
  return direction([el('dynamics', {}, el(dynamic))], undefined, 'below')
}
