/** A WAV file of 16 bits. Source: Multimedia Programming Interface and Data Specifications 1.0, RIFF WAVE. */
const HEAD_BYTES = 44

/** Interleaved PCM with triangular dither from a seeded generator: the same sound is the same file. */
export function wavFile(channels: readonly Float32Array[], rate: number): Uint8Array<ArrayBuffer> {
  const frames = channels[0]?.length ?? 0
  const dataBytes = frames * channels.length * 2
  const view = new DataView(new ArrayBuffer(HEAD_BYTES + dataBytes))
  const text = (at: number, word: string) => new Uint8Array(view.buffer).set(new TextEncoder().encode(word), at)
  text(0, 'RIFF')
  view.setUint32(4, HEAD_BYTES - 8 + dataBytes, true)
  text(8, 'WAVEfmt ')
  view.setUint32(16, 16, true)
  view.setUint16(20, 1, true)
  view.setUint16(22, channels.length, true)
  view.setUint32(24, rate, true)
  view.setUint32(28, rate * channels.length * 2, true)
  view.setUint16(32, channels.length * 2, true)
  view.setUint16(34, 16, true)
  text(36, 'data')
  view.setUint32(40, dataBytes, true)
  const samples = new Int16Array(view.buffer, HEAD_BYTES)
  let state = 1
  const half = () => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) / 4_294_967_296
  let at = 0
  for (let frame = 0; frame < frames; frame++) {
    for (const channel of channels) {
      const value = channel[frame] as number
      // Silence stays silence.
      const dither = value === 0 ? 0 : half() - half()
      samples[at++] = Math.max(-32_768, Math.min(32_767, Math.round(value * 32_767 + dither)))
    }
  }
  return new Uint8Array(view.buffer)
}
