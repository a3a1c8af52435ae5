/** Entries of a stream as text: who says it, the how-manieth of theirs it is, and what is said. */
import type { Message } from './relay.js'

export interface Entry {
  /** Empty for a word from outside the room. */
  readonly speaker: string
  readonly count: number
  readonly messages: readonly Message[]
}

const asText = (message: Message): object =>
  message.kind === 'update' ? { ...message, bytes: Buffer.from(message.bytes).toString('base64') } : message

export function entryFields({ speaker, count, messages }: Entry): string[] {
  const kinds = [...new Set(messages.map(({ kind }) => kind))].join(' ')
  return ['s', speaker, 'n', String(count), 'k', kinds, 'm', JSON.stringify(messages.map(asText))]
}

const NO_BYTES = new Uint8Array(0)

/** Undefined where it is no entry of ours: another version may write what this one does not know. Of one's `own` edits the bytes are known already. */
export function entryOf(fields: readonly string[], own: string): Entry | undefined {
  const named = new Map<string, string>()
  for (let at = 0; at + 1 < fields.length; at += 2) named.set(fields[at] as string, fields[at + 1] as string)
  if (named.get('s') === own && named.get('k') === 'update')
    return { speaker: own, count: Number(named.get('n')), messages: [{ kind: 'update', bytes: NO_BYTES }] }
  try {
    const messages = JSON.parse(named.get('m') ?? '') as readonly (Message & { bytes?: string })[]
    return {
      speaker: named.get('s') ?? '',
      count: Number(named.get('n')),
      messages: messages.map((message) =>
        message.kind === 'update'
          ? { kind: 'update', bytes: new Uint8Array(Buffer.from(String(message.bytes), 'base64')) }
          : message,
      ),
    }
  } catch {
    return undefined
  }
}

/** Ids of entries are `milliseconds-number`; negative where `a` came before `b`. */
export function compareIds(a: string, b: string): number {
  const [aMs = 0, aNumber = 0] = a.split('-').map(Number)
  const [bMs = 0, bNumber = 0] = b.split('-').map(Number)
  return aMs - bMs || aNumber - bNumber
}
