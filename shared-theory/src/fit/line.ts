/** The optimiser behind every new chord: for a line of roots (given, or free) under a melody, the qualities with the least total cost.
 *  Dynamic programming over every usable chord of every slot, so the answer is the best there is, not the first that fits. */
import type { Chord, KeySignature, NoteName } from '../contract/index.js'
import { chord as parsed } from '../chords/index.js'
import { must, pitchClass, tonicOf } from '../units/index.js'
import { type LineNote, notesBetween } from './line-notes.js'
import {
  type Candidate,
  candidateOf,
  degreesInWords,
  findQuality,
  keyPitchClasses,
  melodyCost,
  moveCost,
  moveReason,
  QUALITIES,
  rootInKey,
  show,
  type SlotContext,
  worstFit,
  writtenName,
} from './qualities.js'
import { clashName } from './table.js'
import { type Around, costHere, isHeldFor, whyLost } from './why-lost.js'

/** One choice a slot leaves open. */
export interface SlotRoot {
  readonly root: NoteName
  readonly bass?: NoteName
  /** Only this quality; absent = all of them. */
  readonly quality?: string
  /** Points in its favour. */
  readonly points?: number
}
export interface LineSlot {
  readonly startTick: number
  readonly endTick: number
  readonly roots: readonly SlotRoot[]
  readonly was?: Chord
  /** The key this slot is heard in, where not the line's. */
  readonly key?: KeySignature
}
export interface LineRequest {
  readonly key: KeySignature
  readonly notes: readonly LineNote[]
  readonly slots: readonly LineSlot[]
  readonly beatTicks: number
  readonly before?: Chord
  /** The chord the line arrives on. */
  readonly after?: Chord
  /** Points for keeping the quality that stood in a slot; default 0. */
  readonly keep?: number
  /** Let the next root come a beat or more early where a slot's own root carries no quality for all its notes. */
  readonly mayAnticipate?: boolean
}
export interface FittedSlot {
  readonly startTick: number
  readonly endTick: number
  readonly chord: Chord
  /** Melody degrees and the function that decided. */
  readonly why: string
  /** What the melody is over the chord, in words; empty where it rests. */
  readonly degrees: string
  /** The next best quality here with the neighbours as chosen: what the melody would be over it, and what it lost by; `refused` where even
   *  that would clash. */
  readonly runnerUp?: { readonly chord: Chord; readonly why: string; readonly lost: string; readonly refused?: true }
  readonly isEarly?: true
  /** What the name owes to a stretch of the slot: the same chord may be named otherwise in the next bar. */
  readonly nameFor: (startTick: number, endTick: number) => Chord
}
export type FittedLine =
  | { readonly ok: true; readonly slots: readonly FittedSlot[]; readonly cost: number }
  | { readonly ok: false; readonly slotIndex: number; readonly why: string }

/** The cheapest legal line, or the slot that no chord of its roots can carry and the note that forbids it. */
export function fitLine(request: LineRequest): FittedLine {
  const shifted = request.mayAnticipate ? anticipate(request) : { slots: request.slots, early: new Set<number>() }
  const { slots, early } = shifted
  const notes = slots.map((slot) => notesBetween(request.notes, slot.startTick, slot.endTick))
  const contexts = slots.map((slot) => contextOf(slot, request))
  const choices = slots.map((slot, index) => legalChoices(slot, must(notes[index], 'notes of a slot')))
  const stuck = choices.findIndex((list) => list.length === 0)
  if (stuck >= 0) return { ok: false, slotIndex: stuck, why: whyStuck(slots[stuck] as LineSlot, notes[stuck] ?? []) }

  const before = request.before && candidateOf(request.before)
  const after = request.after && candidateOf(request.after)
  const own = choices.map((list, index) =>
    list.map(
      ({ candidate, points }) => melodyCost(candidate, notes[index] ?? [], contexts[index] as SlotContext) - points,
    ),
  )
  const moves = moveTable()
  const best: { cost: number; from: number }[][] = []
  for (const [index, list] of choices.entries()) {
    const tonic = (contexts[index] as SlotContext).tonicPc
    best.push(
      list.map((each, choice) => {
        const { candidate } = each
        const ownCost = own[index]?.[choice] ?? 0
        if (index === 0) return { cost: ownCost + (before ? moveCost(before, candidate, tonic) : 0), from: -1 }
        const earlier = choices[index - 1] ?? []
        let cost = Number.MAX_SAFE_INTEGER
        let from = -1
        for (let place = 0; place < earlier.length; place++) {
          const way = (best[index - 1]?.[place]?.cost ?? 0) + moves(earlier[place] as Choice, each, tonic)
          if (way < cost) {
            cost = way
            from = place
          }
        }
        return { cost: cost + ownCost, from }
      }),
    )
  }
  const lastIndex = slots.length - 1
  const closing = (choices[lastIndex] ?? []).map(({ candidate }, choice) => ({
    choice,
    cost:
      (best[lastIndex]?.[choice]?.cost ?? 0) +
      (after ? moveCost(candidate, after, pitchClass(tonicOf(request.key.key))) : 0),
  }))
  const end = closing.reduce((least, each) => (each.cost < least.cost ? each : least))
  const path = [end.choice]
  for (let index = lastIndex; index > 0; index--) path.unshift(must(best[index]?.[path[0] ?? 0], 'a step back').from)

  const chosen = path.map((choice, index) => must(choices[index]?.[choice], 'a chosen chord').candidate)
  return {
    ok: true,
    cost: end.cost,
    slots: slots.map((slot, index): FittedSlot => {
      const around = {
        previous: chosen[index - 1] ?? before,
        next: chosen[index + 1] ?? after,
        context: contexts[index] as SlotContext,
      }
      const candidate = chosen[index] as Candidate
      const over = notes[index] ?? []
      const runnerUp = secondChoice(slot, candidate, over, around)
      return {
        startTick: slot.startTick,
        endTick: slot.endTick,
        chord: parsed(writtenName(candidate, over)),
        why: whyChosen(candidate, over, around),
        degrees: degreesInWords(candidate, over),
        ...(runnerUp ? { runnerUp } : {}),
        ...(early.has(index) ? { isEarly: true as const } : {}),
        nameFor: (startTick, endTick) =>
          parsed(writtenName(candidate, notesBetween(request.notes, startTick, endTick))),
      }
    }),
  }
}

/** `moveCost` remembered for one line: a free line of two hundred bars asks for the same few thousand moves millions of times. */
function moveTable(): (from: Choice, to: Choice, tonicPc: number) => number {
  const size = 12 * QUALITIES.length
  const known = new Map<number, Int16Array>()
  return (from, to, tonicPc) => {
    let table = known.get(tonicPc)
    if (!table) known.set(tonicPc, (table = new Int16Array(size * size).fill(UNKNOWN)))
    const at = from.code * size + to.code
    const cost = table[at] as number
    return cost === UNKNOWN ? (table[at] = moveCost(from.candidate, to.candidate, tonicPc)) : cost
  }
}
const UNKNOWN = 0x7fff

interface Choice {
  readonly candidate: Candidate
  readonly points: number
  /** Root and quality as one number. */
  readonly code: number
}

/** The plain triad is for lines that ask for it (I over its third); elsewhere the sixth says the same. */
const UNASKED = QUALITIES.filter(({ id }) => id !== '')

function candidatesOf(slot: LineSlot): readonly Choice[] {
  return slot.roots.flatMap(({ root, bass, quality, points = 0 }) => {
    const rootPc = pitchClass(root)
    const rows = quality === undefined ? UNASKED : [must(findQuality(quality), quality)]
    return rows.map((row): Choice => ({
      candidate: {
        root,
        rootPc,
        family: row.family,
        tones: row.tones,
        quality: row,
        ...(bass === undefined ? {} : { bass }),
      },
      points,
      code: rootPc * QUALITIES.length + QUALITIES.indexOf(row),
    }))
  })
}

const legalChoices = (slot: LineSlot, notes: readonly LineNote[]): readonly Choice[] =>
  candidatesOf(slot).filter(({ candidate }) => worstFit(candidate, notes).fit !== 'hard')

/** Whether any of a slot's roots has a quality that carries its notes. */
export const canCarry = (slot: LineSlot, notes: readonly LineNote[]): boolean =>
  legalChoices(slot, notesBetween(notes, slot.startTick, slot.endTick)).length > 0

function contextOf(slot: LineSlot, request: LineRequest): SlotContext {
  const key = slot.key ?? request.key
  return {
    key,
    keyPcs: keyPitchClasses(key),
    tonicPc: pitchClass(tonicOf(key.key)),
    beatTicks: request.beatTicks,
    keep: request.keep ?? 0,
    ...(slot.was ? { was: slot.was } : {}),
  }
}

/** Whether the slot gives points for just this quality. */
const isAskedFor = ({ roots }: LineSlot, { quality, rootPc }: Candidate): boolean =>
  roots.some((each) => each.quality === quality?.id && (each.points ?? 0) > 0 && pitchClass(each.root) === rootPc)

function secondChoice(
  slot: LineSlot,
  chosen: Candidate,
  notes: readonly LineNote[],
  around: Around,
): FittedSlot['runnerUp'] {
  const others = candidatesOf({ ...slot, roots: [{ root: chosen.root }] })
    .map(({ candidate }) => candidate)
    // A 6 beside a ∆ is no other answer, but where the held root is why it was taken.
    .filter((candidate) => candidate.family !== chosen.family || isHeldFor(chosen, candidate, notes, around.context))
    .map((candidate) => ({ candidate, cost: costHere(candidate, notes, around) }))
  const second = others.reduce<(typeof others)[number] | undefined>(
    (least, each) => (least === undefined || each.cost < least.cost ? each : least),
    undefined,
  )
  if (!second) return undefined
  const worst = worstFit(second.candidate, notes)
  const why =
    worst.fit === 'hard' && worst.note
      ? `${show(worst.note.name)} would be its ${clashName(worst.note.pc - second.candidate.rootPc)}`
      : degreesInWords(second.candidate, notes)
  return {
    chord: parsed(writtenName(second.candidate, notes)),
    why,
    lost: worst.fit === 'hard' ? why : whyLost(chosen, second.candidate, notes, around, isAskedFor(slot, chosen)),
    ...(worst.fit === 'hard' ? { refused: true as const } : {}),
  }
}

function whyChosen(candidate: Candidate, notes: readonly LineNote[], { previous, next, context }: Around): string {
  const degrees = degreesInWords(candidate, notes)
  const onward = next && moveReason(candidate, next, context.tonicPc)
  const isInKey = candidate.tones.every((tone) => context.keyPcs.has((candidate.rootPc + tone) % 12))
  const reason =
    onward ??
    (isInKey ? `every note of it is in ${show(context.key.key)}` : keptNotes(previous, candidate, context.key))
  return [degrees, reason].filter((part) => part).join('; ')
}

/** What a chord shares with the one before, where that is at least two notes. */
function keptNotes(previous: Candidate | undefined, candidate: Candidate, key: KeySignature): string {
  if (!previous) return ''
  const before = new Set(previous.tones.map((tone) => (previous.rootPc + tone) % 12))
  const kept = candidate.tones.map((tone) => (candidate.rootPc + tone) % 12).filter((pc) => before.has(pc))
  return kept.length < 2 ? '' : `keeps ${listOf(kept.map((pc) => show(rootInKey(pc, key))))} of the chord before`
}

function whyStuck(slot: LineSlot, notes: readonly LineNote[]): string {
  const root = slot.roots[0]?.root ?? ''
  const heard = [...new Set(notes.filter((note) => !note.isPassing).map((note) => show(note.name)))]
  return `no chord on ${slot.roots.length === 1 ? show(root) : 'these roots'} carries ${listOf(heard)}`
}
const listOf = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`

/** Where a slot's root has no quality for all its notes, the next root comes early: on the last beat from which both work. */
function anticipate(request: LineRequest): { slots: readonly LineSlot[]; early: ReadonlySet<number> } {
  const slots = [...request.slots]
  const early = new Set<number>()
  const isLegal = (slot: LineSlot, startTick: number, endTick: number): boolean =>
    canCarry({ ...slot, startTick, endTick }, request.notes)
  for (let index = 0; index < slots.length - 1; index++) {
    const slot = slots[index] as LineSlot
    const next = slots[index + 1] as LineSlot
    if (isLegal(slot, slot.startTick, slot.endTick)) continue
    for (let tick = slot.endTick - request.beatTicks; tick > slot.startTick; tick -= request.beatTicks) {
      if (!isLegal(slot, slot.startTick, tick) || !isLegal(next, tick, next.endTick)) continue
      slots[index] = { ...slot, endTick: tick }
      slots[index + 1] = { ...next, startTick: tick }
      early.add(index + 1)
      break
    }
  }
  return { slots, early }
}
