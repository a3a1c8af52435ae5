/** The shared playback's messages, bounded: whatever numbers come in, what goes out can be played. */
import { type Transport, parseSlotKey } from '@chartloft/shared-theory/board'
import { z } from 'zod'
import { BadFrame } from '../socket/frames.js'

/** 2,000 bars of eight quarters. */
const MOST_TICKS = 2000 * 8 * 5040
/** A start further off than this is nobody's count-in. */
const MOST_AHEAD_MS = 60_000
const SLOWEST = 0.25
const FASTEST = 2

const finite = z.number()
const Message = z.object({
  playing: z.boolean(),
  startsAt: finite,
  fromTick: finite,
  tempoScale: finite.optional(),
  loop: z.tuple([finite, finite]).optional(),
  planHash: z.string().max(64),
  slot: z.string().max(300).optional(),
  optionId: z.string().max(120).optional(),
})

/** `now` on the server's monotonic clock, the one `startsAt` is meant on. Throws BadFrame where the shape is wrong. */
export function boundTransport(json: unknown, now: number): Transport {
  const read = Message.safeParse(json)
  if (!read.success) throw new BadFrame('a transport message has the wrong shape')
  const { playing, startsAt, fromTick, tempoScale, loop, planHash, slot, optionId } = read.data
  const [from, to] = (loop ?? [0, 0]).map(ticks).sort((a, b) => a - b) as [number, number]
  return {
    playing,
    startsAt: clamp(startsAt, now, now + MOST_AHEAD_MS),
    fromTick: ticks(fromTick),
    tempoScale: clamp(tempoScale ?? 1, SLOWEST, FASTEST),
    ...(to > from ? { loop: [from, to] as const } : {}),
    planHash,
    ...(slot !== undefined && parseSlotKey(slot) ? { slot } : {}),
    ...(optionId === undefined ? {} : { optionId }),
  }
}

const clamp = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value))
const ticks = (value: number): number => Math.round(clamp(value, 0, MOST_TICKS))
