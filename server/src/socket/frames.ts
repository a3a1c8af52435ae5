/** Frames as bytes: encoding what we send, and decoding what comes in strictly, before any of it is trusted. */
import { MESSAGE, SYNC } from '@chartloft/shared-theory/board'

/** A frame that is not what the protocol says. The sender is closed with 4400. */
export class BadFrame extends Error {
  override readonly name = 'BadFrame'
}

export type Frame =
  | { readonly type: 'step1'; readonly stateVector: Uint8Array }
  | { readonly type: 'step2' | 'update'; readonly update: Uint8Array }
  | { readonly type: 'awareness'; readonly update: Uint8Array }
  | { readonly type: 'queryAwareness' }
  | { readonly type: 'clock' | 'transport'; readonly json: unknown }

const JSON_BYTES = 16 * 1024

/** Reads one frame to its last byte. Throws BadFrame for anything else: unknown types, over-long numbers, missing or spare bytes, text that is no JSON. */
export function decodeFrame(bytes: Uint8Array): Frame {
  const reader = new StrictReader(bytes)
  const frame = readFrame(reader)
  reader.end()
  return frame
}

function readFrame(reader: StrictReader): Frame {
  const type = reader.varUint()
  switch (type) {
    case MESSAGE.sync: {
      const step = reader.varUint()
      const payload = reader.block()
      if (step === SYNC.step1) return { type: 'step1', stateVector: payload }
      if (step === SYNC.step2) return { type: 'step2', update: payload }
      if (step === SYNC.update) return { type: 'update', update: payload }
      throw new BadFrame(`no sync step ${step}`)
    }
    case MESSAGE.awareness:
      return { type: 'awareness', update: reader.block() }
    case MESSAGE.queryAwareness:
      return { type: 'queryAwareness' }
    case MESSAGE.clock:
      return { type: 'clock', json: reader.json() }
    case MESSAGE.transport:
      return { type: 'transport', json: reader.json() }
    default:
      throw new BadFrame(`no message type ${type} from a client`)
  }
}

/** Unsigned LEB128 numbers in their shortest form only, and blocks that lie wholly inside the frame. */
export class StrictReader {
  private at = 0
  constructor(private readonly bytes: Uint8Array) {}

  varUint(): number {
    let value = 0
    let scale = 1
    for (let index = 0; index < 8; index++) {
      const byte = this.bytes[this.at++]
      if (byte === undefined) throw new BadFrame('a number is cut off')
      value += (byte & 0x7f) * scale
      if (value > Number.MAX_SAFE_INTEGER) throw new BadFrame('a number is too large')
      if (byte < 0x80) {
        if (byte === 0 && index > 0) throw new BadFrame('a number is longer than it needs to be')
        return value
      }
      scale *= 128
    }
    throw new BadFrame('a number is too long')
  }

  block(): Uint8Array {
    const length = this.varUint()
    if (length > this.bytes.length - this.at) throw new BadFrame('a block is cut off')
    this.at += length
    return this.bytes.subarray(this.at - length, this.at)
  }

  text(): string {
    try {
      return new TextDecoder('utf-8', { fatal: true }).decode(this.block())
    } catch (error) {
      throw error instanceof BadFrame ? error : new BadFrame('a text is no UTF-8')
    }
  }

  json(): unknown {
    const text = this.text()
    if (text.length > JSON_BYTES) throw new BadFrame('a message is too large')
    try {
      return JSON.parse(text)
    } catch {
      throw new BadFrame('a message is no JSON')
    }
  }

  end(): void {
    if (this.at !== this.bytes.length) throw new BadFrame('bytes are left over')
  }
}

export function syncFrame(step: keyof typeof SYNC, payload: Uint8Array): Uint8Array {
  return framed([MESSAGE.sync, SYNC[step]], payload)
}

export function awarenessFrame(update: Uint8Array): Uint8Array {
  return framed([MESSAGE.awareness], update)
}

export function jsonFrame(
  type: 'clock' | 'saved' | 'transport' | 'ledger' | 'notice' | 'authors',
  payload: unknown,
): Uint8Array {
  return framed([MESSAGE[type]], Buffer.from(JSON.stringify(payload)))
}

/** Numbers below 128, then a block with its length before it; from the shared pool of small buffers, since frames are made all the time. */
function framed(head: readonly number[], block: Uint8Array): Buffer {
  const out = Buffer.allocUnsafe(head.length + varUintBytes(block.length) + block.length)
  let at = 0
  for (const value of head) out[at++] = value
  at = putVarUint(out, at, block.length)
  out.set(block, at)
  return out
}

/** How many bytes `putVarUint` writes. */
export function varUintBytes(value: number): number {
  let bytes = 1
  let rest = value
  for (; rest > SMALL; rest = Math.floor(rest / 128)) bytes += 1
  for (; rest > 0x7f; rest >>>= 7) bytes += 1
  return bytes
}

/** Up to here numbers are shifted; above, divided. */
const SMALL = 0x7fff_ffff

/** Writes an unsigned LEB128 number; where the next byte goes. */
export function putVarUint(out: Uint8Array, at: number, value: number): number {
  let rest = value
  let next = at
  for (; rest > SMALL; rest = Math.floor(rest / 128)) out[next++] = 0x80 | (rest % 128)
  for (; rest > 0x7f; rest >>>= 7) out[next++] = 0x80 | (rest & 0x7f)
  out[next] = rest
  return next + 1
}

const FINAL_BINARY = 0x82

/** A ping without a payload, as it goes over the wire (RFC 6455 5.5.2). */
export const PING = Buffer.of(0x89, 0)

/** A message as it goes over the wire, header and all (RFC 6455 5.2: one unmasked binary frame): made once, written to many sockets. */
export function wired(message: Uint8Array): Buffer {
  const { out, at } = roomFor(message.length)
  out.set(message, at)
  return out
}

/** What is said with every edit, header and all at once: `wired(syncFrame('update', update))`. */
export function wiredUpdate(update: Uint8Array): Buffer {
  const { out, at } = roomFor(2 + varUintBytes(update.length) + update.length)
  out[at] = MESSAGE.sync
  out[at + 1] = SYNC.update
  out.set(update, putVarUint(out, at + 2, update.length))
  return out
}

/** And with every edit that is on disk: `wired(jsonFrame('saved', { sv, n }))`. */
export function wiredSaved(stateVector: Buffer, n: number): Buffer {
  const text = `{"sv":"${stateVector.toString('base64')}","n":${n}}`
  const { out, at } = roomFor(1 + varUintBytes(text.length) + text.length)
  out[at] = MESSAGE.saved
  out.write(text, putVarUint(out, at + 1, text.length), 'latin1')
  return out
}

/** A frame of a payload so long, and where that begins. */
function roomFor(length: number): { readonly out: Buffer; readonly at: number } {
  const at = length < 126 ? 2 : length < 65_536 ? 4 : 10
  const out = Buffer.allocUnsafe(at + length)
  out[0] = FINAL_BINARY
  if (at === 2) out[1] = length
  else if (at === 4) {
    out[1] = 126
    out.writeUInt16BE(length, 2)
  } else {
    out[1] = 127
    out.writeBigUInt64BE(BigInt(length), 2)
  }
  return { out, at }
}
