/** Swing and unevenness, measured in the schedule. */
import {
  compile,
  defaultPlan,
  proposeOptions,
  scheduleEvents,
  swingRatioAt,
  TICKS_PER_QUARTER,
  type Tune,
} from '@chartloft/shared-theory'
import { EIGHTH, type Played, TUNES } from './sample.js'

/** Farthest the ride's off-beat lies from the place the published curve gives it, in thousandths of a beat, over the tempi of the table.
 *  Source of the curve: Friberg & Sundström 2002 (ends and slope); rows between from memory. */
export function swingError(tempi: readonly number[]): {
  readonly worst: number
  readonly fallsWithTempo: boolean
  readonly shortMs: number
} {
  const tune = TUNES[0] as Tune
  const base = defaultPlan(tune)
  const swing = proposeOptions(tune, 'groove', base).find(({ params }) => params['groove'] === 'swing-medium')
  const { arrangement } = compile({ ...base, chosen: swing ? [{ kind: 'groove', option: swing }] : [] })
  let worst = 0
  let shortMs = Infinity
  const measured: number[] = []
  for (const bpm of tempi) {
    const bars = arrangement.bars.slice(8, 16).map((bar) => ({ ...bar, feel: 'swing', tempoBpm: bpm }))
    const at = { ...arrangement, groove: 'swing-medium', bars }
    const events = scheduleEvents(at, { humanise: false, parts: ['drums'] })
    for (const { midi, startTick, playTick } of events) {
      if (midi !== 51 || startTick % TICKS_PER_QUARTER !== EIGHTH) continue
      const place = (playTick - startTick + EIGHTH) / TICKS_PER_QUARTER
      const ratio = swingRatioAt(bpm) / 100
      worst = Math.max(worst, Math.abs(place - ratio / (ratio + 1)))
      shortMs = Math.min(shortMs, ((1 - place) * 60_000) / bpm)
      measured.push(place)
    }
  }
  const fallsWithTempo = measured.every(
    (place, index) => index === 0 || place <= (measured[index - 1] as number) + 1e-9,
  )
  return { worst: Math.round(worst * 1e6) / 1000, fallsWithTempo, shortMs: Math.round(shortMs) }
}

/** How far humanising moves onsets (ms) and loudness, whether the same seed plays the same, and another one otherwise. */
export function unevenness(played: readonly Played[]): {
  readonly ms: number
  readonly velocity: number
  readonly sameAgain: boolean
  readonly otherSeedDiffers: boolean
} {
  let ms = 0
  let velocity = 0
  let sameAgain = true
  let otherSeedDiffers = true
  for (const { arrangement } of played) {
    const plain = scheduleEvents(arrangement, { humanise: false })
    const loose = scheduleEvents(arrangement, { seed: 7 })
    plain.forEach((event, index) => {
      const other = loose[index]
      if (!other) return
      if (event.startMs > 50) ms = Math.max(ms, Math.abs(event.startMs - other.startMs))
      velocity = Math.max(velocity, Math.abs(event.velocity - other.velocity))
    })
    const again = JSON.stringify(scheduleEvents(arrangement, { seed: 7 }))
    sameAgain &&= again === JSON.stringify(loose)
    if (arrangement.bars.length > 8)
      otherSeedDiffers &&= JSON.stringify(scheduleEvents(arrangement, { seed: 8 })) !== again
  }
  return { ms: Math.round(ms * 100) / 100, velocity, sameAgain, otherSeedDiffers }
}

export const SWING_TEMPI: readonly number[] = [60, 80, 100, 120, 140, 160, 180, 200, 220, 240, 260, 280, 300]
