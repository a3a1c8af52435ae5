/** The notes of an arrangement in notated time: ties joined, the melody told from the rest. */
import {
  type ArrangedBar,
  type Arrangement,
  type PartNote,
  type PartSpec,
  TICKS_PER_QUARTER,
} from '../contract/index.js'

/** A struck note before phrasing. Ticks from the start of the arrangement. */
export interface StruckNote {
  readonly part: PartSpec
  readonly barIndex: number
  readonly startTick: number
  endTick: number
  readonly midi: number
  readonly name: string
  readonly velocity: number
  readonly isTuplet: boolean
  readonly articulation?: PartNote['articulation']
  readonly isMelody: boolean
  /** Struck an eighth before the bar line and held over it. */
  readonly anticipates: boolean
}

/** All notes of all parts, in order of bars; `bars[i]` starts at `barStartTicks[i]`. A tied note is one note. */
export function collectNotes(arrangement: Arrangement, barStartTicks: readonly number[]): StruckNote[] {
  const struck: StruckNote[] = []
  const leaders = arrangement.bars.map((bar) => melodyPartOf(bar, arrangement.lineup))
  for (const part of arrangement.lineup) {
    const tied = new Map<number, StruckNote>()
    arrangement.bars.forEach((bar, index) => {
      const barStart = barStartTicks[index] as number
      const melody = leaders[index] === part.id ? melodyKeys(bar) : undefined
      for (const note of bar.parts[part.id] ?? []) {
        // A cue is read, not played.
        if (note.printed === 'cue') continue
        const startTick = barStart + note.startTick
        const endTick = startTick + note.durationTicks
        const held = tied.get(note.midi)
        if (held?.endTick === startTick) {
          held.endTick = endTick
          if (!note.tiedToNext) tied.delete(note.midi)
          continue
        }
        const begun: StruckNote = {
          part,
          barIndex: index,
          startTick,
          endTick,
          midi: note.midi,
          name: note.name,
          velocity: note.velocity,
          isTuplet: note.tuplet !== undefined,
          ...(note.articulation ? { articulation: note.articulation } : {}),
          isMelody: melody?.has(keyOf(note)) ?? false,
          anticipates: note.tiedToNext === true && note.startTick === bar.lengthTicks - TICKS_PER_QUARTER / 2,
        }
        struck.push(begun)
        if (note.tiedToNext) tied.set(note.midi, begun)
        else tied.delete(note.midi)
      }
    })
  }
  return struck
}

const ROLE_ORDER: readonly PartSpec['role'][] = ['lead', 'voice', 'horn', 'chords', 'bass']

/** The one part that plays the bar's melody: the first, leads before horns before the rhythm section, that has every note of it. */
export function melodyPartOf(bar: ArrangedBar, lineup: readonly PartSpec[]): string | undefined {
  if (bar.melody.length === 0) return undefined
  const wanted = melodyKeys(bar)
  const plays = lineup.filter(({ id, role }) => {
    if (role === 'drums') return false
    const has = new Set((bar.parts[id] ?? []).filter(({ printed }) => printed !== 'cue').map(keyOf))
    return [...wanted].every((key) => has.has(key))
  })
  return plays.sort((a, b) => ROLE_ORDER.indexOf(a.role) - ROLE_ORDER.indexOf(b.role))[0]?.id
}

const keyOf = (note: { readonly startTick: number; readonly midi: number }) => `${note.startTick}/${note.midi}`
const melodyKeys = (bar: ArrangedBar): ReadonlySet<string> => new Set(bar.melody.map(keyOf))
