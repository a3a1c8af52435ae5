/** Links to a server as far as a clock is concerned, and a page that keeps its clock over one of them, on a time of our own. */
import { drawFrom } from '../../server/harness.js'
import { ServerClock } from '../../../web/src/sync/clock.js'

/** One way takes `least`, plus a jitter of exponential length, plus now and then a wait (a retransmission, a busy channel). All ms.
 *  Magnitudes from memory of common measurements, not of one study. */
interface Way {
  readonly least: number
  readonly jitter: number
  readonly waitMs: number
  readonly waits: number
}
export interface Link {
  readonly name: string
  readonly out: Way
  readonly back: Way
  /** The promise; absent where the ways differ by more than any clock could see. */
  readonly p95Ms?: number
  readonly note: string
}

const way = (least: number, jitter: number, waitMs: number, waits: number): Way => ({ least, jitter, waitMs, waits })

export const LINKS: readonly Link[] = [
  {
    name: 'Wi-Fi in one room',
    out: way(1, 2, 40, 0.1),
    back: way(1, 3, 60, 0.15),
    p95Ms: 5,
    note: 'each way 1 ms and 2–3 ms of jitter, one in eight held up by up to 60 ms',
  },
  {
    name: 'broadband',
    out: way(14, 4, 80, 0.05),
    back: way(10, 3, 30, 0.05),
    p95Ms: 5,
    note: 'out 14 ms, back 10 ms, 3–4 ms of jitter, one in twenty held up by up to 80 ms',
  },
  {
    name: '4G',
    out: way(35, 15, 120, 0.1),
    back: way(25, 10, 80, 0.1),
    p95Ms: 12,
    note: 'out 35 ms, back 25 ms (5 ms of it nobody can see from outside), 10–15 ms of jitter, one in ten held up by up to 120 ms',
  },
]

/** As `connection.ts` asks: ten exchanges a round, a second round soon, then one every ten seconds. */
const GAP_MS = 60
const ROUNDS_AT_MS = [0, 1200, 11_200, 21_200, 31_200, 41_200, 51_200]
/** Looked at every so often, from the moment the first two rounds are in. */
const LOOK_EVERY_MS = 100
const LOOK_FROM_MS = 4000
/** Crystals of ordinary machines differ by some tens of parts in a million. */
const MOST_DRIFT = 50e-6

/** Errors of many pages' clocks, looked at for a minute each; `beyond`: those larger than the clock itself said. */
export function clockErrors(link: Link, pages: number): { offMs: readonly number[]; beyond: number; asked: number } {
  const draw = drawFrom(20261126)
  const takes = ({ least, jitter, waitMs, waits }: Way) =>
    least - jitter * Math.log(1 - draw()) + (draw() < waits ? draw() * waitMs : 0)
  const offMs: number[] = []
  let beyond = 0
  for (let page = 0; page < pages; page++) {
    const time = { now: 1000 * draw() }
    const began = time.now
    const drift = (draw() * 2 - 1) * MOST_DRIFT
    const ahead = 5000 * draw()
    const serverAt = (local: number) => local + ahead + (local - began) * drift
    const clock = new ServerClock(() => time.now)
    let looked = LOOK_FROM_MS
    const lookUntil = (local: number) => {
      for (; looked < local - began; looked += LOOK_EVERY_MS) {
        time.now = began + looked
        const off = Math.abs(clock.serverNow() - serverAt(time.now))
        offMs.push(off)
        // What drifts between two exchanges of half a minute is no fault of the exchange, nor is what still slews.
        if (off > clock.errorMs + 30_000 * MOST_DRIFT + 1) beyond++
      }
      time.now = local
    }
    for (const start of ROUNDS_AT_MS) {
      let at = Math.max(time.now, began + start)
      for (let more = true; more; at = time.now + GAP_MS) {
        const t1 = serverAt(at + takes(link.out))
        const arrives = t1 - ahead - (t1 - ahead - began) * drift + takes(link.back)
        lookUntil(Math.max(arrives, time.now))
        more = clock.heard({ t0: at, t1, t2: t1 })
      }
    }
  }
  return { offMs, beyond, asked: offMs.length }
}
