/** One seeded evening of a band on a bad network, and what must be true at its end. */
import { vi } from 'vitest'
import { writerOf } from '@chartloft/shared-theory/board'
import * as Y from 'yjs'
import { drawFrom } from '../server/harness.js'
import { World } from './world.js'

export interface Evening {
  readonly seed: number
  readonly edits: number
  readonly crashes: number
  readonly promised: number
  /** Edits made up in somebody else's name that were taken, and shown as they should be. */
  readonly forged: number
  /** What is wrong, in words; empty where everything holds. */
  readonly wrong: readonly string[]
}

/** In every fourth band somebody makes edits up in the name of those whose devices are gone. */
const FORGER_IN = 4

const contentOf = (doc: Y.Doc): string =>
  JSON.stringify([
    Object.entries(doc.getMap('cards').toJSON()).sort(([a], [b]) => (a < b ? -1 : 1)),
    doc.getText('notes').toJSON(),
  ])

/** Runs on vitest's fake timers, which it turns on and off. */
export async function evening(seed: number): Promise<Evening> {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setImmediate', 'clearImmediate', 'performance'] })
  try {
    const draw = drawFrom(Math.imul(seed, 2654435761))
    for (let warm = 0; warm < 8; warm++) draw()
    const world = new World(
      { draw, delayMs: [2, 20, 80, 400][Math.floor(draw() * 4)] as number },
      2 + Math.floor(draw() * 4),
    )
    const promises: { there: readonly string[]; gone: readonly string[] }[] = []
    let edits = 0
    const hasForger = seed % FORGER_IN === 1
    for (let step = 0; step < 60; step++) {
      const client = world.clients[Math.floor(draw() * world.clients.length)]
      const act = draw()
      if (client && act < 0.62) {
        client.edit()
        edits++
      } else if (client && act < 0.72) world.disconnect(client)
      else if (client && act < 0.9) world.connect(client)
      else if (act < 0.94) world.crash()
      else if (act < 0.97) void world.compact()
      if (client && world.clients.length > 1 && (act < 0.94 ? act > 0.93 : act > 0.985)) {
        promises.push(client.promised())
        world.lose(client)
      }
      if (hasForger && act > 0.9) world.forge()
      if (draw() < 0.6) await vi.advanceTimersByTimeAsync(draw() * 120)
    }
    await world.settle()
    promises.push(...world.clients.map((client) => client.promised()))
    const wrong: string[] = []
    const all = [...world.clients.map(({ doc }) => doc), ...world.serverDocs()].map(contentOf)
    const names = [...world.clients.map(({ number }) => `client ${number}`), 'server', 'disk']
    const differing = names.filter((_, index) => all[index] !== all.at(-1))
    if (differing.length > 0)
      wrong.push(`${differing.join(', ')} and the disk differ: ${[...new Set(all)].join(' / ')}`)
    const cards = new Map(JSON.parse(all.at(-1) ?? '[[]]')[0] as [string, number][])
    for (const { there, gone } of promises) {
      for (const key of there) if (!cards.has(key)) wrong.push(`card ${key} was called saved and is gone`)
      for (const key of gone) if (cards.has(key)) wrong.push(`card ${key} was called deleted and is back`)
    }
    for (const code of world.refusals) if (code >= 4400) wrong.push(`an honest client was closed with ${code}`)
    for (const fault of world.faults) wrong.push(`the server met a fault: ${String(fault)}`)
    let forged = 0
    for (const { doc, authors, number } of world.clients) {
      const written = Y.decodeUpdate(Y.encodeStateAsUpdate(doc)).structs.filter((struct) => struct instanceof Y.Item)
      for (const [key, victim] of world.forged) {
        const item = written.find(({ parentSub }) => parentSub === key)
        if (!item) continue
        forged += 1
        if (writerOf(authors, item.id.client, item.id.clock)?.userId === `user-${victim}`)
          wrong.push(`client ${number} is shown an edit made up in the name of user-${victim} as theirs`)
      }
    }
    const promised = promises.reduce((sum, { there, gone }) => sum + there.length + gone.length, 0)
    return { seed, edits, crashes: world.crashes, promised, forged, wrong }
  } finally {
    vi.useRealTimers()
  }
}
