/** What an idle connection costs in memory, and whether it is given back. */
import { afterAll, it } from 'vitest'
import { cleanUp } from '../../server/harness.js'
import { figure } from '../figure.js'
import { openRooms, ourServer, pause, residentKb, type Subject, stockServer } from './load.js'

const CONNECTIONS = 2000
const PER_ROOM = 10

afterAll(cleanUp)

/** Each server so often, in turn: what the machine does meanwhile meets both. */
const TURNS = 2

interface Measured {
  readonly perConnectionKb: number
  /** Share of what the process had before they came that it still holds more of. */
  readonly kept: number
  /** The same of the main thread's heap, where the server tells it. */
  readonly heapKept?: number
}

async function measured(subject: Subject): Promise<Measured> {
  // One crowd comes and goes first: what a process needs once is not what a connection costs.
  await crowd(subject, 20)
  const before = residentKb(subject.pid)
  const heapBefore = await subject.heapBytes?.()
  const full = await crowd(subject, CONNECTIONS / PER_ROOM)
  const after = residentKb(subject.pid)
  const heapAfter = await subject.heapBytes?.()
  await subject.stop()
  return {
    perConnectionKb: (full - before) / CONNECTIONS,
    kept: (after - before) / before,
    ...(heapBefore && heapAfter ? { heapKept: (heapAfter - heapBefore) / heapBefore } : {}),
  }
}

/** Rooms fill and empty again; what the process had while they were full. */
async function crowd(subject: Subject, rooms: number): Promise<number> {
  const sockets = (await openRooms(subject, rooms, PER_ROOM)).flat()
  await pause(3000)
  const full = residentKb(subject.pid)
  for (const socket of sockets) socket.terminate()
  await pause(15_000)
  return full
}

const percent = (share: number): string => `${(share * 100).toFixed(1)} %`

it('[ME1] idle connections', async () => {
  const stock: Measured[] = []
  const ours: Measured[] = []
  for (let turn = 0; turn < TURNS; turn++) {
    stock.push(await measured(await stockServer()))
    ours.push(await measured(await ourServer(2000)))
  }
  const most = (all: readonly Measured[], of: (one: Measured) => number): number => Math.max(...all.map(of))
  figure({
    id: 'ME1',
    what: 'memory of an idle connection',
    value: most(ours, (one) => one.perConnectionKb),
    unit: 'KB',
    target: { atMost: 25 },
    note: `${CONNECTIONS} connections, ${PER_ROOM} in a room, rooms included; the stock server ${most(stock, (one) => one.perConnectionKb).toFixed(1)} KB`,
  })
  figure({
    id: 'ME1',
    what: 'memory kept after everybody left',
    value: Math.max(0, most(ours, (one) => one.kept) * 100),
    unit: '%',
    target: { atMost: 10 },
    note: `resident size 15 s after the last left, of what it was 15 s after an earlier crowd; the stock server ${percent(most(stock, (one) => one.kept))}; the worse of ${TURNS} turns`,
  })
  figure({
    id: 'ME1',
    what: 'heap kept after everybody left',
    value: Math.max(0, most(ours, (one) => one.heapKept ?? Number.NaN) * 100),
    unit: '%',
    target: { atMost: 10 },
    note: `of the main thread, after the collection that comes with the last room’s end; ${ours.map((one) => percent(one.heapKept ?? Number.NaN)).join(', ')}`,
  })
}, 400_000)
