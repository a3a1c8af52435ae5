/** The bass player, rule by rule. */
import {
  type ArrangedBar,
  bassOf,
  type Groove,
  grooveOfBar,
  type PartNote,
  pitchClass,
  pitchClassesOf,
  TICKS_PER_QUARTER,
} from '@chartloft/shared-theory'
import { EIGHTH, mod, type Played, type Share, share, count, partOf, notesOf, isFree } from './sample.js'

const isWalking = (notes: readonly PartNote[], bar: ArrangedBar, groove: Groove): boolean =>
  [groove.bass.one, groove.bass.walk].some((row) => row?.flat().some(({ degree }) => degree === 'w')) &&
  notes.length >= bar.metre.beats

/** Roots (or the bass a slash chord declares) where the harmony begins, in bars that do not walk. */
export function rootsOnHarmony(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      const notes = notesOf(bar, bass)
      const own = grooveOfBar(groove, bar)
      if (notes.length === 0 || isFree(bar) || isWalking(notes, bar, own)) return
      for (const placed of bar.chords) {
        const wanted = bassOf(placed.chord)
        if (wanted === undefined) continue
        const sounds = notes.find(
          ({ startTick, durationTicks }) =>
            startTick <= placed.startTick && placed.startTick < startTick + durationTicks,
        )
        const isRoot = sounds !== undefined && mod(sounds.midi, 12) === pitchClass(wanted)
        count(found, isRoot, () => `${where}, bar ${index + 1}: ${placed.chord.symbol} over ${sounds?.name}`)
      }
    })
  }
  return found
}

export interface Walking {
  readonly rootsFirst: Share
  readonly rootsLater: Share
  readonly newChordRoots: Share
  readonly strongTones: Share
  readonly halfSteps: Share
  readonly leads: Share
  readonly noRepeats: Share
  readonly octave: Share
  readonly turned: Share
  readonly kinds: Share
  readonly inRange: Share
}

/** The walking rules, measured on every walked bar of four, three and five beats. */
export function walkingFigures(played: readonly Played[]): Walking {
  const figures: Walking = {
    rootsFirst: share(),
    rootsLater: share(),
    newChordRoots: share(),
    strongTones: share(),
    halfSteps: share(),
    leads: share(),
    noRepeats: share(),
    octave: share(),
    turned: share(),
    kinds: share(),
    inRange: share(),
  }
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    const firstPass = arrangement.bars[0]?.pass
    let kinds: number[] = []
    let leap = 0
    arrangement.bars.forEach((bar, index) => {
      const all = notesOf(bar, bass)
      const next = arrangement.bars[index + 1]
      const own = grooveOfBar(groove, bar)
      if (isFree(bar) || next === undefined || !isWalking(all, bar, own)) {
        kinds = []
        leap = 0
        return
      }
      const place = () => `${where}, bar ${index + 1}: ${all.map(({ name }) => name).join(' ')}`
      // A dead note has no pitch; the first of a pair on the last beat is on its way to the second.
      const line = all.filter(({ durationTicks }, at) => durationTicks > EIGHTH / 2 && !isPairBegun(all, at))
      const chord = bar.chords[0]?.chord
      const root = chord && bassOf(chord)
      const first = line[0]
      if (!chord || root === undefined || !first) return
      const before = arrangement.bars[index - 1]?.chords.at(-1)?.chord
      const isRoot = mod(first.midi, 12) === pitchClass(root)
      count(bar.pass === firstPass ? figures.rootsFirst : figures.rootsLater, isRoot, place)
      if (before?.symbol !== chord.symbol) count(figures.newChordRoots, isRoot, place)
      if (bar.chords.length === 1 && bar.metre.beats === 4) {
        const third = line.find(({ startTick }) => startTick === 2 * TICKS_PER_QUARTER)
        if (third) count(figures.strongTones, pitchClassesOf(chord).includes(mod(third.midi, 12)), place)
      }
      const following = notesOf(next, bass)[0]
      const goesOn = following && isWalking(notesOf(next, bass), next, grooveOfBar(groove, next))
      const whole = goesOn ? [...line, following] : line
      whole.forEach((note, at) => {
        const step = at === 0 ? undefined : note.midi - (whole[at - 1] as PartNote).midi
        if (step !== undefined) {
          count(figures.noRepeats, step !== 0, place)
          count(figures.octave, Math.abs(step) <= 12, place)
          if (Math.abs(leap) > 7) count(figures.turned, Math.sign(step) !== Math.sign(leap), place)
          leap = step
        }
        count(figures.inRange, note.midi >= 28 && note.midi <= 55, place)
      })
      const last = line.at(-1)
      const nextChord = next.chords[0]?.chord
      if (nextChord?.symbol === bar.chords.at(-1)?.chord.symbol) kinds = []
      if (goesOn && last && following && nextChord && nextChord.symbol !== bar.chords.at(-1)?.chord.symbol) {
        const step = last.midi - following.midi
        count(figures.halfSteps, Math.abs(step) === 1, place)
        count(figures.leads, [1, 2, 5, 7].includes(Math.abs(step)), place)
        if (bar.chords.length > 1) kinds = []
        kinds.push(step)
        count(figures.kinds, !(kinds.length > 2 && kinds.slice(-3).every((kind) => kind === step)), place)
      }
    })
  }
  return figures
}

const isPairBegun = (all: readonly PartNote[], at: number): boolean =>
  at === all.length - 2 && all[at]?.durationTicks === EIGHTH && all[at + 1]?.durationTicks === EIGHTH

/** Grooves in which bass drum and bass are one. */
const AGREEING: readonly string[] = ['backbeat', 'bossa', 'samba', 'cha-cha', 'seven-4-even']

/** Bass-drum strokes (not the feathered ones) that meet a bass note. */
export function kickMeetsBass(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    const drums = partOf(arrangement, 'drums')
    if (!bass || !drums || !AGREEING.includes(groove.id)) continue
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      if (isFree(bar) || notesOf(bar, bass).length === 0 || grooveOfBar(groove, bar).id !== groove.id) return
      const onsets = new Set(notesOf(bar, bass).map(({ startTick }) => startTick))
      for (const { name, velocity, startTick } of notesOf(bar, drums))
        if (name === 'kick' && velocity > groove.dyn - 17)
          count(
            found,
            onsets.has(startTick),
            () => `${where}, bar ${index + 1}, beat ${1 + startTick / TICKS_PER_QUARTER}`,
          )
    })
  }
  return found
}
