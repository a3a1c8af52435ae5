import type { ZoneEnvelope } from '../src/audio/zone-table.js'
/** Seconds of near silence before the sound. */
export declare function leadOf(audio: Float32Array, rate: number): number
/** The sample as it sounds when held: its loop repeated up to so many seconds. */
export declare function heldAudio(
  audio: Float32Array,
  rate: number,
  loop: readonly [number, number] | undefined,
  fromSeconds: number,
  forSeconds: number,
): Float32Array
/** Fundamental in hertz near an expected one: the best lag of the normalised autocorrelation, over many periods for precision. */
export declare function fundamentalNear(audio: Float32Array, rate: number, expected: number): number | undefined
/** A second-order low-pass with the response the browser's filter has at −3 dB resonance. */
export declare function lowPassed(audio: Float32Array, rate: number, hertz: number): Float32Array
/** How loud a note is that is held so long, in LUFS; `isStroke` asks for its loudest 400 ms. */
export declare function noteLoudness(
  audio: Float32Array,
  rate: number,
  envelope: ZoneEnvelope,
  filterHertz: number | undefined,
  isStroke: boolean,
): number
//# sourceMappingURL=measure.d.ts.map
