/** Ending in time, a full disk and room again, stores of earlier versions. */
import { afterAll, it } from 'vitest'
import * as Y from 'yjs'
import { fillAndFree } from '../../server/full-disk.js'
import { cleanUp, newBoard, personAt, startServer } from '../../server/harness.js'
import { draftOf } from '../../server/kills.js'
import { lostFrom, RELEASED } from '../../server/released.js'
import { figure } from '../figure.js'
import { pause } from './load.js'

const EDITORS = 30

afterAll(cleanUp)

it('[OP1] SIGTERM under load', async () => {
  const server = await startServer()
  const board = await newBoard(server)
  const saved = new Map<string, number>()
  const wires = await Promise.all(
    Array.from({ length: EDITORS }, async (_, index) => {
      const wire = (await personAt(server, board.links.member)).socket()
      await wire.hear((message) => message.type === 0 && message.step === 0)
      const doc = new Y.Doc()
      const sent: number[] = []
      doc.on('update', (update: Uint8Array) => {
        if (wire.socket.readyState === wire.socket.OPEN) wire.sendSync(2, update)
      })
      wire.socket.on('message', () => {
        const last = wire.heard.at(-1)
        if (last?.type === 17) saved.set(`e${index}`, sent[last.json.n - 1] ?? saved.get(`e${index}`) ?? -1)
      })
      const timer = setInterval(() => {
        if (wire.socket.readyState !== wire.socket.OPEN) return
        sent.push(sent.length)
        doc.getMap('cards').set(`e${index}`, sent.length - 1)
      }, 50)
      return { wire, timer }
    }),
  )
  await pause(2000)
  const began = performance.now()
  const code = await server.stop('SIGTERM')
  const took = performance.now() - began
  for (const { timer } of wires) clearInterval(timer)
  const codes = await Promise.all(wires.map(async ({ wire }) => (await wire.closed).code))
  figure({
    id: 'OP1',
    what: `from SIGTERM to the end, ${EDITORS} people editing`,
    value: code === 0 ? took : Infinity,
    unit: 'ms',
    target: { atMost: 10_000 },
    note: `exit code ${code}, ${codes.filter((one) => one === 1013).length} of ${EDITORS} sockets closed with 1013`,
  })
  const again = await startServer({ dataDir: server.dataDir })
  const cards = (await draftOf(await personAt(again, board.links.leader))).getMap('cards')
  const lost = [...saved].filter(([key, value]) => Number(cards.get(key) ?? -1) < value)
  await again.stop()
  figure({
    id: 'OP1',
    what: 'saved edits lost by ending',
    value: lost.length,
    unit: '',
    target: { exactly: 0 },
    note: `of the last ones of ${saved.size} people`,
  })
})

it('[OP1] a full disk', async () => {
  const { refused, saved, wrong, backAfterMs } = await fillAndFree()
  figure({
    id: 'OP1',
    what: 'a store that is full: edits lost that were called saved, answers other than disk',
    value: wrong.length + (refused > 0 ? 0 : 1),
    unit: '',
    target: { exactly: 0 },
    note: [`${saved} edits saved, ${refused} refused with the notice, the server killed afterwards`, ...wrong].join(
      '; ',
    ),
  })
  figure({
    id: 'OP1',
    what: 'from room on the disk to an edit called saved, without a restart',
    value: backAfterMs,
    unit: 'ms',
    target: { atMost: 10_000 },
    note: 'SQLite at its page limit; another board deleted',
  })
})

it('[UP1] stores of earlier versions', async () => {
  const found = []
  for (const version of RELEASED) found.push(await lostFrom(version))
  figure({
    id: 'UP1',
    what: 'fields of a board lost by opening a store of an earlier version, or by a board file',
    value: found.flatMap(({ lost }) => lost).length,
    unit: '',
    target: { exactly: 0 },
    note: `of ${found.reduce((sum, { fields }) => sum + fields, 0)}; versions ${RELEASED.join(', ')}; fields nobody knows yet among them`,
  })
})
