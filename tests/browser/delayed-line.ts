/** A line to the server that takes its time: a plain TCP relay that holds every piece back, each way by its own draw, order kept. */
import { type AddressInfo, connect, createServer, type Socket } from 'node:net'

export interface DelayedLine {
  /** The server's address by way of this line. */
  readonly url: string
  close(): void
}

/** Each way takes `leastMs` to `mostMs`, drawn for every piece. Pages see one origin: the relay's own. */
export function delayedLine(port: number, leastMs: number, mostMs: number): Promise<DelayedLine> {
  const sockets = new Set<Socket>()
  const relay = createServer({ noDelay: true }, (near) => {
    const far = connect({ port, host: '127.0.0.1', noDelay: true })
    for (const [from, to] of [
      [near, far],
      [far, near],
    ] as const) {
      sockets.add(from)
      let free = 0
      from.on('data', (piece: Buffer) => {
        free = Math.max(free, performance.now() + leastMs + Math.random() * (mostMs - leastMs))
        setTimeout(() => to.write(piece), free - performance.now())
      })
      from.on('error', () => to.destroy())
      from.on('close', () => {
        sockets.delete(from)
        setTimeout(() => to.end(), Math.max(0, free - performance.now()) + 1)
      })
    }
  })
  return new Promise((resolve) =>
    relay.listen(0, '127.0.0.1', () =>
      resolve({
        url: `http://127.0.0.1:${(relay.address() as AddressInfo).port}`,
        close: () => {
          relay.close()
          for (const socket of sockets) socket.destroy()
        },
      }),
    ),
  )
}
