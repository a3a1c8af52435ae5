/** Chords for a tune that came without any: one or two plain ones a bar, the best line over the whole tune, each marked as proposed. */
import type { PlacedChord, Tune, TuneBar } from '../contract/index.js'
import { qualityOf } from '../chords/index.js'
import { barTicks, mod, must, nameOfPitch, pitchClass } from '../units/index.js'
import { beatTicks, halfTick, isStrongTick } from './beats.js'
import { neighboursOf, passingNotes } from './melody.js'
import { type PlainChord, plainChords } from './plain-chords.js'
import { type Fit, fitOf } from './table.js'

/** Cost of a beat of melody over a chord, in hundredths. Chord tones cost nothing. From judgement; the fit words are the table's. */
const BEAT_COST: { readonly [fit in Fit]: number } = { ok: 60, soft: 130, hard: 240 }
/** How much a note counts, in quarters, by where it begins. From judgement. */
const WEIGHT = { downbeat: 10, strong: 7, beat: 5, off: 3, passing: 1 } as const
/** What a change costs, and what a chord costs at a phrase's edge, in hundredths of a beat. From judgement. */
const COST = {
  hold: 5,
  changeAtBar: 20,
  changeInBar: 85,
  fallsAFifth: -20,
  backwards: 80,
  unresolved: 250,
  awayAtStart: 70,
  awayAtEnd: 400,
  openAtEnd: 70,
  halfClose: 15,
  openAtHalf: 30,
} as const

type Edge = 'start' | 'end' | 'close' | 'half' | 'none'

interface Slot {
  readonly bar: number
  readonly startTick: number
  readonly endTick: number
  readonly edge: Edge
  readonly candidates: readonly PlainChord[]
  readonly own: readonly number[]
}

/** Whether no chord is written anywhere, not even N.C., and there is a melody to go by. */
export function lacksChords(tune: Tune): boolean {
  return tune.bars.every((bar) => bar.chords.length === 0) && tune.bars.some((bar) => bar.melody.length > 0)
}

/**
 * The tune with chords proposed, each `inferred`; a tune that has a chord or an N.C. anywhere, or no melody, comes back as it is.
 * Exact: no other choice among the plain chords of the key costs less in melody, function and phrase together.
 */
export function proposeChords(tune: Tune): Tune {
  if (!lacksChords(tune)) return tune
  const slots = slotsOf(tune)
  const line = bestLine(slots)
  const placed = tune.bars.map((): PlacedChord[] => [])
  slots.forEach((slot, index) => {
    const inBar = must(placed[slot.bar], 'a slot lies in a bar')
    const next = must(line[index], 'every slot has its chord').chord
    const last = inBar.at(-1)
    const durationTicks = slot.endTick - slot.startTick
    if (last && last.chord.symbol === next.symbol)
      inBar[inBar.length - 1] = { ...last, durationTicks: last.durationTicks + durationTicks }
    else inBar.push({ startTick: slot.startTick, durationTicks, chord: next, inferred: true })
  })
  return { ...tune, bars: tune.bars.map((bar, index) => ({ ...bar, chords: placed[index] as PlacedChord[] })) }
}

function slotsOf(tune: Tune): readonly Slot[] {
  const first = tune.pickupTicks > 0 ? 1 : 0
  const lists = new Map<string, readonly PlainChord[]>()
  const fits = new Map<string, Fit>()
  const edges = edgesOf(tune)
  return tune.bars.slice(first).flatMap((bar, offset) => {
    const index = first + offset
    const name = `${bar.key.key} ${bar.key.mode}`
    const candidates = lists.get(name) ?? plainChords(bar.key)
    lists.set(name, candidates)
    const middle = divides(bar) ? halfTick(bar.metre) : bar.lengthTicks
    const spans: readonly (readonly [number, number])[] =
      middle < bar.lengthTicks
        ? [
            [0, middle],
            [middle, bar.lengthTicks],
          ]
        : [[0, bar.lengthTicks]]
    const passing = passingNotes(bar, neighboursOf(tune.bars, index))
    return spans.map(([startTick, endTick], at): Slot => {
      const edge = must(edges[index], 'every bar has its place')
      return {
        bar: index,
        startTick,
        endTick,
        edge: edge === 'start' ? (at === 0 ? edge : 'none') : at === spans.length - 1 ? edge : 'none',
        candidates,
        own: candidates.map((one) => one.cost + melodyCost(bar, passing, startTick, endTick, one, fits)),
      }
    })
  })
}

/** Two chords a bar where it has four beats or more, or two of three eighths each. */
function divides({ metre, lengthTicks }: TuneBar): boolean {
  const beats = barTicks(metre) / beatTicks(metre)
  return (
    lengthTicks === barTicks(metre) && (beats >= 4 || (beats === 2 && (metre.beatType === 8 || metre.beatType === 2)))
  )
}

/** What each bar is to its phrase: sections end with a close, their fourth bars may, the tune begins and ends at home. */
function edgesOf(tune: Tune): readonly Edge[] {
  const edges: Edge[] = tune.bars.map(() => 'none')
  for (const { startBar, bars } of tune.sections) {
    for (let at = 3; at < bars - 1; at += 4) edges[startBar + at] = 'half'
    edges[startBar + bars - 1] = 'close'
  }
  edges[tune.pickupTicks > 0 ? 1 : 0] = 'start'
  let last = edges.length - 1
  while (last > 0 && tune.bars[last]?.melody.length === 0) last--
  for (let bar = last; bar < edges.length; bar++) edges[bar] = 'end'
  return edges
}

function melodyCost(
  bar: TuneBar,
  passing: readonly boolean[],
  from: number,
  until: number,
  candidate: PlainChord,
  fits: Map<string, Fit>,
): number {
  const beat = beatTicks(bar.metre)
  let cost = 0
  bar.melody.forEach((note, index) => {
    const overlap = Math.min(until, note.startTick + note.durationTicks) - Math.max(from, note.startTick)
    if (overlap <= 0 || candidate.own.has(mod(note.midi, 12))) return
    const weight = passing[index] ? WEIGHT.passing : weightAt(note.startTick, beat, bar)
    cost += Math.round((overlap * weight * beatCost(candidate, nameOfPitch(note.name), fits)) / (4 * beat))
  })
  return cost
}

function weightAt(tick: number, beat: number, bar: TuneBar): number {
  if (tick === 0) return WEIGHT.downbeat
  if (isStrongTick(tick, bar.metre)) return WEIGHT.strong
  return tick % beat === 0 ? WEIGHT.beat : WEIGHT.off
}

/** A minor third over a dominant is a colour for players who know it, not for a chord somebody proposes: it counts as soft. */
function beatCost({ chord, rootClass }: PlainChord, name: string, fits: Map<string, Fit>): number {
  const key = `${chord.symbol} ${name}`
  const fit = fits.get(key) ?? plainFit(chord, rootClass, name)
  fits.set(key, fit)
  return BEAT_COST[fit]
}

function plainFit(chord: PlainChord['chord'], rootClass: number, name: string): Fit {
  const fit = fitOf(chord, name)
  const above = mod(pitchClass(name) - rootClass, 12)
  return qualityOf(chord) === 'dominant' && (above === 3 || above === 6) ? 'soft' : fit
}

/** The line of least cost; of equal ones the chords named first in the key. */
function bestLine(slots: readonly Slot[]): readonly PlainChord[] {
  const back: number[][] = []
  let before: readonly number[] = []
  slots.forEach((slot, index) => {
    const previous = slots[index - 1]
    const from: number[] = []
    const costs = slot.candidates.map((candidate, at) => {
      let best = previous ? Infinity : 0
      previous?.candidates.forEach((earlier, place) => {
        const cost = (before[place] as number) + stepCost(earlier, candidate, slot)
        if (cost < best) [best, from[at]] = [cost, place]
      })
      return best + (slot.own[at] as number) + edgeCost(candidate, slot.edge)
    })
    back.push(from)
    before = costs
  })
  let at = before.indexOf(Math.min(...before))
  const line: PlainChord[] = []
  for (let index = slots.length - 1; index >= 0; index--) {
    line.unshift(must(slots[index]?.candidates[at], 'the path stays among the candidates'))
    at = back[index]?.[at] ?? 0
  }
  return line
}

function stepCost(from: PlainChord, to: PlainChord, slot: Slot): number {
  if (from.chord.symbol === to.chord.symbol) return slot.startTick === 0 ? COST.hold : 0
  const change = slot.startTick === 0 ? COST.changeAtBar : COST.changeInBar
  if (from.role === 'secondary')
    return change + (from.leadsTo === to.rootClass && to.role !== 'secondary' ? COST.fallsAFifth : COST.unresolved)
  const isFifth = mod(from.rootClass - to.rootClass, 12) === 7
  const isBackwards = from.role === 'dominant' && to.role === 'predominant'
  return change + (isFifth ? COST.fallsAFifth : 0) + (isBackwards ? COST.backwards : 0)
}

function edgeCost({ isHome, role }: PlainChord, edge: Edge): number {
  if (edge === 'none' || isHome) return 0
  if (edge === 'start') return COST.awayAtStart
  if (edge === 'end') return COST.awayAtEnd
  if (role === 'dominant') return COST.halfClose
  return edge === 'close' ? COST.openAtEnd : COST.openAtHalf
}
