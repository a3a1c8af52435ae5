/** A store that may grow no further, and then has room again while the server runs: what was refused, what was called saved, what came back. */
import * as Y from 'yjs'
import { newBoard, newId, type Person, personAt, type RunningServer, startServer, type Wire } from './harness.js'
import { draftOf } from './kills.js'

const CARD_BYTES = 100_000
const MOST_CARDS = 60

export interface FullDisk {
  /** Edits refused with the notice `disk`. */
  readonly refused: number
  readonly saved: number
  /** Edits called saved that are gone, and commands answered otherwise than with 503 `disk`, in words. */
  readonly wrong: readonly string[]
  /** From the moment there was room to an edit called saved again, on the same server. */
  readonly backAfterMs: number
}

/** 'saved', or the code of the notice that refused it. */
async function write(person: Person, key: string, size: number): Promise<string> {
  const wire: Wire = person.socket()
  await wire.hear((message) => message.type === 0 && message.step === 0)
  const doc = new Y.Doc()
  doc.getMap('cards').set(key, 'x'.repeat(size))
  wire.sendSync(2, Y.encodeStateAsUpdate(doc))
  const first = await wire.hear(
    (message) => (message.type === 17 && message.json.n === 1) || (message.type === 20 && message.json.code === 'disk'),
  )
  wire.socket.close()
  await wire.closed
  return first.type === 17 ? 'saved' : first.json.code
}

/** Fills a store of one megabyte with a second board, deletes that, and looks at the first. */
export async function fillAndFree(): Promise<FullDisk> {
  const server: RunningServer = await startServer({ env: { MAX_DATA_MB: '1', MAX_SOCKETS_PER_ADDRESS: '1000' } })
  const [board, ballast] = [await newBoard(server, 'Kept'), await newBoard(server, 'Ballast')]
  const [member, leader] = [await personAt(server, board.links.member), await personAt(server, board.links.leader)]
  const chief = await personAt(server, ballast.links.leader)
  const saved: string[] = []
  const wrong: string[] = []
  let refused = 0
  for (let count = 0; count < MOST_CARDS && refused < 3; count++) {
    await write(chief, `ballast-${count}`, CARD_BYTES)
    const key = `card-${count}`
    if ((await write(member, key, 1000)) === 'saved') saved.push(key)
    else refused++
  }
  for (let count = 0; count < 40; count++) {
    const { status, body } = await leader.command('nameVersion', { name: 'x'.repeat(80) }, newId())
    if (status === 200) continue
    if (status === 429) break
    if (status !== 503 || body.error.code !== 'disk') wrong.push(`a command: ${status} ${JSON.stringify(body)}`)
    break
  }
  const freed = await chief.call('DELETE', `/api/boards/${ballast.boardId}`, { title: 'Ballast' })
  if (freed.status !== 200) wrong.push(`the other board cannot be deleted: ${freed.status}`)
  const began = performance.now()
  let backAfterMs = Infinity
  while (performance.now() - began < 20_000) {
    if ((await write(member, 'card-after', 1000)) !== 'saved') continue
    backAfterMs = performance.now() - began
    break
  }
  const cards = (await draftOf(member)).getMap('cards')
  for (const key of saved) if (!cards.has(key)) wrong.push(`${key} was saved and is gone`)
  await server.stop('SIGKILL')
  const again = await startServer({ dataDir: server.dataDir })
  const after = (await draftOf(await personAt(again, board.links.leader))).getMap('cards')
  for (const key of [...saved, 'card-after'])
    if (!after.has(key)) wrong.push(`${key} was saved and is gone after a crash`)
  await again.stop()
  return { refused, saved: saved.length, wrong, backAfterMs }
}
