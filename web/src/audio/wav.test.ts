import { describe, expect, it } from 'vitest'
import { wavFile } from './wav.js'

describe('[AU11] a WAV file', () => {
  // Source: Multimedia Programming Interface and Data Specifications 1.0: offsets of the canonical PCM header.
  it('says what it holds and holds it', () => {
    const left = Float32Array.from([0, 0.5, -0.5, 1, -1.5])
    const bytes = wavFile([left, left.map((sample) => -sample)], 44_100)
    const view = new DataView(bytes.buffer)
    const text = (at: number) => String.fromCharCode(...bytes.slice(at, at + 4))
    expect([text(0), text(8), text(12), text(36)]).toEqual(['RIFF', 'WAVE', 'fmt ', 'data'])
    expect([view.getUint32(4, true), view.getUint32(40, true)]).toEqual([bytes.length - 8, 20])
    expect([view.getUint16(22, true), view.getUint32(24, true), view.getUint16(34, true)]).toEqual([2, 44_100, 16])
    expect(view.getInt16(44, true)).toBe(0)
    expect(Math.abs(view.getInt16(48, true) - 16_384)).toBeLessThanOrEqual(2)
    expect(view.getInt16(60, true)).toBe(-32_768)
    expect(wavFile([left], 44_100)).toEqual(wavFile([left], 44_100))
  })
})
