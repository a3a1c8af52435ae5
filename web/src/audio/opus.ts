/** Opus, where the browser encodes it: WebCodecs, faster than it plays. */
import { oggOpusFile, OPUS_RATE } from './ogg.js'

const PACKET_FRAMES = 960
const CHANNELS = 2
const CONFIG: AudioEncoderConfig = {
  codec: 'opus',
  sampleRate: OPUS_RATE,
  numberOfChannels: CHANNELS,
  bitrate: 160_000,
}
/** What libopus leaves out at the beginning, where the encoder does not say. Source: RFC 7845, section 4.2, from memory of its usual value. */
const USUAL_PRE_SKIP = 312
/** Frames handed over at once, and how many may wait: the encoder would take the whole piece into memory otherwise. */
const CHUNK_FRAMES = PACKET_FRAMES * 25
const MOST_WAITING = 8

export async function canEncodeOpus(): Promise<boolean> {
  if (globalThis.AudioEncoder === undefined) return false
  try {
    return (await AudioEncoder.isConfigSupported(CONFIG)).supported === true
  } catch {
    // reason: a browser that knows the interface but not the codec may throw
    return false
  }
}

/** The sound, at 48,000 frames a second, as an Ogg file. */
export async function opusFile(
  channels: readonly Float32Array[],
  signal: AbortSignal | undefined,
): Promise<Uint8Array<ArrayBuffer>> {
  const frames = channels[0]?.length ?? 0
  const packets: Uint8Array[] = []
  let preSkip = USUAL_PRE_SKIP
  let failed: Error | undefined
  const encoder = new AudioEncoder({
    output(chunk, metadata) {
      const packet = new Uint8Array(chunk.byteLength)
      chunk.copyTo(packet)
      packets.push(packet)
      preSkip = preSkipOf(metadata?.decoderConfig?.description) ?? preSkip
    },
    error: (error) => (failed = error),
  })
  try {
    encoder.configure(CONFIG)
    // A packet more than there is sound: what the decoder leaves out at the beginning is missing at the end otherwise.
    for (let from = 0; from < frames + PACKET_FRAMES; from += CHUNK_FRAMES) {
      signal?.throwIfAborted()
      encoder.encode(chunkOf(channels, from, Math.min(CHUNK_FRAMES, frames + PACKET_FRAMES - from)))
      while (encoder.encodeQueueSize > MOST_WAITING && failed === undefined)
        await new Promise((resolve) => setTimeout(resolve, 2))
      if (failed) throw failed
    }
    await encoder.flush()
    if (failed) throw failed
  } finally {
    if (encoder.state !== 'closed') encoder.close()
  }
  return oggOpusFile({ packets, packetFrames: PACKET_FRAMES, preSkip, frames, channels: CHANNELS })
}

function chunkOf(channels: readonly Float32Array[], from: number, count: number): AudioData {
  const data = new Float32Array(count * CHANNELS)
  for (let channel = 0; channel < CHANNELS; channel++)
    data.set((channels[channel] ?? new Float32Array()).subarray(from, from + count), channel * count)
  return new AudioData({
    format: 'f32-planar',
    sampleRate: OPUS_RATE,
    numberOfFrames: count,
    numberOfChannels: CHANNELS,
    timestamp: Math.round((from / OPUS_RATE) * 1e6),
    data,
  })
}

/** The encoder's own head says it: bytes 10 and 11. */
function preSkipOf(description: AllowSharedBufferSource | undefined): number | undefined {
  if (!description) return undefined
  const bytes =
    description instanceof ArrayBuffer || description instanceof SharedArrayBuffer
      ? new Uint8Array(description)
      : new Uint8Array(description.buffer, description.byteOffset, description.byteLength)
  return bytes.length >= 12 ? (bytes[10] as number) + 256 * (bytes[11] as number) : undefined
}
