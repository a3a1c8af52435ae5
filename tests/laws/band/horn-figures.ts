/** Horns that have not got the melody. */
import { instrumentOf, type PartSpec, pitchClass, TICKS_PER_QUARTER } from '@chartloft/shared-theory'
import { EIGHTH, mod, type Played, type Share, share, count, notesOf } from './sample.js'

/** Longest stretch, in bars, a horn that does not lead plays without an eighth of silence. */
export function longestBreath(played: readonly Played[]): { readonly bars: number; readonly where: string } {
  let longest = { bars: 0, where: '' }
  for (const { arrangement, where } of played)
    for (const spec of arrangement.lineup) {
      if (!instrumentOf(spec).breathes || spec.role !== 'horn') continue
      let from = 0
      let end = 0
      let at = 0
      arrangement.bars.forEach((bar, index) => {
        for (const { startTick, durationTicks } of notesOf(bar, spec)) {
          if (at + startTick - end >= EIGHTH) from = at + startTick
          end = at + startTick + durationTicks
          const bars = (end - from) / bar.lengthTicks
          if (bars > longest.bars) longest = { bars, where: `${where}, bar ${index + 1}: ${spec.id}` }
        }
        at += bar.lengthTicks
      })
    }
  return longest
}

export interface HornFigures {
  /** Horn notes that do not rise above the melody they sound with. */
  readonly underLine: Share
  /** Two horns: attacks together a third, sixth, unison or octave apart. */
  readonly consonant: Share
  /** No minor ninth held a beat between two horns. */
  readonly rubs: Share
  /** Horns of one section struck together, the lower instrument never above the higher. */
  readonly crossings: Share
}

const WINDS: readonly string[] = ['brass', 'reed', 'flute']

/** What horns play that have not got the melody, under a wind that has it and behind the rest. */
export function hornFigures(played: readonly Played[]): HornFigures {
  const figures: HornFigures = { underLine: share(), consonant: share(), rubs: share(), crossings: share() }
  for (const { arrangement, where } of played) {
    const horns = arrangement.lineup.filter((spec) => WINDS.includes(instrumentOf(spec).family))
    const [leader] = arrangement.lineup
    if (horns.length === 0 || !leader) continue
    arrangement.bars.forEach((bar, index) => {
      const place = () => `${where}, bar ${index + 1}`
      const notes = horns.flatMap((spec) =>
        notesOf(bar, spec)
          .filter(() => spec.id !== leader.id)
          .map((note) => ({ spec, note })),
      )
      for (const { note } of notes) {
        const sung = bar.melody.find(
          ({ startTick, durationTicks }) => startTick <= note.startTick && note.startTick < startTick + durationTicks,
        )
        if (!sung) continue
        count(figures.underLine, note.midi <= sung.midi, place)
        if (horns.length === 2 && horns.includes(leader) && sung.startTick === note.startTick) {
          const apart = mod(sung.midi - note.midi, 12)
          count(figures.consonant, [0, 3, 4, 8, 9].includes(apart), place)
        }
      }
      for (const low of notes)
        for (const high of notes) {
          if (low.spec === high.spec) continue
          const together =
            Math.min(low.note.startTick + low.note.durationTicks, high.note.startTick + high.note.durationTicks) -
            Math.max(low.note.startTick, high.note.startTick)
          if (together <= 0) continue
          const apart = high.note.midi - low.note.midi
          if (together >= TICKS_PER_QUARTER) {
            const root = bar.chords.findLast(({ startTick }) => startTick <= high.note.startTick)?.chord.root ?? ''
            const isRoot = root !== '' && pitchClass(root) === mod(low.note.midi, 12)
            count(figures.rubs, !(apart > 12 && mod(apart, 12) === 1) || isRoot, place)
          }
          const [lowMiddle, highMiddle] = [middleOf(low.spec), middleOf(high.spec)]
          if (lowMiddle < highMiddle && low.note.startTick === high.note.startTick)
            count(figures.crossings, low.note.midi <= high.note.midi, place)
        }
    })
  }
  return figures
}

const middleOf = (spec: PartSpec): number => {
  const [low, high] = instrumentOf(spec).range
  return low + high
}
