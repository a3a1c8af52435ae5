/** The arrangement as MusicXML 4.0 (W3C, partwise): a score or one part, as played or folded with its repeats. */
import type { ArrangedBar, Arrangement, PartSpec } from '../../contract/index.js'
import { findGroove } from '../../rhythm/index.js'
import { arrangementShape } from '../../tune/index.js'
import { melodyPartOf } from '../collect-notes.js'
import { AccidentalKeeper } from './accidentals.js'
import { foldedCharts, linearCharts } from './chart-bars.js'
import { type ChartMark, chartMark } from './chart-marks.js'
import { type ChartPart, chartPart } from './chart-part.js'
import { withDrumCues } from './drum-cues.js'
import { withDrumPatterns } from './drum-patterns.js'
import { withLines, withRestBars } from './line-layout.js'
import { type ChartBar, type MeasureContext, measureElement } from './measure.js'
import { drumInstrumentId, scorePart } from './part-list.js'
import { withPlainNames } from './plain-names.js'
import { withSoloWords } from './solo-words.js'
import { type XmlElement, el, leaf, renderXml } from './xml.js'

export interface MusicXmlOptions {
  /** PartSpec.id: only that part. Absent, or an id the line-up does not have: the whole score. */
  readonly part?: string
  /** Default: a part as its player reads it, a score at concert pitch (octave transposers stay written). */
  readonly pitch?: 'written' | 'concert'
  /** With repeats, D.S. and coda instead of every bar as played. Default false. */
  readonly folded?: boolean
  /** For an engraver that prints every harmony degree and shows N.C. as C (Verovio does): only what shall be seen, without the marks above
   *  the staves, which `writeChart` gives beside the text. Default false. */
  readonly engraving?: boolean
  /** Bars to a line at most, 4 unless told. */
  readonly barsALine?: number
}

/** What a page needs to engrave a chart: the notes as MusicXML, what stands above them bar by bar. */
export interface EngravedChart {
  readonly musicXml: string
  readonly marks: readonly ChartMark[]
}

const HEAD = `<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
`

/** MusicXML 4.0 text, valid against the W3C schema; the same arrangement gives the same text everywhere. */
export function writeMusicXml(given: Arrangement, options: MusicXmlOptions = {}): string {
  return written(given, options).musicXml
}

/** The same for a page that engraves it: MusicXML without what stands above the staves, and that as a list of the written bars. */
export function writeChart(given: Arrangement, options: Omit<MusicXmlOptions, 'engraving'> = {}): EngravedChart {
  return written(given, { ...options, engraving: true })
}

function written(given: Arrangement, options: MusicXmlOptions): EngravedChart {
  const arrangement = arrangementShape(given)
  const whole = arrangement.lineup.length > 0 ? arrangement.lineup : [LEAD_ONLY]
  const chosen = whole.filter(({ id }) => id === options.part)
  const isScore = chosen.length === 0
  const specs = isScore ? whole : chosen
  const pitch = options.pitch ?? (isScore ? 'concert' : 'written')
  const named = withPlainNames(arrangement.bars.map((bar) => withLead(bar, whole)))
  // A conductor sees who plays; cues are for the player who waits.
  const bars = isScore ? named.map(withoutCues) : named
  const charts = options.folded ? foldedCharts({ ...arrangement, bars }) : linearCharts(bars)
  const parts = specs.map((spec, index) => chartPart(spec, bars, pitch, index === 0))
  const feelName = feelNames(arrangement.groove)
  const isEngraving = options.engraving === true
  const lined = parts.map((part) => partCharts(part, charts, whole, options.barsALine, { isScore, isEngraving }))
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
      partElement(part, `P${index + 1}`, lined[index] as readonly ChartBar[], {
        isScore,
        isEngraving,
        feelName,
        melodyPlayer: (bar) => whole.find(({ id }) => id === melodyPartOf(bar, whole))?.name,
      }),
    ),
  )
  return {
    musicXml: HEAD + renderXml(score),
    marks: (lined[0] ?? []).map((chart) => chartMark(chart, feelName)),
  }
}

/** A part's own view of the written bars: drums with their patterns, solos named, long rests together, lines begun. */
function partCharts(
  part: ChartPart,
  charts: readonly ChartBar[],
  lineup: readonly PartSpec[],
  barsALine: number | undefined,
  { isScore, isEngraving }: Pick<MeasureContext, 'isScore' | 'isEngraving'>,
): readonly ChartBar[] {
  const shown = part.isDrums
    ? withDrumCues(part.spec.id, lineup, withDrumPatterns(part.spec.id, charts))
    : isEngraving
      ? withLastHit(part, charts)
      : charts
  return withLines(isScore ? shown : withRestBars(part, withSoloWords(part.spec.id, shown), isEngraving), barsALine)
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

function withoutCues(bar: ArrangedBar): ArrangedBar {
  const cued = Object.entries(bar.parts).filter(([, notes]) => notes.some(({ printed }) => printed === 'cue'))
  if (cued.length === 0) return bar
  const own = cued.map(([id, notes]) => [id, notes.filter(({ printed }) => printed !== 'cue')])
  return { ...bar, parts: { ...bar.parts, ...Object.fromEntries(own) } }
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

/** A pianist who comps on one staff reads the last hit as a slash of its length under the symbol, not a chord on ledger lines. */
function withLastHit(part: ChartPart, charts: readonly ChartBar[]): readonly ChartBar[] {
  const isComping = part.spec.role === 'chords' && part.instrument.clef === 'grand' && part.staves === 1
  return isComping
    ? charts.map((chart) => (chart.writtenAfter ? chart : { ...chart, isLastHit: true as const }))
    : charts
}

function partElement(
  part: ChartPart,
  id: string,
  charts: readonly ChartBar[],
  whole: Pick<MeasureContext, 'isScore' | 'isEngraving' | 'feelName' | 'melodyPlayer'>,
): XmlElement {
  const keepers = [new AccidentalKeeper(), new AccidentalKeeper()]
  const context = { ...whole, part, keepers, drumId: (key: number) => drumInstrumentId(id, key) }
  return el(
    'part',
    { id },
    charts.map((chart) => measureElement(chart, context)),
  )
}

/** The word printed where a feel begins: the groove's own name, 'Freely' for rubato. */
function feelNames(groove: string): (feel: string) => string {
  const name = findGroove(groove)?.name ?? groove
  return (feel) => (feel === 'rubato' ? 'Freely' : name.charAt(0).toUpperCase() + name.slice(1))
}
