/** What the server counts about itself, as Prometheus text. */
import { Counter, Gauge, Histogram, Registry, collectDefaultMetrics } from 'prom-client'

export interface Metrics {
  readonly refused: (reason: string) => void
  /** A socket this server ended, by its close code. */
  readonly closed: (code: number) => void
  readonly saved: (ms: number) => void
  readonly text: () => Promise<string>
  readonly contentType: string
}

export function createMetrics(count: { readonly sockets: () => number; readonly rooms: () => number }): Metrics {
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
  const saved = new Histogram({
    name: 'chartloft_saved_seconds',
    help: 'Time of one group commit',
    buckets: [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 1, 5],
    registers: [registry],
  })
  return {
    refused: (reason) => refused.inc({ reason }),
    closed: (code) => closed.inc({ code }),
    saved: (ms) => saved.observe(ms / 1000),
    text: () => registry.metrics(),
    contentType: registry.contentType,
  }
}
