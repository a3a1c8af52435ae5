/** What more processes are worth, by processor time: the same rooms on one process without others, and on four, each room in one of them as the proxy
 *  deals them, or each room in all of them. Postgres and Redis are other machines' work and are not counted. */
import { afterAll, beforeAll, describe, it } from 'vitest'
import { sayMissing } from '../../server/databases.js'
import { type RunningServer, cleanUp, newBoard, personAt, until } from '../../server/harness.js'
import { Editor, type Machines, cpuSeconds, figureOf, keepEditing, startMachines } from '../../server/machines.js'
import { figure } from '../figure.js'

const isThere = sayMissing('what four processes are worth', { postgres: true, redis: true })
/** For each process: one that is busier pays less of its own upkeep for a delivery. */
const ROOMS = 4
const EDITORS = 6
const EVERY_MS = 100
const SECONDS = process.env['LONG'] ? 30 : 10
const PROCESSES = 4
const IDLE_ROOMS = 400

/** Milliseconds of processor time a delivery took, all processes together, background work of idle processes taken off. */
async function costOfDelivery(servers: readonly RunningServer[], isSpread: boolean): Promise<number> {
  const editors: Editor[] = []
  for (let room = 0; room < ROOMS * servers.length; room++) {
    const home = servers[room % servers.length] as RunningServer
    const board = await newBoard(home, `Room ${room}`)
    for (let index = 0; index < EDITORS; index++) {
      const at = isSpread ? (servers[(room + index) % servers.length] as RunningServer) : home
      editors.push(new Editor(await personAt(at, board.links.member)))
    }
  }
  await Promise.all(editors.map((editor) => editor.synced()))
  const delivered = async () =>
    (await Promise.all(servers.map((server) => figureOf(server, 'chartloft_deliveries_total')))).reduce((a, b) => a + b)
  const load = editors.map((editor, index) => keepEditing(editor, `e${index}`, EVERY_MS))
  await until(() => editors.every(({ saved }) => saved.size > 10), 'under load', 60_000)
  const before = { cpu: await cpuSeconds(servers), delivered: await delivered() }
  await new Promise((resolve) => setTimeout(resolve, SECONDS * 1000))
  const after = { cpu: await cpuSeconds(servers), delivered: await delivered() }
  for (const one of load) one.stop()
  for (const { wire } of editors) wire.socket.terminate()
  return ((after.cpu - before.cpu) * 1000) / (after.delivered - before.delivered)
}

describe.skipIf(!isThere)('[RL10] more processes', () => {
  let machines: Machines
  const four: RunningServer[] = []
  beforeAll(async () => {
    machines = await startMachines()
    for (let index = 0; index < PROCESSES; index++) four.push(await machines.start())
  }, 120_000)
  afterAll(async () => {
    cleanUp()
    await machines.stop()
  }, 60_000)

  it('deliver more, by processor time', async () => {
    const alone = await machines.start({ REDIS_URL: '' })
    const one = await costOfDelivery([alone], false)
    await alone.stop()
    const dealt = await costOfDelivery(four, false)
    const spread = await costOfDelivery(four, true)
    const note = `${ROOMS} rooms of ${EDITORS} a process, ${1000 / EVERY_MS} edits a second each, ${SECONDS} s; a delivery costs ${one.toFixed(3)} ms on one process, ${dealt.toFixed(3)} on four with each room in one, ${spread.toFixed(3)} with each room in all`
    figure({
      id: 'RL10',
      what: 'four processes to one, each room in one of them',
      value: (PROCESSES * one) / dealt,
      unit: '×',
      target: { atLeast: 3 },
      note,
    })
    figure({
      id: 'RL10',
      what: 'four processes to one, each room in all of them',
      value: (PROCESSES * one) / spread,
      unit: '×',
      target: { atLeast: 1 },
      note,
    })
  })

  it('an idle room costs little', async () => {
    const server = await machines.start({ BOARDS_PER_MINUTE: '1000000', MAX_SOCKETS_PER_ADDRESS: '5000' })
    const heap = async () => {
      await new Promise((resolve) => setTimeout(resolve, 3000))
      return figureOf(server, 'process_resident_memory_bytes')
    }
    const empty = await heap()
    const wires = []
    for (let room = 0; room < IDLE_ROOMS; room++) {
      const board = await newBoard(server, `Idle ${room}`)
      const wire = (await personAt(server, board.links.member)).socket()
      await wire.hear((message) => message.type === 19)
      wires.push(wire)
    }
    const full = await heap()
    const before = await cpuSeconds([server])
    await new Promise((resolve) => setTimeout(resolve, 10_000))
    const busy = ((await cpuSeconds([server])) - before) / 10
    const note = `${IDLE_ROOMS} rooms of one idle socket, heard over Redis, 10 s`
    figure({
      id: 'RL10',
      what: 'resident memory grows by, for an idle room with its socket',
      value: (full - empty) / 1024 / IDLE_ROOMS,
      unit: 'KB',
      target: { atMost: 150 },
      note,
    })
    figure({
      id: 'RL10',
      what: 'of one core for a thousand idle rooms',
      value: (busy * 100 * 1000) / IDLE_ROOMS,
      unit: '%',
      target: { atMost: 25 },
      note,
    })
    for (const { socket } of wires) socket.terminate()
  })
})
