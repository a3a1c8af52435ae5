/** The drum kit by synthesis: noise, a tone, or both, per General MIDI 1 percussion key. */
import { type NoteToPlay, type PlayNote, type Voice, levelOf } from './voice.js'

interface Stroke {
  /** Noise through a band, in hertz, dying in seconds. */
  readonly noise?: {
    readonly type: BiquadFilterType
    readonly hertz: number
    readonly q: number
    readonly seconds: number
    readonly gain: number
  }
  /** A falling tone. */
  readonly tone?: {
    readonly fromHertz: number
    readonly toHertz: number
    readonly seconds: number
    readonly gain: number
  }
  /** Keys of the same number cut each other off. */
  readonly choke?: number
}

const noise = (type: BiquadFilterType, hertz: number, q: number, seconds: number, gain: number) => ({
  type,
  hertz,
  q,
  seconds,
  gain,
})
const tone = (fromHertz: number, toHertz: number, seconds: number, gain: number) => ({
  fromHertz,
  toHertz,
  seconds,
  gain,
})

/** Keys: General MIDI 1 percussion map (MIDI Manufacturers Association). Sounds: our own, by ear and from memory. */
const STROKES: { readonly [key: number]: Stroke } = {
  36: { tone: tone(115, 46, 0.22, 0.95), noise: noise('lowpass', 500, 0.7, 0.02, 0.2) },
  37: { noise: noise('bandpass', 1900, 4, 0.035, 0.9), tone: tone(820, 700, 0.03, 0.25) },
  38: { noise: noise('bandpass', 2200, 0.6, 0.13, 0.6), tone: tone(215, 175, 0.09, 0.35) },
  39: { noise: noise('bandpass', 1300, 1.2, 0.1, 0.7) },
  40: { noise: noise('bandpass', 3200, 0.5, 0.2, 0.3) },
  41: { tone: tone(105, 78, 0.34, 0.7), noise: noise('lowpass', 900, 0.7, 0.03, 0.15) },
  42: { noise: noise('highpass', 7500, 0.8, 0.045, 0.34), choke: 1 },
  44: { noise: noise('highpass', 6200, 0.8, 0.05, 0.3), choke: 1 },
  45: { tone: tone(140, 105, 0.28, 0.65), noise: noise('lowpass', 1100, 0.7, 0.03, 0.15) },
  46: { noise: noise('highpass', 6800, 0.7, 0.34, 0.32), choke: 1 },
  47: { tone: tone(175, 135, 0.25, 0.6), noise: noise('lowpass', 1300, 0.7, 0.03, 0.15) },
  49: { noise: noise('highpass', 4200, 0.5, 1.1, 0.4) },
  50: { tone: tone(215, 168, 0.22, 0.6), noise: noise('lowpass', 1500, 0.7, 0.03, 0.15) },
  51: { noise: noise('highpass', 6000, 1.2, 0.34, 0.2), tone: tone(4200, 4180, 0.12, 0.035) },
  53: { noise: noise('highpass', 6500, 1, 0.25, 0.12), tone: tone(3150, 3140, 0.3, 0.12) },
  54: { noise: noise('highpass', 8200, 1.5, 0.09, 0.3) },
  56: { tone: tone(560, 552, 0.16, 0.3), noise: noise('bandpass', 840, 6, 0.12, 0.3) },
  62: { tone: tone(330, 310, 0.07, 0.45), noise: noise('bandpass', 1500, 2, 0.03, 0.35) },
  63: { tone: tone(345, 325, 0.2, 0.5) },
  64: { tone: tone(225, 210, 0.24, 0.55) },
  65: { tone: tone(480, 440, 0.18, 0.4), noise: noise('highpass', 3000, 0.7, 0.05, 0.15) },
  66: { tone: tone(340, 310, 0.22, 0.4), noise: noise('highpass', 3000, 0.7, 0.05, 0.15) },
  67: { tone: tone(1180, 1170, 0.2, 0.22) },
  68: { tone: tone(790, 782, 0.22, 0.22) },
  69: { noise: noise('highpass', 7000, 1, 0.07, 0.28) },
  70: { noise: noise('highpass', 8500, 1.2, 0.06, 0.26) },
  73: { noise: noise('bandpass', 3600, 3, 0.07, 0.35), choke: 2 },
  74: { noise: noise('bandpass', 3400, 3, 0.24, 0.35), choke: 2 },
  75: { tone: tone(2450, 2430, 0.06, 0.35) },
  80: { tone: tone(5100, 5095, 0.05, 0.12), choke: 3 },
  81: { tone: tone(5100, 5095, 0.6, 0.12), choke: 3 },
}
const OTHER: Stroke = { noise: noise('bandpass', 2000, 1, 0.06, 0.4) }

/** The kit against the other made sounds, found from parts rendered alone. */
const KIT_GAIN = 1.6

const noises = new WeakMap<BaseAudioContext, AudioBuffer>()

/** One second of the same noise every time: a seeded generator, so that two renderings are equal. */
function noiseOf(context: BaseAudioContext): AudioBuffer {
  let buffer = noises.get(context)
  if (!buffer) {
    buffer = context.createBuffer(1, context.sampleRate, context.sampleRate)
    const samples = buffer.getChannelData(0)
    let state = 22222
    for (let index = 0; index < samples.length; index++) {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0
      samples[index] = state / 2147483648 - 1
    }
    noises.set(context, buffer)
  }
  return buffer
}

/** A kit of its own per part: open and closed hats cut each other. */
export function drumPlayer(): PlayNote {
  const sounding = new Map<number, Voice>()
  return (context, out, note) => {
    const stroke = STROKES[note.midi] ?? OTHER
    if (stroke.choke !== undefined) sounding.get(stroke.choke)?.stop(note.startsAt)
    const voice = playStroke(context, out, note, stroke)
    if (stroke.choke !== undefined) sounding.set(stroke.choke, voice)
    return voice
  }
}

function playStroke(context: BaseAudioContext, out: AudioNode, note: NoteToPlay, stroke: Stroke): Voice {
  const start = note.startsAt
  const loud = levelOf(note.velocity) * KIT_GAIN
  const bus = context.createGain()
  bus.connect(out)
  const sources: AudioScheduledSourceNode[] = []
  let endsAt = start + 0.02
  const faded = (seconds: number, gain: number): GainNode => {
    const envelope = context.createGain()
    envelope.gain.setValueAtTime(gain * loud, start)
    envelope.gain.setTargetAtTime(0, start + 0.002, seconds / 3)
    envelope.connect(bus)
    endsAt = Math.max(endsAt, start + seconds * 2)
    return envelope
  }
  if (stroke.noise) {
    const source = context.createBufferSource()
    source.buffer = noiseOf(context)
    source.loop = true
    const filter = context.createBiquadFilter()
    filter.type = stroke.noise.type
    filter.frequency.value = stroke.noise.hertz
    filter.Q.value = stroke.noise.q
    source.connect(filter).connect(faded(stroke.noise.seconds, stroke.noise.gain))
    sources.push(source)
  }
  if (stroke.tone) {
    const source = context.createOscillator()
    source.frequency.setValueAtTime(stroke.tone.fromHertz, start)
    source.frequency.exponentialRampToValueAtTime(stroke.tone.toHertz, start + stroke.tone.seconds * 0.5)
    source.connect(faded(stroke.tone.seconds, stroke.tone.gain))
    sources.push(source)
  }
  for (const source of sources) {
    source.start(start)
    source.stop(endsAt)
  }
  const last = sources[sources.length - 1]
  if (last) last.onended = () => bus.disconnect()
  return {
    endsAt,
    stop(at) {
      bus.gain.cancelScheduledValues(at)
      bus.gain.setTargetAtTime(0, at, 0.005)
    },
  }
}
