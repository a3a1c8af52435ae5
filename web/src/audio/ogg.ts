/** Opus packets in an Ogg file. Sources: RFC 3533 (Ogg pages), RFC 7845 (Opus in Ogg), RFC 6716 (48,000 frames a second). */

export const OPUS_RATE = 48_000
const SERIAL = 0x10f7
/** Segments of a page, at most; and of a page of sound here, so that one may seek. */
const MOST_SEGMENTS = 255
const HEADER_BYTES = 27

export interface OpusStream {
  readonly packets: readonly Uint8Array[]
  /** Frames each packet holds. */
  readonly packetFrames: number
  /** Frames the decoder leaves out at the beginning, and how many are to be heard after them. */
  readonly preSkip: number
  readonly frames: number
  readonly channels: number
}

export function oggOpusFile({ packets, packetFrames, preSkip, frames, channels }: OpusStream): Uint8Array<ArrayBuffer> {
  const pages: Uint8Array[] = [page([opusHead(channels, preSkip)], 0, 0, FIRST), page([opusTags()], 1, 0, 0)]
  let [group, segments, done]: [Uint8Array[], number, number] = [[], 0, 0]
  const close = (isLast: boolean): void => {
    const end = isLast ? preSkip + frames : done * packetFrames
    pages.push(page(group, pages.length, end, isLast ? LAST : 0))
    group = []
    segments = 0
  }
  for (const packet of packets) {
    const own = Math.floor(packet.length / 255) + 1
    if (segments + own > MOST_SEGMENTS) close(false)
    group.push(packet)
    segments += own
    done++
  }
  close(true)
  const file = new Uint8Array(pages.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const each of pages) {
    file.set(each, at)
    at += each.length
  }
  return file
}

const FIRST = 2
const LAST = 4

function page(packets: readonly Uint8Array[], number: number, granule: number, flags: number): Uint8Array {
  const lacing = packets.flatMap(({ length }) => [
    ...Array.from({ length: Math.floor(length / 255) }, () => 255),
    length % 255,
  ])
  const bytes = new Uint8Array(HEADER_BYTES + lacing.length + packets.reduce((sum, { length }) => sum + length, 0))
  const view = new DataView(bytes.buffer)
  bytes.set(ascii('OggS'), 0)
  bytes[5] = flags
  view.setBigInt64(6, BigInt(granule), true)
  view.setUint32(14, SERIAL, true)
  view.setUint32(18, number, true)
  bytes[26] = lacing.length
  bytes.set(lacing, HEADER_BYTES)
  let at = HEADER_BYTES + lacing.length
  for (const packet of packets) {
    bytes.set(packet, at)
    at += packet.length
  }
  view.setUint32(22, oggCrc(bytes), true)
  return bytes
}

function opusHead(channels: number, preSkip: number): Uint8Array {
  const head = new Uint8Array(19)
  const view = new DataView(head.buffer)
  head.set(ascii('OpusHead'), 0)
  head[8] = 1
  head[9] = channels
  view.setUint16(10, preSkip, true)
  view.setUint32(12, OPUS_RATE, true)
  return head
}

function opusTags(): Uint8Array {
  const vendor = ascii('Chartloft')
  const tags = new Uint8Array(8 + 4 + vendor.length + 4)
  tags.set(ascii('OpusTags'), 0)
  new DataView(tags.buffer).setUint32(8, vendor.length, true)
  tags.set(vendor, 12)
  return tags
}

const ascii = (text: string): Uint8Array => new TextEncoder().encode(text)

/** Polynomial 04c11db7, from 0, highest bit first, nothing turned round. */
export function oggCrc(bytes: Uint8Array): number {
  let crc = 0
  for (const byte of bytes) crc = (crc << 8) ^ (TABLE[((crc >>> 24) ^ byte) & 255] as number)
  return crc >>> 0
}

const TABLE = Int32Array.from({ length: 256 }, (_, index) => {
  let crc = index << 24
  for (let bit = 0; bit < 8; bit++) crc = crc < 0 ? (crc << 1) ^ 0x04c11db7 : crc << 1
  return crc
})
