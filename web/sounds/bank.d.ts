import type { ZoneEnvelope } from '../src/audio/zone-table.js'
/** An ordinary SF3 file; the package names it .wasm so that web servers compress it. */
export declare const BANK_FILE: string
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
export declare function openBank(): Promise<Bank>
//# sourceMappingURL=bank.d.ts.map
