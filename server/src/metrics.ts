/** What the server counts about itself, as Prometheus text. */
import { Counter, Gauge, Histogram, type Metric, Registry, collectDefaultMetrics } from 'prom-client'

export interface Metrics {
  readonly refused: (reason: string) => void
  /** A socket this server ended, by its close code. */
  readonly closed: (code: number) => void
  readonly saved: (ms: number) => void
  /** From an edit's coming in to its being called saved. */
  readonly acknowledged: (ms: number) => void
  /** Frames written to sockets for what others did. */
  readonly delivered: (frames: number) => void
  readonly stored: (method: string, ms: number, outcome: string) => void
  /** A command, and `accepted`, `repeated` or the code it was refused with. */
  readonly commanded: (kind: string, outcome: string) => void
  /** A ballot that is on disk. */
  readonly voted: () => void
  readonly text: () => Promise<string>
  readonly contentType: string
}

/** What is read when somebody asks. */
export interface Counted {
  readonly sockets: () => number
  readonly rooms: () => number
  readonly ledgers: () => number
  /** Where there are other processes: whether they are heard, and messages told and heard so far. */
  readonly relay?: () => { readonly isUp: boolean; readonly told: number; readonly heard: number }
}

const SECONDS = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 5]

export function createMetrics(count: Counted): Metrics {
  const registry = new Registry()
  collectDefaultMetrics({ register: registry })
  const gauge = (name: string, help: string, value: () => number) =>
    new Gauge({
      name,
      help,
      registers: [registry],
      collect() {
        this.set(value())
      },
    })
  gauge('chartloft_sockets', 'Open sockets', count.sockets)
  gauge('chartloft_rooms', 'Open rooms', count.rooms)
  gauge('chartloft_ledgers', 'Ledgers held in memory', count.ledgers)
  const { relay } = count
  if (relay) {
    gauge('chartloft_relay_up', '1 while processes hear each other', () => Number(relay().isUp))
    gauge('chartloft_relay_told', 'Entries said to other processes since the start', () => relay().told)
    gauge('chartloft_relay_heard', 'Entries heard from other processes since the start', () => relay().heard)
  }
  const refused = new Counter({
    name: 'chartloft_refused_total',
    help: 'Requests, sockets and messages refused',
    labelNames: ['reason'],
    registers: [registry],
  })
  const closed = new Counter({
    name: 'chartloft_closed_total',
    help: 'Sockets ended by the server, by close code; 1006 where the other end no longer answered',
    labelNames: ['code'],
    registers: [registry],
  })
  const histogram = <L extends string>(name: string, help: string, ...labelNames: L[]) =>
    new Histogram({ name, help, labelNames, buckets: SECONDS, registers: [registry] })
  const saved = histogram('chartloft_saved_seconds', 'Time of one group commit')
  const acknowledged = new OftenObserved('chartloft_ack_seconds', 'From an edit coming in to its being called saved')
  registry.registerMetric(acknowledged as unknown as Metric)
  const stored = histogram('chartloft_store_seconds', 'Time of one call of the store', 'method')
  const counter = <L extends string>(name: string, help: string, ...labelNames: L[]) =>
    new Counter({ name, help, labelNames, registers: [registry] })
  let deliveries = 0
  new Counter({
    name: 'chartloft_deliveries_total',
    help: 'Frames written to sockets for what others did',
    registers: [registry],
    collect() {
      this.inc(deliveries)
      deliveries = 0
    },
  })
  const ballots = counter('chartloft_ballots_total', 'Ballots taken, changed minds too')
  const failed = counter('chartloft_store_errors_total', 'Calls of the store that failed', 'method', 'code')
  const commands = counter('chartloft_commands_total', 'Ledger commands by what became of them', 'kind', 'outcome')
  return {
    refused: (reason) => refused.inc({ reason }),
    closed: (code) => closed.inc({ code }),
    saved: (ms) => saved.observe(ms / 1000),
    acknowledged: (ms) => acknowledged.observe(ms / 1000),
    delivered: (frames) => {
      deliveries += frames
    },
    stored: (method, ms, outcome) => {
      stored.observe({ method }, ms / 1000)
      if (outcome !== 'done') failed.inc({ method, code: outcome })
    },
    commanded: (kind, outcome) => commands.inc({ kind, outcome }),
    voted: () => ballots.inc(),
    text: () => registry.metrics(),
    contentType: registry.contentType,
  }
}

/** A histogram without labels that is observed with every edit: finding its bucket and two additions, where the library makes objects and keys. */
class OftenObserved {
  readonly type = 'histogram'
  private readonly counts = new Float64Array(SECONDS.length + 1)
  private sum = 0

  constructor(
    readonly name: string,
    readonly help: string,
  ) {}

  observe(seconds: number): void {
    let bucket = 0
    while (bucket < SECONDS.length && seconds > (SECONDS[bucket] as number)) bucket++
    this.counts[bucket] = (this.counts[bucket] as number) + 1
    this.sum += seconds
  }

  /** As the registry asks for it: counts of each bound and all below it. */
  get(): Promise<object> {
    let count = 0
    const values = Array.from(this.counts, (own, bucket) => {
      count += own
      return { metricName: `${this.name}_bucket`, labels: { le: SECONDS[bucket] ?? '+Inf' }, value: count }
    })
    const whole = [
      { metricName: `${this.name}_sum`, labels: {}, value: this.sum },
      { metricName: `${this.name}_count`, labels: {}, value: count },
    ]
    const { name, help, type } = this
    return Promise.resolve({ name, help, type, aggregator: 'sum', values: [...values, ...whole] })
  }
}
