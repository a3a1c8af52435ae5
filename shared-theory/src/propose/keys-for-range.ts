/** The keys in which a lead's melody lies well: all twelve tried, from the tune's own key outwards. */
import { compileForm } from '../compile/index.js'
import type { KeyFit, Plan, Tune } from '../contract/index.js'
import { keyAway, pitchInKey } from '../units/index.js'

const LOWEST = -5
const HIGHEST = 6

/** One answer for every distance from −5 to +6 half steps (how the compiler moves to a key), best first. The range is that of the whole
 *  arrangement's lead, lifts included. A tune without melody fits everywhere. */
export function keysForRange(tune: Tune, plan: Plan, range: readonly [lowMidi: number, highMidi: number]): KeyFit[] {
  const { key: _key, ...rest } = plan
  const { bars } = compileForm({ ...rest, tune })
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const { melody } of bars) {
    for (const { midi } of melody) {
      low = Math.min(low, midi)
      high = Math.max(high, midi)
    }
  }
  if (low > high) [low, high] = range
  const fits: KeyFit[] = []
  for (let semitones = LOWEST; semitones <= HIGHEST; semitones++) fits.push(fitOf(tune, semitones, low, high, range))
  return fits.sort(
    (a, b) => b.score - a.score || Math.abs(a.semitones) - Math.abs(b.semitones) || b.semitones - a.semitones,
  )
}

function fitOf(
  tune: Tune,
  semitones: number,
  low: number,
  high: number,
  [rangeLow, rangeHigh]: readonly [number, number],
): KeyFit {
  const key = keyAway(tune.key, semitones)
  const lowMidi = low + semitones
  const highMidi = high + semitones
  const below = Math.max(0, rangeLow - lowMidi)
  const above = Math.max(0, highMidi - rangeHigh)
  const isInside = below === 0 && above === 0
  const offCentre = Math.abs(lowMidi + highMidi - rangeLow - rangeHigh) / 2
  const score = isInside
    ? 1 - Math.min(0.3, offCentre / 40) - Math.abs(key.fifths) / 100 - Math.abs(semitones) / 200
    : 0.45 - Math.min(0.4, (below + above) / 30) - Math.abs(semitones) / 400
  const lowest = pitchInKey(lowMidi, key)
  const highest = pitchInKey(highMidi, key)
  const out = [
    ...(below > 0 ? [`${lowest} is ${halfSteps(below)} too low`] : []),
    ...(above > 0 ? [`${highest} is ${halfSteps(above)} too high`] : []),
  ]
  const reason = isInside
    ? `${lowest} to ${highest}: ${rangeHigh - highMidi} half steps to spare above, ${lowMidi - rangeLow} below.`
    : `${out.join(', ')}.`
  return {
    key: key.key,
    semitones,
    lowMidi,
    highMidi,
    fits: isInside,
    score: Math.round(Math.max(0, score) * 1000) / 1000,
    reason,
  }
}

const halfSteps = (count: number): string => (count === 1 ? 'a half step' : `${count} half steps`)
