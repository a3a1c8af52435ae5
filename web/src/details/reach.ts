/** Whether a player reaches the tune: how far it leaves the comfortable range, and what would mend it. */
import { findInstrument, type PartSpec } from '@chartloft/shared-theory'

type Range = readonly [lowMidi: number, highMidi: number]

export interface OutOfReach {
  /** Half steps the tune goes below and above the range; one of them is more than 0. */
  readonly below: number
  readonly above: number
  /** There is a key in which all of it fits. */
  readonly key?: true
  /** Where no key is enough: a key and an octave. */
  readonly octave?: 'lower' | 'higher'
  /** The first other player who reaches all of it as it is. */
  readonly other?: string
}

/** How far a change of key moves a tune. */
const LEAST_SHIFT = -5
const MOST_SHIFT = 6
const OCTAVE = 12

/** Undefined where the instrument reaches the whole tune, or is not known. */
export function outOfReach(
  tune: Range,
  leader: Pick<PartSpec, 'instrument'>,
  others: readonly Pick<PartSpec, 'instrument' | 'name' | 'role'>[] = [],
): OutOfReach | undefined {
  const range = findInstrument(leader.instrument)?.range
  if (!range || fits(tune, range)) return undefined
  const hasKey = fitsInSomeKey(tune, range, 0)
  const octave = fitsInSomeKey(tune, range, -OCTAVE)
    ? 'lower'
    : fitsInSomeKey(tune, range, OCTAVE)
      ? 'higher'
      : undefined
  const other = others.find(({ instrument, role }) => {
    const reach = findInstrument(instrument)?.range
    return role !== 'bass' && role !== 'drums' && reach !== undefined && fits(tune, reach)
  })
  return {
    below: Math.max(0, range[0] - tune[0]),
    above: Math.max(0, tune[1] - range[1]),
    ...(hasKey ? { key: true } : octave ? { octave } : {}),
    ...(other ? { other: other.name } : {}),
  }
}

const fits = ([low, high]: Range, [least, most]: Range): boolean => low >= least && high <= most

function fitsInSomeKey([low, high]: Range, range: Range, moved: number): boolean {
  for (let shift = moved + LEAST_SHIFT; shift <= moved + MOST_SHIFT; shift++) {
    if (fits([low + shift, high + shift], range)) return true
  }
  return false
}
