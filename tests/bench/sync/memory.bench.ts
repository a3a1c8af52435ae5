/** What an idle connection costs in memory, and whether it is given back. */
import { afterAll, it } from 'vitest'
import { cleanUp } from '../../server/harness.js'
import { figure } from '../figure.js'
import { openRooms, ourServer, pause, residentKb, type Subject, stockServer } from './load.js'

const CONNECTIONS = 2000
const PER_ROOM = 10

afterAll(cleanUp)

async function measured(subject: Subject): Promise<{ readonly perConnectionKb: number; readonly kept: number }> {
  // One crowd comes and goes first: what a process needs once is not what a connection costs.
  for (const socket of (await openRooms(subject, 20, PER_ROOM)).flat()) socket.terminate()
  await pause(3000)
  const before = residentKb(subject.pid)
  const sockets = (await openRooms(subject, CONNECTIONS / PER_ROOM, PER_ROOM)).flat()
  await pause(3000)
  const full = residentKb(subject.pid)
  for (const socket of sockets) socket.terminate()
  await pause(15_000)
  const after = residentKb(subject.pid)
  await subject.stop()
  return { perConnectionKb: (full - before) / CONNECTIONS, kept: (after - before) / before }
}

it('[ME1] idle connections', async () => {
  const stock = await measured(await stockServer())
  const ours = await measured(await ourServer())
  figure({
    id: 'ME1',
    what: 'memory of an idle connection',
    value: ours.perConnectionKb,
    unit: 'KB',
    target: { atMost: 25 },
    note: `${CONNECTIONS} connections, ${PER_ROOM} in a room, rooms included; the stock server ${stock.perConnectionKb.toFixed(1)} KB`,
  })
  figure({
    id: 'ME1',
    what: 'memory kept after everybody left',
    value: Math.max(0, ours.kept * 100),
    unit: '%',
    target: { atMost: 10 },
    note: 'of what the process had before they came; resident size 15 s after the last left',
  })
})
