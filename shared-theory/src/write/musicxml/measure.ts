/** One bar of one part as a measure element. */
import type { ArrangedBar, FoldedBar, PlacedChord } from '../../contract/index.js'
import { barTicks, sameMetre } from '../../units/index.js'
import type { AccidentalKeeper } from './accidentals.js'
import { attributesElement, restBarsElement } from './attributes.js'
import { type BarGrid, barGrid } from './bar-grid.js'
import { beamsOf } from './beams.js'
import {
  type ChartPart,
  type ChartVoice,
  isCued,
  isSlashed,
  printedNotes,
  showsHarmony,
  voicesOf,
} from './chart-part.js'
import { freeWords } from './chart-marks.js'
import {
  cueDirection,
  dynamicDirection,
  jumpDirections,
  markDirections,
  signDirections,
  tempoDirections,
  textDirection,
} from './directions.js'
import { harmonyElement } from './harmony.js'
import { type VoiceEvent, layOutVoice } from './lay-out-voice.js'
import { noteElements } from './note-element.js'
import type { SectionMark } from './section-marks.js'
import { writtenKey } from './written-pitch.js'
import { type XmlElement, el, leaf } from './xml.js'

/** A bar as it stands in the chart, with its neighbours. */
export interface ChartBar {
  readonly bar: ArrangedBar
  readonly number: number
  readonly folded?: FoldedBar
  /** The bar written before it, and the bar played before its first playing. */
  readonly writtenBefore?: ArrangedBar
  readonly playedBefore?: ArrangedBar
  readonly writtenAfter?: ArrangedBar
  readonly mark?: SectionMark
  readonly isPickup: boolean
  /** A new line of the chart begins here. */
  readonly isLineStart?: boolean
  readonly hasRepeats: boolean
  /** The bracket of an ending begins, or ends, at this bar. */
  readonly endingStarts?: true
  readonly endingStops?: true
  /** The next bar begins an ending, and this one stands under none. */
  readonly endingFollows?: true
  /** A repeat ends here that is played until the cue. */
  readonly isOpen?: true
  /** First of this many bars of rest printed as one. */
  readonly restBars?: number
  /** The band's last hit, of which a comping player's chart shows only the rhythm. */
  readonly isLastHit?: true
  /** What this part alone reads above the bar: 'Solo', 'fill'. */
  readonly partWords?: string
}

export interface MeasureContext {
  readonly part: ChartPart
  readonly isScore: boolean
  readonly isEngraving: boolean
  readonly feelName: (feel: string) => string
  readonly drumId: (key: number) => string
  readonly keepers: readonly AccidentalKeeper[]
  /** Name of the part that has a bar's melody. */
  readonly melodyPlayer: (bar: ArrangedBar) => string | undefined
}

export function measureElement(chart: ChartBar, context: MeasureContext): XmlElement {
  const { bar } = chart
  const { part } = context
  const voices = voicesOf(part, bar)
  const grid = barGrid(bar)
  const isRested = chart.restBars !== undefined && context.isEngraving
  const harmonies = showsHarmony(part, bar, context.isScore) && !isRested ? bar.chords : []
  const laidOut = voices.map((voice, index) =>
    voiceElements(chart, context, grid, voice, index === 0 ? harmonies : [], index === 0),
  )
  const backed = laidOut.flatMap((elements, index) => (index === 0 ? elements : [backup(bar.lengthTicks), ...elements]))
  return el(
    'measure',
    { number: chart.number, implicit: chart.isPickup && 'yes' },
    chart.isLineStart && el('print', { 'new-system': 'yes' }),
    leftBarline(chart),
    attributesElement(attributeChanges(chart, part)),
    // Whoever engraves draws the marks above the staves itself, from `chartMark`.
    (part.isTop || !context.isScore) && !context.isEngraving && systemDirections(chart, context),
    bar.dynamic && dynamicDirection(bar.dynamic),
    cueDirections(chart, context),
    // After the directions: engravers that jump over rested bars here would otherwise lose them.
    chart.restBars !== undefined && restBarsElement(chart.restBars),
    backed,
    (part.isTop || !context.isScore) &&
      !context.isEngraving &&
      chart.folded &&
      jumpDirections(chart.folded, { hasRepeats: chart.hasRepeats, isOpen: chart.isOpen === true }),
    rightBarline(chart),
  )
}

const backup = (ticks: number): XmlElement => el('backup', {}, leaf('duration', ticks))

function attributeChanges(chart: ChartBar, part: ChartPart): Parameters<typeof attributesElement>[0] {
  const { bar, writtenBefore: before } = chart
  const keyChanged = !before || before.key.fifths !== bar.key.fifths || before.key.mode !== bar.key.mode
  const metreChanged = !before || !sameMetre(before.metre, bar.metre)
  const isSlashed = isSlashBar(bar, part)
  const wasSlashed = before !== undefined && isSlashBar(before, part)
  return {
    isFirst: !before,
    ...(keyChanged
      ? { key: { signature: bar.key, written: writtenKey(bar.key, part.interval), isDrums: part.isDrums } }
      : {}),
    ...(metreChanged ? { metre: bar.metre } : {}),
    staves: part.staves,
    clef: part.clef,
    // On two staves the slash style would be repeated below; the slash heads say it already.
    ...(isSlashed === wasSlashed || part.staves === 2
      ? {}
      : { slash: isSlashed ? ('start' as const) : ('stop' as const) }),
  }
}

/** A bar the player fills alone. */
function isSlashBar(bar: ArrangedBar, part: ChartPart): boolean {
  return isSlashed(bar, part.spec.id) && printedNotes(bar, part.spec.id).every((note) => note.printed === 'slash')
}

function systemDirections(chart: ChartBar, context: MeasureContext): XmlElement[] {
  const { bar, folded } = chart
  return [
    ...(folded ? signDirections(folded) : []),
    ...(chart.mark ? markDirections(chart.mark) : []),
    ...tempoDirections(bar, chart.writtenBefore, context.feelName),
    ...[freeWords(chart), chart.partWords].flatMap((text) => (text === undefined ? [] : [textDirection(text)])),
  ]
}

/** Whose notes a cue is: said where it begins. */
function cueDirections({ bar, writtenBefore: before }: ChartBar, { part, melodyPlayer }: MeasureContext): XmlElement[] {
  if (!isCued(part, bar) || (before && isCued(part, before))) return []
  const name = melodyPlayer(bar)
  return name === undefined ? [] : [cueDirection(name)]
}

function voiceElements(
  chart: ChartBar,
  context: MeasureContext,
  grid: BarGrid,
  voice: ChartVoice,
  harmonies: readonly PlacedChord[],
  isFirstVoice: boolean,
): XmlElement[] {
  const { bar } = chart
  const { part, keepers } = context
  const { up, fifths } = writtenKey(bar.key, part.interval)
  const keeper = keepers[(voice.staff ?? 1) - 1] as AccidentalKeeper
  if (isFirstVoice || voice.staff === 2) keeper.startBar(fifths)
  const events = layOutVoice(grid, voice.notes, { slashed: voice.slashed, bar })
  const beams = beamsOf(grid, events)
  const sung = melodyByStart(bar, part)
  let tiedIn = tiesInto(chart, part)
  return events.flatMap((event, index) => {
    const endTick = event.startTick + event.durationTicks
    const here = harmonies.filter(
      ({ startTick }) => startTick >= event.startTick && (startTick < endTick || index === events.length - 1),
    )
    const note = noteElements(event, {
      voice: voice.number,
      ...(voice.staff === undefined ? {} : { staff: voice.staff }),
      ...(voice.hidesRests ? { hidesRests: true } : {}),
      ...(chart.isLastHit ? { isRhythm: true } : {}),
      ...(up ? { up } : {}),
      accidentals: keeper,
      ...(part.isDrums ? { drumId: context.drumId } : {}),
      tiedIn,
      isCue: voice.isCue === true,
      isBassClef: part.clef === 'bass' || voice.staff === 2,
      // Once a staff.
      hasFermata: (isFirstVoice || voice.staff === 2) && holdsFermata(bar, event, index === events.length - 1),
      beams: beams[index] ?? [],
      tupletEdge: {
        start: event.tuplet !== events[index - 1]?.tuplet,
        stop: event.tuplet !== events[index + 1]?.tuplet,
      },
      ...(sung.get(event.startTick) ? { sung: sung.get(event.startTick)! } : {}),
    })
    tiedIn = new Set(event.notes.filter(({ tiedToNext }) => tiedToNext).map(({ midi }) => midi))
    return [
      ...here.map((placed) =>
        harmonyElement(placed, { up, fifths: bar.key.fifths }, placed.startTick - event.startTick, context.isEngraving),
      ),
      ...note,
    ]
  })
}

/** The melody's own notes, for words and graces, where this part leads or sings. */
function melodyByStart(bar: ArrangedBar, part: ChartPart): ReadonlyMap<number, ArrangedBar['melody'][number]> {
  const leads = part.spec.role === 'lead' || part.spec.role === 'voice'
  return new Map(leads ? bar.melody.map((note) => [note.startTick, note]) : [])
}

function tiesInto(chart: ChartBar, part: ChartPart): ReadonlySet<number> {
  const before = chart.playedBefore
  if (!before) return new Set()
  const atEnd = printedNotes(before, part.spec.id).filter(
    (note) =>
      note.tiedToNext === true &&
      note.printed !== 'slash' &&
      note.startTick + note.durationTicks === before.lengthTicks,
  )
  return new Set(atEnd.map(({ midi }) => midi))
}

function holdsFermata(bar: ArrangedBar, event: VoiceEvent, isLastEvent: boolean): boolean {
  const tick = bar.fermataTick
  if (tick === undefined) return false
  return tick >= event.startTick && (tick < event.startTick + event.durationTicks || isLastEvent)
}

function leftBarline({ folded, endingStarts }: ChartBar): XmlElement | undefined {
  const isRepeat = folded?.repeatStart === true
  if (!isRepeat && !endingStarts) return undefined
  return el(
    'barline',
    { location: 'left' },
    isRepeat && leaf('bar-style', 'heavy-light'),
    endingStarts && endingElement(folded, 'start'),
    isRepeat && el('repeat', { direction: 'forward' }),
  )
}

/** An ending that leads back closes its bracket, the last one leaves it open. */
function endingElement(folded: FoldedBar | undefined, type: 'start' | 'stop' | 'discontinue'): XmlElement {
  const numbers = folded?.ending ?? []
  const attributes = { number: numbers.join(','), type }
  return type === 'start'
    ? leaf('ending', numbers.map((number) => `${number}.`).join(' '), attributes)
    : el('ending', attributes)
}

/** Repeats, the end, and double bars where a section ends or key or metre change. */
function rightBarline(chart: ChartBar): XmlElement | undefined {
  const { folded, endingStops } = chart
  const style = rightStyle(chart)
  if (style === undefined && !endingStops) return undefined
  const isRepeat = folded?.repeatEnd !== undefined
  return el(
    'barline',
    { location: 'right' },
    style !== undefined && leaf('bar-style', style),
    endingStops && endingElement(folded, isRepeat ? 'stop' : 'discontinue'),
    isRepeat && el('repeat', { direction: 'backward', times: folded.repeatEnd as number }),
  )
}

function rightStyle({ bar, folded, writtenAfter: after, isPickup, endingFollows }: ChartBar): string | undefined {
  if (folded?.repeatEnd !== undefined || !after) return 'light-heavy'
  if (folded?.jump || folded?.toCoda) return 'light-light'
  const changes =
    after.sectionId !== bar.sectionId ||
    after.pass !== bar.pass ||
    after.key.fifths !== bar.key.fifths ||
    !sameMetre(after.metre, bar.metre)
  // Before an ending its bracket parts the music; a double bar as well makes some programs lose the repeat.
  return changes && !isPickup && !endingFollows ? 'light-light' : undefined
}

/** Whether a bar is a pickup: the first, and short. */
export function isPickupBar(bar: ArrangedBar, index: number): boolean {
  return index === 0 && bar.lengthTicks < barTicks(bar.metre)
}
