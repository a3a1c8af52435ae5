/** What is measured on samples when the sounds are made: where they begin, how high, how loud. */
import { levelAt } from '../src/audio/envelope.js'
import { gatedLoudness, peakLoudness } from '../src/audio/loudness.js'
import type { ZoneEnvelope } from '../src/audio/zone-table.js'

/** A sound begins where it first comes within so many decibels of its peak. */
const AUDIBLE_DB = -40
/** So long after its start a note must be audible, and steps in which that start is looked for. */
const AUDIBLE_WITHIN_SECONDS = 0.0003
const STEP_SECONDS = 0.0002
const LONGEST_LEAD_SECONDS = 0.08

/** Seconds of the sample before its sound: started there, through envelope and filter, it is audible at once. */
export function leadOf(
  audio: Float32Array,
  rate: number,
  envelope: ZoneEnvelope,
  filterHertz: number | undefined,
): number {
  const shape = { envelope, releaseSeconds: Infinity }
  const heardFrom = (lead: number, frames: number) => {
    const from = Math.round(lead * rate)
    const part = lowPassed(audio.subarray(from, from + frames), rate, filterHertz ?? rate)
    return part.map((sample, index) => Math.abs(sample) * levelAt(shape, index / rate))
  }
  const threshold =
    heardFrom(0, Math.round(rate)).reduce((peak, sample) => Math.max(peak, sample), 0) * 10 ** (AUDIBLE_DB / 20)
  const soon = Math.ceil(AUDIBLE_WITHIN_SECONDS * rate)
  for (let lead = 0; lead < LONGEST_LEAD_SECONDS; lead += STEP_SECONDS)
    if (heardFrom(lead, soon).some((sample) => sample >= threshold)) return lead
  return 0
}

/** The sample as it sounds when held: its loop repeated up to so many seconds. */
export function heldAudio(
  audio: Float32Array,
  rate: number,
  loop: readonly [number, number] | undefined,
  fromSeconds: number,
  forSeconds: number,
): Float32Array {
  const out = new Float32Array(Math.round(forSeconds * rate))
  const from = Math.round(fromSeconds * rate)
  for (let index = 0; index < out.length; index++) {
    let at = from + index
    if (loop && at >= loop[1]) at = loop[0] + ((at - loop[0]) % (loop[1] - loop[0]))
    out[index] = audio[at] ?? 0
  }
  return out
}

const LEAST_CORRELATION = 0.6

/** Fundamental in hertz near an expected one: the best lag of the normalised autocorrelation, over many periods for precision:
 *  lags up to the longest are compared, as long as the sound is still like itself. */
export function fundamentalNear(
  audio: Float32Array,
  rate: number,
  expected: number,
  longestLagSeconds: number,
): number | undefined {
  const window = Math.min(audio.length >> 1, Math.round(rate * 0.12))
  const correlation = (lag: number): number => {
    let [sum, one, other] = [0, 0, 0]
    for (let index = 0; index < window; index++) {
      const a = audio[index] as number
      const b = audio[index + lag] as number
      sum += a * b
      one += a * a
      other += b * b
    }
    return sum / Math.sqrt(one * other + 1e-20)
  }
  // From one period to many: each step knows the lag well enough to find the next one among its neighbours.
  let period = rate / expected
  let found: number | undefined
  for (let count = 1; period * count < Math.min(rate * longestLagSeconds, audio.length - window - 8); count++) {
    const middle = Math.round(period * count)
    const around = count === 1 ? Math.ceil(period * 0.06) + 1 : Math.max(1, Math.min(4, Math.floor(period / 4)))
    const low = Math.max(1, middle - around - 1)
    const values = Array.from({ length: middle + around + 2 - low }, (_, index) => correlation(low + index))
    const best = values.indexOf(Math.max(...values))
    if (best === 0 || best === values.length - 1) break
    const [left, top, right] = values.slice(best - 1, best + 2) as [number, number, number]
    if (top < LEAST_CORRELATION) break
    const bend = left - 2 * top + right
    period = (low + best + (bend === 0 ? 0 : (left - right) / (2 * bend))) / count
    found = rate / period
  }
  return found
}

/** A second-order low-pass with the response the browser's filter has at −3 dB resonance. */
export function lowPassed(audio: Float32Array, rate: number, hertz: number): Float32Array {
  if (hertz >= rate * 0.45) return audio
  const w = (2 * Math.PI * hertz) / rate
  const alpha = Math.sin(w) / Math.SQRT2
  const cos = Math.cos(w)
  const [b0, b1] = [(1 - cos) / 2 / (1 + alpha), (1 - cos) / (1 + alpha)]
  const [a1, a2] = [(-2 * cos) / (1 + alpha), (1 - alpha) / (1 + alpha)]
  const out = new Float32Array(audio.length)
  let [s1, s2] = [0, 0]
  for (let index = 0; index < audio.length; index++) {
    const x = audio[index] as number
    const y = b0 * x + s1
    s1 = b1 * x - a1 * y + s2
    s2 = b0 * x - a2 * y
    out[index] = y
  }
  return out
}

/** How loud a note is that is held so long, in LUFS; `isStroke` asks for its loudest 400 ms. */
export function noteLoudness(
  audio: Float32Array,
  rate: number,
  envelope: ZoneEnvelope,
  filterHertz: number | undefined,
  isStroke: boolean,
): number {
  const cut = filterHertz === undefined ? audio : lowPassed(audio, rate, filterHertz)
  const shape = { envelope, releaseSeconds: audio.length / rate }
  const shaped = cut.map((sample, index) => sample * levelAt(shape, index / rate))
  return isStroke ? peakLoudness([shaped], rate) : gatedLoudness([shaped], rate)
}
