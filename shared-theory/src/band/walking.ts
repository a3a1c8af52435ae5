/** A walking line, bar by bar: roots where chords begin, steps and chord tones between, an approach before every change.
 *  A beam search over a few candidates a beat. Costs are from memory; the rules are those of the groove book, bass section. */
import { chordScale, pitchClassesOf } from '../chords/index.js'
import { mod, must, pitchClass } from '../units/index.js'
import type { ChordSpan } from './frame.js'

export type ApproachKind = 'below' | 'above' | 'step' | 'fifth'

/** One beat of the line. */
export interface WalkSlot {
  /** From the start of the arrangement; varies the line by seed. */
  readonly tick: number
  readonly span: ChordSpan
  /** The chord (or the bar) begins here: its bass note is due. */
  readonly begins: boolean
  /** The chord stood in the bar before: third, fifth or octave may begin this one. */
  readonly mayLeaveRoot: boolean
  /** The chord that comes right after this beat, where it is another one: this beat leads to it. */
  readonly isLastBefore: ChordSpan | undefined
  /** Beat three of four: a chord tone is due. */
  readonly isStrong: boolean
}

export interface WalkOptions {
  readonly from: number
  /** Nothing was played before. */
  readonly isOpening: boolean
  readonly aimed: number | undefined
  readonly approaches: readonly ApproachKind[]
  readonly low: number
  readonly high: number
  readonly level: number
  readonly seed: number
  /** Tones of chords met before in this line, by key and symbol; filled as the line goes on. */
  readonly tones: Map<string, ChordTones>
}

/** Pitch classes of a chord, and those a line may use over it. */
export interface ChordTones {
  readonly own: ReadonlySet<number>
  readonly line: ReadonlySet<number>
}

export interface WalkedLine {
  /** One pitch a slot; undefined under N.C. */
  readonly pitches: readonly (number | undefined)[]
  readonly approaches: readonly ApproachKind[]
  /** The pitch the last note leads to. */
  readonly aimed: number | undefined
}

interface Path {
  /** The beat before; undefined at the start of the bar. */
  readonly before: Path | undefined
  readonly pitch: number | undefined
  readonly last: number
  readonly direction: number
  readonly run: number
  readonly hasLeapt: boolean
  readonly approaches: readonly ApproachKind[]
  readonly aimed: number | undefined
  readonly cost: number
}

const BEAM_WIDTH = 12
const FORBIDDEN = 10_000
/** Above this the line is felt as high: C3. */
const COMFORTABLE_HIGH = 48

const COSTS = {
  third: 8,
  fourth: 16,
  fifth: 24,
  wide: 70,
  turn: 12,
  leapNotTurned: 30,
  scaleTone: 3,
  strongNotChordTone: 60,
  notRoot: 20,
  highAStep: 5,
  sameKindRunning: 90,
  plainFifth: 60,
  missedAim: 25,
  varietyMost: 14,
} as const
/** A half step is first choice, but a line that always takes it is a bore: the variety of the seed outweighs the difference. */
const APPROACH_COSTS: { readonly [kind in ApproachKind]: number } = { below: 2, above: 8, step: 2, fifth: 12 }

/** The cheapest line over the slots of one bar, leading to `after` (the first chord of the next bar). */
export function walk(slots: readonly WalkSlot[], after: ChordSpan | undefined, options: WalkOptions): WalkedLine {
  let beam: Path[] = [
    {
      before: undefined,
      pitch: undefined,
      last: options.from,
      direction: 0,
      run: 0,
      hasLeapt: false,
      approaches: options.approaches,
      aimed: options.aimed,
      cost: 0,
    },
  ]
  slots.forEach((slot, index) => {
    const isEnd = index === slots.length - 1
    const grown: Path[] = []
    const tones = tonesOf(slot.span, options.tones)
    for (const path of beam) {
      if (slot.span.bassPc === undefined) {
        grown.push({ ...path, before: path, pitch: undefined, aimed: undefined })
        continue
      }
      for (const candidate of candidatesOf(slot, tones, path, isEnd ? after : undefined, options)) {
        const cost = costOf(path, slot, candidate, options)
        if (grown.length < BEAM_WIDTH || cost < must(grown.at(-1), 'a full beam').cost)
          insert(grown, extended(path, candidate, cost))
      }
    }
    beam = grown
  })
  const best = must(beam[0], 'a beam is never empty')
  const pitches: (number | undefined)[] = []
  for (let path = best; path.before; path = path.before) pitches.unshift(path.pitch)
  return { pitches, approaches: best.approaches, aimed: best.aimed }
}

function tonesOf(span: ChordSpan, known: Map<string, ChordTones>): ChordTones {
  const id = `${span.key.fifths}/${span.key.mode}/${span.chord.symbol}`
  const found = known.get(id)
  if (found) return found
  const own = new Set(pitchClassesOf(span.chord))
  const tones = { own, line: new Set([...own, ...chordScale(span.chord, span.key).map(pitchClass)]) }
  known.set(id, tones)
  return tones
}

/** Keeps the beam sorted and no wider than it may be; equals stay in order of arrival. */
function insert(beam: Path[], path: Path): void {
  let at = beam.length
  while (at > 0 && must(beam[at - 1], 'a path').cost > path.cost) at--
  beam.splice(at, 0, path)
  if (beam.length > BEAM_WIDTH) beam.pop()
}

interface Candidate {
  readonly midi: number
  readonly cost: number
  readonly kind?: ApproachKind
  readonly target?: number
}

function candidatesOf(
  slot: WalkSlot,
  tones: ChordTones,
  path: Path,
  after: ChordSpan | undefined,
  options: WalkOptions,
): readonly Candidate[] {
  const { low, high } = options
  if (slot.begins) return beginnings(slot, tones, path, low, high)
  if (slot.isLastBefore?.bassPc !== undefined) {
    const ways = approachesTo(slot.isLastBefore.bassPc, path, low, high)
    return ways.map((way) => unlessPlainFifth(way, slot.span, tones))
  }
  const inside = lineNotes(slot, tones, path, low, high)
  // The chord stays: the next bar begins elsewhere, and this note only must not be the root it may begin with.
  return after?.bassPc === undefined ? inside : inside.map((candidate) => avoidingRoot(candidate, after))
}

/** A chord with a flat fifth does not hear its perfect one, not even as a whole step on the way: E under A half-diminished before D7. */
function unlessPlainFifth(way: Candidate, { bassPc = 0 }: ChordSpan, { own }: ChordTones): Candidate {
  const isPlainFifth = mod(way.midi - bassPc, 12) === 7 && own.has(mod(bassPc + 6, 12)) && !own.has(mod(bassPc + 7, 12))
  return isPlainFifth && way.kind === 'step' ? { ...way, cost: way.cost + COSTS.plainFifth } : way
}

function avoidingRoot(candidate: Candidate, after: ChordSpan): Candidate {
  return mod(candidate.midi, 12) === after.bassPc ? { ...candidate, cost: candidate.cost + 25 } : candidate
}

function beginnings(slot: WalkSlot, tones: ChordTones, path: Path, low: number, high: number): readonly Candidate[] {
  const root = slot.span.bassPc as number
  const around = pitchesOf(root, path.last, low, high, 14)
  const roots = around.map((midi) => ({
    midi,
    cost: path.aimed !== undefined && path.aimed !== midi ? COSTS.missedAim : 0,
  }))
  if (!slot.mayLeaveRoot) return roots
  const others = [...tones.own]
    .filter((pc) => pc !== root && isThirdOrFifth(slot.span, pc))
    .flatMap((pc) => pitchesOf(pc, path.last, low, high, 7))
    .map((midi) => ({ midi, cost: COSTS.notRoot }))
  return [...roots, ...others]
}

function isThirdOrFifth(span: ChordSpan, pc: number): boolean {
  const apart = mod(pc - (span.bassPc as number), 12)
  return apart === 3 || apart === 4 || apart === 6 || apart === 7
}

/** Half step below, half step above, scale step, fifth of the target from above, in that order. */
function approachesTo(target: number, path: Path, low: number, high: number): readonly Candidate[] {
  const ways: readonly (readonly [ApproachKind, number])[] = [
    ['below', -1],
    ['above', 1],
    ['step', -2],
    ['step', 2],
    ['fifth', 7],
  ]
  return pitchesOf(target, path.last, low, Math.min(high, COMFORTABLE_HIGH), 12).flatMap((aim) =>
    ways.map(([kind, step]) => {
      const running = path.approaches.slice(-2)
      const isThird = running.length === 2 && running.every((used) => used === kind)
      return {
        midi: aim + step,
        kind,
        target: aim,
        cost: APPROACH_COSTS[kind] + (isThird ? COSTS.sameKindRunning : 0),
      }
    }),
  )
}

/** Notes of the chord and its scale within a fifth of the line. */
function lineNotes(slot: WalkSlot, tones: ChordTones, path: Path, low: number, high: number): readonly Candidate[] {
  const found: Candidate[] = []
  for (let midi = Math.max(low, path.last - 8); midi <= Math.min(high, path.last + 8); midi++) {
    const pc = mod(midi, 12)
    if (!tones.line.has(pc)) continue
    const isChordTone = tones.own.has(pc)
    found.push({ midi, cost: isChordTone ? 0 : slot.isStrong ? COSTS.strongNotChordTone : COSTS.scaleTone })
  }
  return found
}

/** Cost of going on to a candidate. */
function costOf(path: Path, slot: WalkSlot, candidate: Candidate, options: WalkOptions): number {
  const { midi } = candidate
  const isFirst = path.before === undefined && options.isOpening
  const step = midi - path.last
  const isTurn = turns(path, step)
  let cost = path.cost + candidate.cost + intervalCost(Math.abs(step))
  if (step === 0 && !isFirst) cost += FORBIDDEN
  if (midi < options.low || midi > options.high) cost += FORBIDDEN
  if (isTurn && path.run < 3 && candidate.kind === undefined && !slot.begins) cost += COSTS.turn
  if (path.hasLeapt && !isTurn) cost += COSTS.leapNotTurned
  cost += Math.max(0, midi - COMFORTABLE_HIGH, options.low + 1 - midi) * COSTS.highAStep
  return cost + variety(options.seed, slot.tick, midi)
}

function extended(path: Path, candidate: Candidate, cost: number): Path {
  const step = candidate.midi - path.last
  return {
    before: path,
    pitch: candidate.midi,
    last: candidate.midi,
    direction: Math.sign(step),
    run: turns(path, step) ? 1 : path.run + 1,
    hasLeapt: Math.abs(step) > 7,
    approaches: candidate.kind ? [...path.approaches, candidate.kind].slice(-2) : path.approaches,
    aimed: candidate.target,
    cost,
  }
}

const turns = (path: Path, step: number): boolean => path.direction !== 0 && Math.sign(step) !== path.direction

/** A small seeded cost, so that choruses differ. */
function variety(seed: number, tick: number, midi: number): number {
  let mixed = Math.imul(seed + 1, 0x9e3779b1) ^ Math.imul(tick + 1, 0x85ebca6b) ^ Math.imul(midi + 1, 0xc2b2ae35)
  mixed = Math.imul(mixed ^ (mixed >>> 15), 0x2c1b3c6d)
  return ((mixed ^ (mixed >>> 13)) >>> 0) % COSTS.varietyMost
}

function intervalCost(semitones: number): number {
  if (semitones <= 2) return 0
  if (semitones <= 4) return COSTS.third
  if (semitones <= 5) return COSTS.fourth
  if (semitones <= 7) return COSTS.fifth
  return semitones <= 12 ? COSTS.wide : FORBIDDEN
}

/** Pitches of a class within a distance of another, nearest first. */
function pitchesOf(pc: number, to: number, low: number, high: number, within: number): readonly number[] {
  const found: number[] = []
  for (let midi = low + mod(pc - low, 12); midi <= high; midi += 12) if (Math.abs(midi - to) <= within) found.push(midi)
  if (found.length === 0) found.push(low + mod(pc - low, 12))
  return found.sort((a, b) => Math.abs(a - to) - Math.abs(b - to))
}
