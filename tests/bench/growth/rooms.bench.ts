/** What more editors in a room, and more rooms, cost the server in processor time. */
import { afterAll, beforeAll, describe, it } from 'vitest'
import { cleanUp } from '../../server/harness.js'
import { type Load, type Subject, deliver, ourServer } from '../sync/load.js'
import { costsOf, grows } from './growth.js'

let server: Subject
beforeAll(async () => {
  server = await ourServer(200)
  // The first room warms up what all share.
  await deliver(server, { rooms: 4, editors: 4, rate: 10, seconds: 2 })
}, 60_000)
afterAll(async () => {
  await server.stop()
  cleanUp()
})

/** Milliseconds of processor time for each second of this. */
async function cpuASecond(load: Load): Promise<number> {
  const { cpuMicrosPerDelivery, deliveries } = await deliver(server, load)
  return (cpuMicrosPerDelivery * deliveries) / 1000 / load.seconds
}

describe('[GR1] by people', () => {
  it('editors in one room', async () => {
    const points = await costsOf([8, 16, 32, 64], 2, (editors) =>
      cpuASecond({ rooms: 1, editors, rate: 5, seconds: 4 }),
    )
    grows({
      what: 'the server’s processor time in a room where everybody edits',
      by: 'editors in a room',
      unit: 'ms a second',
      points,
      atMost: 2.1,
      reason:
        'everybody hears everybody: n people are n(n−1) deliveries; what is heard at once goes in one frame, which keeps it below the square',
    })
    grows({
      what: 'the server’s processor time for one delivery',
      by: 'editors in a room',
      unit: 'ms a second',
      points: points.map(({ size, cost }) => ({ size, cost: cost / (size * (size - 1)) })),
      atMost: 0.3,
    })
  })
  it('rooms', async () => {
    const points = await costsOf([16, 32, 64, 128], 2, (rooms) =>
      cpuASecond({ rooms, editors: 3, rate: 4, seconds: 4 }),
    )
    grows({
      what: 'the server’s processor time, three editors a room',
      by: 'rooms',
      unit: 'ms a second',
      points,
      atMost: 1.3,
    })
  })
})
