/** Bars named the way a player finds them on the tune's own sheet, whatever the arrangement puts before or between. */
import type { ArrangedBar, Tune } from '../contract/index.js'

/** The bar's number in the tune as players count: from 1, the pickup not counted. */
export function barNumber(bar: Pick<ArrangedBar, 'provenance'>, tune: Pick<Tune, 'pickupTicks'>): number | undefined {
  const tuneBar = bar.provenance.tuneBar
  return tuneBar === undefined ? undefined : tuneBar + (tune.pickupTicks > 0 ? 0 : 1)
}

/** 'bar 30 of the tune': the board numbers arranged bars, so a sentence says whose bar it means. */
export const ofTheTune = (bars: string): string => `${bars} of the tune`
