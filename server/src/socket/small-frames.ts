/** Small whole messages, which nearly all are, are read where they come in; the library's own reader, a stream with a state, takes everything else. */
import type { WebSocket } from 'ws'

const FINAL_BINARY = 0x82
const MASKED = 0x80
const MASK_BYTES = 4
/** A length that says: two bytes follow with the length (RFC 6455 5.2). */
const TWO_BYTES = 126

/** What is used of the library's reader. Where a version of it has other fields, every message goes to it as before. */
interface Reader {
  write: (chunk: Buffer, ...rest: unknown[]) => boolean
  /** 0: between two frames. */
  readonly _state?: number
  readonly _bufferedBytes?: number
  /** Opcode of a message that has begun and goes on in further frames, else 0. */
  readonly _fragmented?: number
}

/** Calls `take` with each message that came as one binary frame in one piece; the socket's 'message' event tells the others. */
export function takeSmallFrames(socket: WebSocket, take: (message: Buffer) => void): void {
  const reader = (socket as unknown as { readonly _receiver?: Reader })._receiver
  if (!reader) return
  const write = reader.write.bind(reader)
  reader.write = (chunk, ...rest) => {
    const isBetween = reader._state === 0 && reader._bufferedBytes === 0 && reader._fragmented === 0
    const message = isBetween ? wholeMessage(chunk) : undefined
    if (message === undefined) return write(chunk, ...rest)
    take(message)
    return true
  }
}

/** The payload of a chunk that is exactly one final, masked, binary frame of less than 64 KiB, unmasked in its place. */
export function wholeMessage(chunk: Buffer): Buffer | undefined {
  const second = chunk[1] ?? 0
  if (chunk[0] !== FINAL_BINARY || second < MASKED) return undefined
  const short = second - MASKED
  if (short > TWO_BYTES) return undefined
  const mask = short === TWO_BYTES ? 4 : 2
  const from = mask + MASK_BYTES
  if (chunk.length < from) return undefined
  const length = short === TWO_BYTES ? chunk.readUInt16BE(2) : short
  if (chunk.length !== from + length) return undefined
  for (let at = 0; at < length; at++)
    chunk[from + at] = (chunk[from + at] as number) ^ (chunk[mask + (at & 3)] as number)
  return chunk.subarray(from)
}
