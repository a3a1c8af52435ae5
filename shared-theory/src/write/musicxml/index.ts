/** The arrangement as MusicXML 4.0 (W3C, partwise): a score or one part, as played or folded with its repeats. */
import type { ArrangedBar, Arrangement, FoldedBar, PartSpec } from '../../contract/index.js'
import { findGroove } from '../../rhythm/index.js'
import { fold } from '../../roadmap/index.js'
import { AccidentalKeeper } from './accidentals.js'
import { type ChartPart, chartPart, showsHarmony, voicesOf } from './chart-part.js'
import { type ChartBar, type MeasureContext, isPickupBar, measureElement } from './measure.js'
import { drumInstrumentId, scorePart } from './part-list.js'
import { sectionMarks } from './section-marks.js'
import { type XmlElement, el, leaf, renderXml } from './xml.js'

export interface MusicXmlOptions {
  /** PartSpec.id: only that part. Absent, or an id the line-up does not have: the whole score. */
  readonly part?: string
  /** Default: a part as its player reads it, a score at concert pitch (octave transposers stay written). */
  readonly pitch?: 'written' | 'concert'
  /** With repeats, D.S. and coda instead of every bar as played. Default false. */
  readonly folded?: boolean
  /** For an engraver that prints every harmony degree and shows N.C. as C (Verovio does): only what shall be seen. Default false. */
  readonly engraving?: boolean
}

const HEAD = `<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
`

/** MusicXML 4.0 text, valid against the W3C schema; the same arrangement gives the same text everywhere. */
export function writeMusicXml(arrangement: Arrangement, options: MusicXmlOptions = {}): string {
  const whole = arrangement.lineup.length > 0 ? arrangement.lineup : [LEAD_ONLY]
  const chosen = whole.filter(({ id }) => id === options.part)
  const isScore = chosen.length === 0
  const specs = isScore ? whole : chosen
  const pitch = options.pitch ?? (isScore ? 'concert' : 'written')
  const bars = arrangement.bars.map((bar) => withLead(bar, whole))
  const charts = options.folded ? foldedCharts({ ...arrangement, bars }) : linearCharts(bars)
  const parts = specs.map((spec, index) => chartPart(spec, bars, pitch, index === 0))
  const feelName = feelNames(arrangement.groove)
  const score = el(
    'score-partwise',
    { version: '4.0' },
    el('work', {}, leaf('work-title', arrangement.title)),
    identification(),
    layout(),
    credits(arrangement.title, isScore ? (pitch === 'concert' ? 'Score in C' : 'Score') : (specs[0] as PartSpec).name),
    el(
      'part-list',
      {},
      parts.map((part, index) => scorePart(part, `P${index + 1}`, index, bars, isScore)),
    ),
    parts.map((part, index) =>
      partElement(part, `P${index + 1}`, charts, { isScore, isEngraving: options.engraving === true, feelName }),
    ),
  )
  return HEAD + renderXml(score)
}

const LEAD_ONLY: PartSpec = { id: 'lead', instrument: 'violin', name: 'Lead', role: 'lead' }

/** Parts not realised yet: the lead shows the melody. */
function withLead(bar: ArrangedBar, lineup: readonly PartSpec[]): ArrangedBar {
  const lead = lineup.find(({ role }) => role === 'lead') ?? lineup[0] ?? LEAD_ONLY
  if (bar.parts[lead.id] !== undefined) return bar
  const notes = bar.melody.map(({ source: _source, lyric: _lyric, grace: _grace, ...note }) => ({
    ...note,
    velocity: 80,
  }))
  return { ...bar, parts: { ...bar.parts, [lead.id]: notes } }
}

function identification(): XmlElement {
  return el(
    'identification',
    {},
    el(
      'encoding',
      {},
      leaf('software', 'Chartloft'),
      el('supports', { element: 'accidental', type: 'yes' }),
      el('supports', { element: 'beam', type: 'yes' }),
    ),
  )
}

/** Seven-millimetre staves on A4: 40 tenths a staff. */
function layout(): XmlElement {
  return el('defaults', {}, el('scaling', {}, leaf('millimeters', 7), leaf('tenths', 40)))
}

function credits(title: string, partName: string): XmlElement[] {
  return [
    el(
      'credit',
      { page: 1 },
      leaf('credit-type', 'title'),
      leaf('credit-words', title, { justify: 'center', 'font-size': 20, 'font-weight': 'bold' }),
    ),
    el(
      'credit',
      { page: 1 },
      leaf('credit-type', 'part name'),
      leaf('credit-words', partName, { justify: 'left', 'font-size': 12 }),
    ),
  ]
}

function partElement(
  part: ChartPart,
  id: string,
  charts: readonly ChartBar[],
  whole: Pick<MeasureContext, 'isScore' | 'isEngraving' | 'feelName'>,
): XmlElement {
  const keepers = [new AccidentalKeeper(), new AccidentalKeeper()]
  const rested = whole.isScore ? charts : withRestBars(part, charts)
  const context = { ...whole, part, keepers, drumId: (key: number) => drumInstrumentId(id, key) }
  return el(
    'part',
    { id },
    rested.map((chart) => measureElement(chart, context)),
  )
}

function linearCharts(bars: readonly ArrangedBar[]): readonly ChartBar[] {
  return chartsOf(bars, bars, [])
}

function foldedCharts(arrangement: Arrangement): readonly ChartBar[] {
  const folded = fold(arrangement).bars
  return chartsOf(
    folded.map(({ bar }) => bar),
    arrangement.bars,
    folded,
  )
}

function chartsOf(
  written: readonly ArrangedBar[],
  played: readonly ArrangedBar[],
  folded: readonly FoldedBar[],
): readonly ChartBar[] {
  const coda = folded.findIndex((bar) => bar.coda)
  const marks = sectionMarks(written, coda < 0 ? undefined : coda)
  const hasRepeats = folded.some(({ repeatEnd }) => repeatEnd !== undefined)
  const firstNumber = written[0] && isPickupBar(written[0], 0) ? 0 : 1
  const lineStarts = linesOf(written, marks)
  return written.map((bar, index): ChartBar => {
    const own = folded[index]
    const before = played[(own?.playings[0]?.barIndex ?? index) - 1]
    const mark = marks.get(index)
    return {
      bar,
      number: index + firstNumber,
      ...(own ? { folded: own } : {}),
      ...(index > 0 ? { writtenBefore: written[index - 1]! } : {}),
      ...(before ? { playedBefore: before } : {}),
      ...(index + 1 < written.length ? { writtenAfter: written[index + 1]! } : {}),
      ...(mark ? { mark } : {}),
      isPickup: isPickupBar(bar, index),
      isLineStart: lineStarts.has(index),
      hasRepeats,
    }
  })
}

const BARS_A_LINE = 4
/** Bars longer than five quarters fill a line by twos. */
const LONG_BAR_TICKS = 5 * 5040

/** Bars that begin a line: section starts, and every fourth (second where bars are long) after one. */
function linesOf(bars: readonly ArrangedBar[], marks: ReadonlyMap<number, unknown>): ReadonlySet<number> {
  const starts = new Set<number>()
  let onLine = 0
  for (const [index, bar] of bars.entries()) {
    if (isPickupBar(bar, index)) continue
    const most = bar.lengthTicks > LONG_BAR_TICKS ? BARS_A_LINE / 2 : BARS_A_LINE
    const isNew = onLine >= most || (marks.has(index) && onLine > 0)
    if (isNew) starts.add(index)
    onLine = isNew ? 1 : onLine + 1
  }
  return starts
}

/** Stretches of two and more empty bars of a part, with nothing printed above them after the first, become one sign. */
function withRestBars(part: ChartPart, charts: readonly ChartBar[]): readonly ChartBar[] {
  const out = [...charts]
  let at = 0
  while (at < charts.length) {
    let count = 0
    while (at + count < charts.length && restsThrough(part, charts[at + count]!, count === 0)) {
      count++
      if (charts[at + count - 1]!.folded?.repeatEnd !== undefined) break
    }
    if (count > 1) out[at] = { ...charts[at]!, restBars: count }
    at += Math.max(1, count)
  }
  return out
}

function restsThrough(part: ChartPart, chart: ChartBar, isFirst: boolean): boolean {
  const { bar, folded, writtenBefore: before } = chart
  const isEmpty = voicesOf(part, bar).every(({ notes, slashed }) => notes.length === 0 && !slashed)
  // Signs at a bar's end would be lost inside the stretch.
  if (folded?.toCoda || folded?.jump) return false
  if (!isEmpty || chart.isPickup || bar.fermataTick !== undefined || showsHarmony(part, bar, false)) return false
  if (isFirst) return true
  const changes =
    !before ||
    before.feel !== bar.feel ||
    before.tempoBpm !== bar.tempoBpm ||
    bar.tempoEndBpm !== undefined ||
    before.key.fifths !== bar.key.fifths ||
    before.metre.beats !== bar.metre.beats ||
    before.metre.beatType !== bar.metre.beatType
  const hasSign = folded?.segno ?? folded?.coda ?? folded?.repeatStart
  return !changes && !hasSign && !chart.mark && bar.mark === undefined && bar.dynamic === undefined
}

/** The word printed where a feel begins: the groove's own name, 'Freely' for rubato. */
function feelNames(groove: string): (feel: string) => string {
  const name = findGroove(groove)?.name ?? groove
  return (feel) => (feel === 'rubato' ? 'Freely' : name.charAt(0).toUpperCase() + name.slice(1))
}
