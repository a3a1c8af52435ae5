/** VA8: a minor ninth between voices that hold against each other. */
import type { ArrangedBar, Issue, PartNote } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { qualityOf } from '../chords/index.js'
import { issue, mod, nameOfPitch, parsePitch, pitchClass } from '../units/index.js'
import { type CheckContext, type CheckedPart, isPlayedAsPrinted, notesOf, readableBars } from './check-context.js'
import { shownName, shownNote } from './words.js'

interface Voice {
  readonly part: CheckedPart
  readonly note: PartNote
  readonly place: number
}

export function checkMinorNinths(context: CheckContext): Issue[] {
  const lines = context.parts.filter(({ isLine }) => isLine)
  const chordal = context.parts.filter(({ spec }) => spec.role === 'chords')
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    const concerted = lines.flatMap((part) => voicesOf(bar, part).filter(({ note }) => isPlayedAsPrinted(note)))
    const groups = [concerted, ...chordal.map((part) => voicesOf(bar, part))]
    for (const voices of groups) {
      const clash = longestClash(bar, voices)
      if (!clash) continue
      const { low, high } = clash
      const highName = shownNote(high.note, bar.key)
      const lowName = shownNote(low.note, bar.key)
      const isOnePart = low.part === high.part
      const text = isOnePart
        ? `the ${high.part.name}'s ${highName} is a minor ninth above its own ${lowName}; drop one of them.`
        : `the ${high.part.name}'s ${highName} is a minor ninth above the ${low.part.name}'s ${lowName}; swap them or drop the ${dropped(low)}.`
      const path = `bars/${index}/parts/${high.part.spec.id}/${high.place}`
      found.push(issue('VA8', 'warning', path, `Bar ${context.numberOf(index)}: ${text}`))
    }
  }
  return found
}

const voicesOf = (bar: ArrangedBar, part: CheckedPart): Voice[] =>
  notesOf(bar, part).map((note, place) => ({ part, note, place }))

const dropped = ({ note }: Voice): string => (parsePitch(note.name) ? shownName(nameOfPitch(note.name)) : 'lower note')

/** The clash that holds longest. */
function longestClash(bar: ArrangedBar, voices: readonly Voice[]): { low: Voice; high: Voice } | undefined {
  let longest: { low: Voice; high: Voice; ticks: number } | undefined
  for (const low of voices) {
    for (const high of voices) {
      const distance = high.note.midi - low.note.midi
      if (distance < 13 || (distance - 1) % 12 !== 0) continue
      const start = Math.max(low.note.startTick, high.note.startTick)
      const ticks = Math.min(endOf(low.note), endOf(high.note)) - start
      const isPassing = ticks <= TICKS_PER_QUARTER && (isMelody(bar, low) || isMelody(bar, high))
      if (ticks < TICKS_PER_QUARTER || isPassing || isExempt(bar, low.note, start)) continue
      if (!longest || ticks > longest.ticks) longest = { low, high, ticks }
    }
  }
  return longest
}

/** The tune moves over what the others hold: a beat of it is no chord. A chord player who strikes it too does not move. */
const isMelody = (bar: ArrangedBar, { part, note }: Voice): boolean =>
  part.isLine && bar.melody.some(({ startTick, midi }) => startTick === note.startTick && midi === note.midi)

const endOf = ({ startTick, durationTicks }: PartNote): number => startTick + durationTicks

/** ♭9 over a dominant's root, and anything over the bass a slash chord declares. */
function isExempt(bar: ArrangedBar, low: PartNote, tick: number): boolean {
  const placed = bar.chords.find(
    ({ startTick, durationTicks }) => startTick <= tick && tick < startTick + durationTicks,
  )
  if (!placed || placed.chord.root === '') return false
  const { chord } = placed
  const pc = mod(low.midi, 12)
  if (chord.bass !== undefined && pitchClass(chord.bass) === pc) return true
  return pitchClass(chord.root) === pc && ['dominant', 'sus'].includes(qualityOf(chord))
}
