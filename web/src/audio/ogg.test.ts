import { describe, expect, it } from 'vitest'
import { oggCrc, oggOpusFile } from './ogg.js'

describe('[AU32] an Ogg file of Opus packets', () => {
  it('has the checksum of its polynomial', () => {
    // Source: the check value of CRC-32/CKSUM (POSIX cksum), 765e7680, which is this one turned over at its end.
    expect(oggCrc(new TextEncoder().encode('123456789'))).toBe(~0x765e7680 >>> 0)
  })

  it('has pages that follow each other, whole packets, and the frames to be heard as its last place', () => {
    const packets = Array.from({ length: 300 }, (_, index) =>
      new Uint8Array(index === 7 ? 255 : 300 + index).fill(index),
    )
    const file = oggOpusFile({ packets, packetFrames: 960, preSkip: 312, frames: 287_000, channels: 2 })
    const view = new DataView(file.buffer)
    const found: number[][] = []
    let [at, number, open]: [number, number, number[]] = [0, 0, []]
    let lastGranule = 0n
    const flags: number[] = []
    while (at < file.length) {
      expect(new TextDecoder().decode(file.subarray(at, at + 4))).toBe('OggS')
      expect(view.getUint32(at + 18, true)).toBe(number++)
      flags.push(file[at + 5] as number)
      lastGranule = view.getBigInt64(at + 6, true)
      const segments = file[at + 26] as number
      const lacing = [...file.subarray(at + 27, at + 27 + segments)]
      const length = 27 + segments + lacing.reduce((sum, size) => sum + size, 0)
      const page = file.slice(at, at + length)
      page.fill(0, 22, 26)
      expect(oggCrc(page)).toBe(view.getUint32(at + 22, true))
      let body = at + 27 + segments
      for (const size of lacing) {
        open = [...open, ...file.subarray(body, body + size)]
        body += size
        if (size === 255) continue
        found.push(open)
        open = []
      }
      at += length
    }
    expect(found.slice(2).map(({ length }) => length)).toEqual(packets.map(({ length }) => length))
    expect(found.slice(2).every((packet, index) => packet.every((byte) => byte === index % 256))).toBe(true)
    expect(lastGranule).toBe(287_312n)
    expect([flags[0], flags.at(-1)]).toEqual([2, 4])
  })
})
