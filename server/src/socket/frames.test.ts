import * as encoding from 'lib0/encoding'
import { describe, expect, it } from 'vitest'
import { writeSyncStep1, writeUpdate } from 'y-protocols/sync'
import * as Y from 'yjs'
import { BadFrame, StrictReader, awarenessFrame, decodeFrame, jsonFrame, syncFrame } from './frames.js'

describe('[AB1] frames', () => {
  it('numbers are read as lib0 writes them, and only so', () => {
    for (const value of [0, 1, 127, 128, 16_383, 16_384, 2 ** 32, Number.MAX_SAFE_INTEGER]) {
      const encoder = encoding.createEncoder()
      encoding.writeVarUint(encoder, value)
      const reader = new StrictReader(encoding.toUint8Array(encoder))
      expect(reader.varUint()).toBe(value)
      reader.end()
    }
    for (const bytes of [
      [0x80, 0],
      [0xff, 0x00],
      [0x80],
      [255, 255, 255, 255, 255, 255, 255, 127],
      [255, 255, 255, 255, 255, 255, 255, 255, 1],
    ]) {
      expect(() => new StrictReader(Uint8Array.from(bytes)).varUint(), bytes.join(' ')).toThrow(BadFrame)
    }
  })
  it('what the protocol library writes is understood, and our frames are byte for byte what it writes', () => {
    for (const length of [3, 127, 128, 20_000]) {
      const payload = Uint8Array.from({ length }, (_, index) => index % 251)
      const encoded = (write: (encoder: encoding.Encoder) => void): Buffer => {
        const encoder = encoding.createEncoder()
        write(encoder)
        return Buffer.from(encoding.toUint8Array(encoder))
      }
      const update = encoded((encoder) => {
        encoding.writeVarUint(encoder, 0)
        writeUpdate(encoder, payload)
      })
      expect(decodeFrame(update)).toEqual({ type: 'update', update: Buffer.from(payload) })
      expect(syncFrame('update', payload)).toEqual(update)
      const awareness = encoded((encoder) => {
        encoding.writeVarUint(encoder, 1)
        encoding.writeVarUint8Array(encoder, payload)
      })
      expect(decodeFrame(awareness)).toEqual({ type: 'awareness', update: Buffer.from(payload) })
      expect(awarenessFrame(payload)).toEqual(awareness)
      const text = { t0: 1, name: 'é'.repeat(length) }
      expect(jsonFrame('clock', text)).toEqual(
        encoded((encoder) => {
          encoding.writeVarUint(encoder, 16)
          encoding.writeVarString(encoder, JSON.stringify(text))
        }),
      )
    }
    const step1 = encoding.createEncoder()
    encoding.writeVarUint(step1, 0)
    const doc = new Y.Doc()
    writeSyncStep1(step1, doc)
    expect(decodeFrame(encoding.toUint8Array(step1))).toEqual({ type: 'step1', stateVector: Y.encodeStateVector(doc) })
    expect(decodeFrame(jsonFrame('clock', { t0: 1 }))).toEqual({ type: 'clock', json: { t0: 1 } })
    expect(decodeFrame(Uint8Array.of(3))).toEqual({ type: 'queryAwareness' })
  })
  it('every cut of a good frame is refused, and so is every spare byte', () => {
    for (const frame of [
      syncFrame('step2', Uint8Array.of(5, 6)),
      jsonFrame('clock', { t0: 1 }),
      awarenessFrame(Uint8Array.of(1)),
    ]) {
      for (let length = 0; length < frame.length; length++)
        expect(() => decodeFrame(frame.subarray(0, length))).toThrow(BadFrame)
      expect(() => decodeFrame(Uint8Array.of(...frame, 0))).toThrow(BadFrame)
    }
  })
  it('seeded noise is refused or read, never anything else', () => {
    let state = 12_345
    for (let round = 0; round < 3000; round++) {
      const bytes = Uint8Array.from(
        { length: 1 + (round % 40) },
        () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) >>> 24,
      )
      try {
        expect(decodeFrame(bytes).type).toBeTruthy()
      } catch (error) {
        expect(error).toBeInstanceOf(BadFrame)
      }
    }
  })
})
