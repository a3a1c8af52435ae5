/** Pitched instruments by synthesis: a spectrum, an envelope, a filter and a little vibrato, each as a row of data. */
import type { Instrument } from '@chartloft/shared-theory'
import { type NoteToPlay, type PlayNote, type Voice, frequencyOf, levelOf } from './voice.js'

interface Timbre {
  /** Amplitudes of the harmonics, fundamental first. */
  readonly harmonics: readonly number[]
  readonly attackSeconds: number
  /** Time constant of the fall while held; absent for blown and bowed sounds, which stay. */
  readonly decaySeconds?: number
  readonly releaseSeconds: number
  /** Low-pass corner as a multiple of the fundamental, at full loudness. */
  readonly brightness: number
  /** Depth in cents, after a delay, as a player adds it to held notes. */
  readonly vibratoCents?: number
  readonly gain: number
}

const TIMBRES: { readonly [family in Instrument['family']]: Timbre } = {
  keys: {
    harmonics: [1, 0.55, 0.32, 0.2, 0.13, 0.09, 0.05, 0.03],
    attackSeconds: 0.004,
    decaySeconds: 1.1,
    releaseSeconds: 0.16,
    brightness: 9,
    gain: 0.31,
  },
  mallet: {
    harmonics: [1, 0.02, 0.02, 0.28, 0, 0, 0, 0, 0, 0.06],
    attackSeconds: 0.003,
    decaySeconds: 1.5,
    releaseSeconds: 0.5,
    brightness: 14,
    vibratoCents: 3,
    gain: 0.36,
  },
  guitar: {
    harmonics: [1, 0.7, 0.5, 0.28, 0.2, 0.12, 0.08],
    attackSeconds: 0.004,
    decaySeconds: 0.7,
    releaseSeconds: 0.09,
    brightness: 6,
    gain: 0.32,
  },
  bass: {
    harmonics: [1, 0.6, 0.26, 0.12, 0.06],
    attackSeconds: 0.008,
    decaySeconds: 0.9,
    releaseSeconds: 0.07,
    brightness: 6,
    gain: 0.43,
  },
  brass: {
    harmonics: [1, 0.9, 0.75, 0.55, 0.4, 0.28, 0.18, 0.1, 0.06],
    attackSeconds: 0.035,
    releaseSeconds: 0.07,
    brightness: 7,
    vibratoCents: 9,
    gain: 0.6,
  },
  reed: {
    harmonics: [1, 0.55, 0.62, 0.35, 0.3, 0.16, 0.12, 0.06],
    attackSeconds: 0.04,
    releaseSeconds: 0.08,
    brightness: 6,
    vibratoCents: 11,
    gain: 0.73,
  },
  flute: {
    harmonics: [1, 0.3, 0.1, 0.04],
    attackSeconds: 0.06,
    releaseSeconds: 0.09,
    brightness: 8,
    vibratoCents: 10,
    gain: 0.83,
  },
  string: {
    harmonics: [1, 0.6, 0.5, 0.36, 0.26, 0.2, 0.14, 0.1, 0.07, 0.05],
    attackSeconds: 0.055,
    releaseSeconds: 0.12,
    brightness: 7,
    vibratoCents: 13,
    gain: 0.55,
  },
  voice: {
    harmonics: [1, 0.42, 0.28, 0.12, 0.16, 0.06, 0.03],
    attackSeconds: 0.07,
    releaseSeconds: 0.12,
    brightness: 5,
    vibratoCents: 14,
    gain: 0.74,
  },
  drums: { harmonics: [1], attackSeconds: 0.002, decaySeconds: 0.1, releaseSeconds: 0.05, brightness: 4, gain: 0.3 },
}

/** Vibrato waits until a note is held. */
const VIBRATO_DELAY_SECONDS = 0.28
const VIBRATO_HERTZ = 5.2

const waves = new WeakMap<BaseAudioContext, Map<Timbre, PeriodicWave>>()

function waveOf(context: BaseAudioContext, timbre: Timbre): PeriodicWave {
  let known = waves.get(context)
  if (!known) waves.set(context, (known = new Map()))
  let wave = known.get(timbre)
  if (!wave) {
    const imaginary = new Float32Array([0, ...timbre.harmonics])
    wave = context.createPeriodicWave(new Float32Array(imaginary.length), imaginary)
    known.set(timbre, wave)
  }
  return wave
}

export function pitchedPlayer(family: Instrument['family']): PlayNote {
  const timbre = TIMBRES[family]
  return (context, out, note) => playPitched(context, out, note, timbre)
}

function playPitched(context: BaseAudioContext, out: AudioNode, note: NoteToPlay, timbre: Timbre): Voice {
  const hertz = frequencyOf(note.midi)
  const loud = levelOf(note.velocity)
  const start = note.startsAt
  const release = start + Math.max(note.durationSeconds, timbre.attackSeconds + 0.01)
  const endsAt = release + timbre.releaseSeconds * 4

  const oscillator = context.createOscillator()
  oscillator.setPeriodicWave(waveOf(context, timbre))
  oscillator.frequency.value = hertz
  const filter = context.createBiquadFilter()
  filter.type = 'lowpass'
  filter.Q.value = 0.5
  const corner = Math.min(16000, hertz * (1.2 + timbre.brightness * loud))
  filter.frequency.setValueAtTime(corner, start)
  const envelope = context.createGain()
  const peak = timbre.gain * loud
  // Silent from the beginning: a note stopped before it starts must not open at full level.
  envelope.gain.value = 0
  envelope.gain.setValueAtTime(0, start)
  envelope.gain.linearRampToValueAtTime(peak, start + timbre.attackSeconds)
  if (timbre.decaySeconds !== undefined) {
    // Low strings ring longer than high ones.
    const ring = timbre.decaySeconds * Math.min(2.2, Math.max(0.25, 220 / hertz + 0.3))
    envelope.gain.setTargetAtTime(peak * 0.04, start + timbre.attackSeconds, ring)
    filter.frequency.setTargetAtTime(Math.max(hertz * 1.5, corner * 0.35), start + timbre.attackSeconds, ring * 0.6)
  } else {
    envelope.gain.setTargetAtTime(peak * 0.82, start + timbre.attackSeconds, 0.18)
  }
  envelope.gain.setTargetAtTime(0, release, timbre.releaseSeconds)

  let vibrato: OscillatorNode | undefined
  if (timbre.vibratoCents !== undefined && note.durationSeconds > VIBRATO_DELAY_SECONDS * 1.5) {
    vibrato = context.createOscillator()
    vibrato.frequency.value = VIBRATO_HERTZ
    const depth = context.createGain()
    depth.gain.setValueAtTime(0, start)
    depth.gain.setValueAtTime(0, start + VIBRATO_DELAY_SECONDS)
    depth.gain.linearRampToValueAtTime(timbre.vibratoCents, start + VIBRATO_DELAY_SECONDS * 2)
    vibrato.connect(depth).connect(oscillator.detune)
    vibrato.start(start)
    vibrato.stop(endsAt)
  }
  oscillator.connect(filter).connect(envelope).connect(out)
  oscillator.start(start)
  oscillator.stop(endsAt)
  oscillator.onended = () => {
    envelope.disconnect()
    filter.disconnect()
  }
  return {
    endsAt,
    stop(at) {
      envelope.gain.cancelScheduledValues(at)
      envelope.gain.setTargetAtTime(0, at, 0.006)
      const silent = at + 0.04
      if (silent < endsAt) {
        oscillator.stop(silent)
        vibrato?.stop(silent)
      }
    },
  }
}
