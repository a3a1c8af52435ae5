/** Nothing leaves louder than the ceiling: live by a compressor and a bent line behind it, in a bounce by a limiter that looks ahead. */
import { AUDIO } from './limits.js'

const fromDb = (db: number): number => 10 ** (db / 20)
const CEILING = fromDb(AUDIO.ceilingDb)
/** Up to here nothing is bent. */
const KNEE = fromDb(AUDIO.ceilingDb - 3)
/** Input the bent line still tells apart, as a multiple of full scale. */
const WIDEST = 8

/** Where the compressor begins, in decibels; its own make-up gain is taken back. */
const THRESHOLD_DB = -4
const RATIO = 20

/** Chain of nodes that holds the ceiling; `input` and `output` are its ends. */
export function liveLimiter(context: BaseAudioContext): { readonly input: AudioNode; readonly output: AudioNode } {
  const compressor = context.createDynamicsCompressor()
  compressor.threshold.value = THRESHOLD_DB
  compressor.knee.value = 0
  compressor.ratio.value = RATIO
  compressor.attack.value = 0.001
  compressor.release.value = 0.12
  const before = context.createGain()
  before.gain.value = 1 / (makeUp() * WIDEST)
  const shaper = context.createWaveShaper()
  shaper.curve = ceilingCurve()
  compressor.connect(before).connect(shaper)
  return { input: compressor, output: shaper }
}

/** Source: Web Audio API, DynamicsCompressorNode: make-up gain is the 0.6th power of what full scale is turned down by. */
function makeUp(): number {
  const fullScaleDb = THRESHOLD_DB - THRESHOLD_DB / RATIO
  return fromDb(-fullScaleDb * 0.6)
}

/** Straight up to the knee, then bent so that it never reaches the ceiling. */
function ceilingCurve(): Float32Array<ArrayBuffer> {
  const points = 8193
  const curve = new Float32Array(points)
  for (let index = 0; index < points; index++) {
    const input = ((index / (points - 1)) * 2 - 1) * WIDEST
    curve[index] = Math.sign(input) * bent(Math.abs(input))
  }
  return curve
}

function bent(level: number): number {
  if (level <= KNEE) return level
  const room = CEILING - KNEE
  return KNEE + room * Math.tanh((level - KNEE) / room)
}

const LOOK_AHEAD_SECONDS = 0.005
const RECOVER_SECONDS = 0.15

/** Turns down, in place, what would pass the ceiling: already a little before each peak, and slowly up again after it. */
export function limit(channels: readonly Float32Array[], rate: number): void {
  const length = channels[0]?.length ?? 0
  const ahead = Math.max(1, Math.round(LOOK_AHEAD_SECONDS * rate))
  const wanted = new Float32Array(length).fill(1)
  let isNeeded = false
  for (let index = 0; index < length; index++) {
    let peak = 0
    for (const channel of channels) peak = Math.max(peak, Math.abs(channel[index] as number))
    if (peak <= CEILING) continue
    wanted[index] = CEILING / peak
    isNeeded = true
  }
  if (!isNeeded) return
  // Backwards: a line down to each peak. Forwards: never up faster than it recovers.
  let [level, slope] = [1, 0]
  for (let index = length - 1; index >= 0; index--) {
    level = Math.min(1, level + slope)
    if ((wanted[index] as number) < level) {
      level = wanted[index] as number
      slope = Math.max(level < 1 ? slope : 0, (1 - level) / ahead)
    }
    wanted[index] = level
  }
  const recover = 1 - Math.exp(-1 / (RECOVER_SECONDS * rate))
  let gain = 1
  for (let index = 0; index < length; index++) {
    const up = gain + (1 - gain) * recover
    gain = Math.min(up, wanted[index] as number)
    if (gain >= 1) continue
    for (const channel of channels) channel[index] = (channel[index] as number) * gain
  }
}
