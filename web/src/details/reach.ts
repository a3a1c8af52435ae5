/** Whether a player reaches the tune: how far it leaves the comfortable range, and who else of the band could take it. */
import { findInstrument, type PartSpec } from '@chartloft/shared-theory'

type Range = readonly [lowMidi: number, highMidi: number]

export interface OutOfReach {
  /** Half steps the tune goes below and above the range; one of them is more than 0. */
  readonly below: number
  readonly above: number
  /** The whole tune an octave away would fit. */
  readonly octave?: 'lower' | 'higher'
  /** The first other player who reaches all of it. */
  readonly other?: string
}

/** Undefined where the instrument reaches the whole tune, or is not known. */
export function outOfReach(
  tune: Range,
  leader: Pick<PartSpec, 'instrument'>,
  others: readonly Pick<PartSpec, 'instrument' | 'name' | 'role'>[] = [],
): OutOfReach | undefined {
  const range = findInstrument(leader.instrument)?.range
  if (!range || fits(tune, range)) return undefined
  const [low, high] = tune
  const octave = fits([low - 12, high - 12], range)
    ? 'lower'
    : fits([low + 12, high + 12], range)
      ? 'higher'
      : undefined
  const other = others.find(({ instrument, role }) => {
    const reach = findInstrument(instrument)?.range
    return role !== 'bass' && role !== 'drums' && reach !== undefined && fits(tune, reach)
  })
  return {
    below: Math.max(0, range[0] - low),
    above: Math.max(0, high - range[1]),
    ...(octave ? { octave } : {}),
    ...(other ? { other: other.name } : {}),
  }
}

const fits = ([low, high]: Range, [least, most]: Range): boolean => low >= least && high <= most
