/** Loudness as listeners judge it: K-weighted, gated. Source: ITU-R BS.1770-4, annexes 1 and 2 (filters, 400 ms blocks, gates at −70 LUFS and 10 LU). */

/** Second-order section with a[0] = 1. */
interface Section {
  readonly b: readonly [number, number, number]
  readonly a: readonly [number, number]
}

/** The standard gives coefficients at 48 kHz only; these are the same analogue filters at any rate. */
export function kWeighting(rate: number): readonly [shelf: Section, highPass: Section] {
  return [shelf(rate), highPass(rate)]
}

function shelf(rate: number): Section {
  const k = Math.tan((Math.PI * 1681.974450955533) / rate)
  const q = 0.7071752369554196
  const high = 10 ** (3.999843853973347 / 20)
  const middle = high ** 0.4996667741545416
  const scale = 1 + k / q + k * k
  return {
    b: [
      (high + (middle * k) / q + k * k) / scale,
      (2 * (k * k - high)) / scale,
      (high - (middle * k) / q + k * k) / scale,
    ],
    a: [(2 * (k * k - 1)) / scale, (1 - k / q + k * k) / scale],
  }
}

function highPass(rate: number): Section {
  const k = Math.tan((Math.PI * 38.13547087602444) / rate)
  const q = 0.5003270373238773
  const scale = 1 + k / q + k * k
  return { b: [1, -2, 1], a: [(2 * (k * k - 1)) / scale, (1 - k / q + k * k) / scale] }
}

function filtered(samples: Float32Array, { b, a }: Section): Float32Array {
  const out = new Float32Array(samples.length)
  let [s1, s2] = [0, 0]
  for (let index = 0; index < samples.length; index++) {
    const x = samples[index] as number
    const y = b[0] * x + s1
    s1 = b[1] * x - a[0] * y + s2
    s2 = b[2] * x - a[1] * y
    out[index] = y
  }
  return out
}

const BLOCK_SECONDS = 0.4
/** Blocks overlap by three quarters. */
const STEP_SECONDS = 0.1
const ABSOLUTE_GATE = -70
const RELATIVE_GATE = -10
const lufs = (power: number): number => -0.691 + 10 * Math.log10(power)

/** Mean power of each 400 ms block, the channels added; a shorter signal is one block. */
function blockPowers(channels: readonly Float32Array[], rate: number): readonly number[] {
  const length = channels[0]?.length ?? 0
  const step = Math.round(STEP_SECONDS * rate)
  const steps = Math.max(1, Math.floor(length / step))
  const sums = new Float64Array(steps)
  for (const channel of channels) {
    const [first, second] = kWeighting(rate)
    const weighted = filtered(filtered(channel, first), second)
    for (let index = 0; index < Math.min(length, steps * step); index++)
      sums[Math.floor(index / step)] = (sums[Math.floor(index / step)] as number) + (weighted[index] as number) ** 2
  }
  const perBlock = Math.round(BLOCK_SECONDS / STEP_SECONDS)
  const blocks: number[] = []
  for (let from = 0; from + perBlock <= steps; from++) {
    let sum = 0
    for (let index = from; index < from + perBlock; index++) sum += sums[index] as number
    blocks.push(sum / (perBlock * step))
  }
  if (blocks.length === 0) blocks.push(sums.reduce((sum, value) => sum + value, 0) / Math.max(1, length))
  return blocks
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

/** Gated loudness in LUFS; −Infinity where nothing passes the gate. */
export function gatedLoudness(channels: readonly Float32Array[], rate: number): number {
  const loud = blockPowers(channels, rate).filter((power) => lufs(power) > ABSOLUTE_GATE)
  if (loud.length === 0) return -Infinity
  const gate = lufs(meanOf(loud)) + RELATIVE_GATE
  const kept = loud.filter((power) => lufs(power) > gate)
  return kept.length === 0 ? -Infinity : lufs(meanOf(kept))
}

/** The loudest 400 ms, in LUFS: what a single stroke is judged by. */
export function peakLoudness(channels: readonly Float32Array[], rate: number): number {
  return lufs(Math.max(...blockPowers(channels, rate)))
}

/** More than that is no matter of level. */
const MOST_DB = 12

/** Decibels that bring the second to the first; nothing where either is silent. */
export function matchDb(firstLufs: number, secondLufs: number): number {
  if (!Number.isFinite(firstLufs) || !Number.isFinite(secondLufs)) return 0
  return Math.max(-MOST_DB, Math.min(MOST_DB, firstLufs - secondLufs))
}
