/** What every player needs to know of a bar before playing it: level, groove, place in its section, chords, who leads. */
import type { ArrangedBar, Chord, KeySignature, PartSpec, PassPlan } from '../contract/index.js'
import { bassOf } from '../chords/index.js'
import { instrumentOf, leaderOf } from '../instruments/index.js'
import { type Groove, grooveOfBar } from '../rhythm/index.js'
import { barTicks, pitchClass } from '../units/index.js'
import { type Level, levelsOf, passIdOf } from './levels.js'

/** One chord of one bar, in ticks from the start of the arrangement. */
export interface ChordSpan {
  readonly index: number
  readonly barIndex: number
  readonly startTick: number
  readonly endTick: number
  readonly chord: Chord
  readonly key: KeySignature
  /** Pitch class of the bass; undefined where nothing sounds (N.C.). */
  readonly bassPc?: number
  /** Part of a declared pedal: the same bass under changing chords. */
  readonly isPedal: boolean
}

export interface BarFrame {
  readonly bar: ArrangedBar
  /** Place in the list of bars. */
  readonly index: number
  readonly startTick: number
  /** Length the groove's patterns are laid on; a pickup or closing bar hears only part of it. */
  readonly patternTicks: number
  readonly level: Level
  readonly groove: Groove
  /** Bar in its section from 0, and the section's bars. */
  readonly barInSection: number
  readonly sectionBars: number
  /** Sections before this one. */
  readonly sectionOrdinal: number
  /** The same inside its pass. */
  readonly sectionInPass: number
  readonly isPickup: boolean
  readonly isLast: boolean
  readonly chords: readonly ChordSpan[]
  readonly plan?: PassPlan
  /** A chorus of soloing: nobody has the melody. */
  readonly isSolo: boolean
  /** Part that has the melody. */
  readonly leaderId?: string
  /** A singer has it: lowest and highest MIDI of what they sing in this section. */
  readonly sung?: Extent
  /** Trading, or an opening of drums: everybody else lays out. */
  readonly isDrumsAlone: boolean
}

/** Lowest and highest MIDI of a section's melody. */
export type Extent = readonly [lowMidi: number, highMidi: number]

/** How the last bar stops: a short hit, a held one, or one under a fermata. */
export type Stop = 'button' | 'held' | 'fermata'

export interface Frames {
  readonly bars: readonly BarFrame[]
  readonly spans: readonly ChordSpan[]
  /** By section played (`sectionOrdinal`). */
  readonly extents: ReadonlyMap<number, Extent>
}

/** The rule of an opening of drums alone, and those of a dominant pedal. */
const DRUMS_ALONE = 'OP9'
const PEDALS: ReadonlySet<string> = new Set(['OP3', 'EN7'])

export const sings = (part: PartSpec): boolean => part.role === 'voice' || instrumentOf(part).family === 'voice'

export function framesOf(
  bars: readonly ArrangedBar[],
  lineup: readonly PartSpec[],
  roadmap: readonly PassPlan[],
  groove: Groove,
  /** False where the music goes on and is only turned down: a fade. */
  hasLastHit = true,
): Frames {
  const levels = levelsOf(bars, roadmap)
  const plans = new Map(roadmap.map((pass) => [pass.id, pass]))
  const spans = spansOf(bars)
  const spansByBar: ChordSpan[][] = bars.map(() => [])
  for (const span of spans) spansByBar[span.barIndex]?.push(span)
  const frames: BarFrame[] = []
  const extents = new Map<number, Extent>()
  const singers = new Set(lineup.filter(sings).map(({ id }) => id))
  let startTick = 0
  let sectionStart = 0
  let sectionOrdinal = -1
  let passStart = 0
  let passSection = 0
  bars.forEach((bar, index) => {
    const before = bars[index - 1]
    const isPickup = index === 0 && bar.lengthTicks < barTicks(bar.metre)
    const wasPickup = index === 1 && frames[0]?.isPickup === true
    if (before?.pass !== bar.pass) passStart = index
    if (wasPickup || before?.sectionId !== bar.sectionId || before.pass !== bar.pass) {
      sectionStart = index
      sectionOrdinal++
      if (before?.pass !== bar.pass) passSection = sectionOrdinal
    }
    const plan = plans.get(passIdOf(bar.pass))
    const isSolo = plan?.kind === 'solo'
    const leaderId = leaderOf(lineup, plan)
    const trading = isSolo ? plan.trading : undefined
    extend(extents, sectionOrdinal, bar)
    frames.push({
      bar,
      index,
      startTick,
      patternTicks: barTicks(bar.metre),
      level: levels[index] as Level,
      groove: grooveOfBar(groove, bar),
      barInSection: index - sectionStart,
      sectionBars: sectionLength(bars, sectionStart),
      sectionOrdinal,
      sectionInPass: sectionOrdinal - passSection,
      isPickup,
      isLast: hasLastHit && index === bars.length - 1,
      chords: spansByBar[index] as ChordSpan[],
      ...(plan ? { plan } : {}),
      isSolo,
      ...(leaderId === undefined ? {} : { leaderId }),
      isDrumsAlone:
        bar.provenance.rule === DRUMS_ALONE ||
        (trading !== undefined && trading > 0 && Math.floor((index - passStart) / Math.floor(trading || 1)) % 2 === 1),
    })
    startTick += bar.lengthTicks
  })
  const withSung = frames.map((frame): BarFrame => {
    const extent = extents.get(frame.sectionOrdinal)
    const isSung = extent !== undefined && frame.leaderId !== undefined && singers.has(frame.leaderId)
    return isSung ? { ...frame, sung: extent } : frame
  })
  return { bars: singers.size > 0 ? withSung : frames, spans, extents }
}

function extend(extents: Map<number, Extent>, sectionOrdinal: number, { melody }: ArrangedBar): void {
  for (const { midi } of melody) {
    const [low, high] = extents.get(sectionOrdinal) ?? [midi, midi]
    extents.set(sectionOrdinal, [Math.min(low, midi), Math.max(high, midi)])
  }
}

function sectionLength(bars: readonly ArrangedBar[], start: number): number {
  const first = bars[start]
  let end = start
  while (bars[end] && bars[end]?.sectionId === first?.sectionId && bars[end]?.pass === first?.pass) end++
  return end - start
}

function spansOf(bars: readonly ArrangedBar[]): readonly ChordSpan[] {
  const plain: Omit<ChordSpan, 'isPedal'>[] = []
  let at = 0
  bars.forEach((bar, barIndex) => {
    for (const placed of bar.chords) {
      const bass = bassOf(placed.chord)
      plain.push({
        index: plain.length,
        barIndex,
        startTick: at + placed.startTick,
        endTick: at + placed.startTick + placed.durationTicks,
        chord: placed.chord,
        key: bar.key,
        ...(bass === undefined ? {} : { bassPc: pitchClass(bass) }),
      })
    }
    at += bar.lengthTicks
  })
  const pedal = pedalSpans(plain, (span) => PEDALS.has(bars[span.barIndex]?.provenance.rule ?? ''))
  return plain.map((span) => ({ ...span, isPedal: pedal.has(span.index) }))
}

/** Runs of three or more spans on one bass under at least two different chords, most of them over a foreign bass; of two where a decision
 *  made the pedal. */
function pedalSpans(
  spans: readonly Omit<ChordSpan, 'isPedal'>[],
  isMade: (span: Omit<ChordSpan, 'isPedal'>) => boolean,
): ReadonlySet<number> {
  const pedal = new Set<number>()
  let start = 0
  for (let index = 1; index <= spans.length; index++) {
    if (index < spans.length && spans[index]?.bassPc === spans[start]?.bassPc) continue
    const run = spans.slice(start, index)
    const slashed = run.filter(({ chord }) => chord.bass !== undefined && chord.bass !== chord.root).length
    const symbols = new Set(run.map(({ chord }) => chord.symbol))
    const isLong = run.length >= 3 ? slashed * 2 > run.length : run.length === 2 && slashed > 0 && run.every(isMade)
    if (isLong && symbols.size >= 2) for (const span of run) pedal.add(span.index)
    start = index
  }
  return pedal
}
