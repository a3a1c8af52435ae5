/** Written note values: which durations one note sign can show, with at most one dot. */
import { TICKS_PER_QUARTER } from '../../contract/index.js'

export type NoteType = 'breve' | 'whole' | 'half' | 'quarter' | 'eighth' | '16th' | '32nd' | '64th'
export interface NoteValue {
  readonly type: NoteType
  readonly dots: 0 | 1
}

/** Ticks of the shortest undotted sign we write, the 64th note: everything that is no multiple of it is a tuplet. */
export const SHORTEST_TICKS = TICKS_PER_QUARTER / 16

const TYPES: readonly (readonly [ticks: number, type: NoteType])[] = [
  [8 * TICKS_PER_QUARTER, 'breve'],
  [4 * TICKS_PER_QUARTER, 'whole'],
  [2 * TICKS_PER_QUARTER, 'half'],
  [TICKS_PER_QUARTER, 'quarter'],
  [TICKS_PER_QUARTER / 2, 'eighth'],
  [TICKS_PER_QUARTER / 4, '16th'],
  [TICKS_PER_QUARTER / 8, '32nd'],
  [TICKS_PER_QUARTER / 16, '64th'],
]

const BY_TICKS: ReadonlyMap<number, NoteValue> = new Map(
  TYPES.flatMap(([ticks, type], index): [number, NoteValue][] => [
    [ticks, { type, dots: 0 }],
    // A dotted breve or dotted 64th would need a sign beyond the table.
    ...(index > 0 && index < TYPES.length - 1 ? [[ticks * 1.5, { type, dots: 1 }] as [number, NoteValue]] : []),
  ]),
)

/** The sign for a duration, or undefined where it takes more than one. */
export function noteValue(ticks: number): NoteValue | undefined {
  return BY_TICKS.get(ticks)
}

/** The longest sign not longer than a duration: for durations no sign shows. */
export function nearestValue(ticks: number): NoteValue {
  const found = TYPES.find(([length]) => length <= ticks)
  return { type: found ? found[1] : '64th', dots: 0 }
}

/** Beams (or flags) of a sign: eighth 1 … 64th 4, longer signs none. */
export function beamCount(type: NoteType): number {
  return { breve: 0, whole: 0, half: 0, quarter: 0, eighth: 1, '16th': 2, '32nd': 3, '64th': 4 }[type]
}
