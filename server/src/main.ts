/** `chartloft serve`: reads the environment, starts the server, seeds the demo where asked, and ends when told to. The only place that touches process state. */
import { spawn } from 'node:child_process'
import { join } from 'node:path'
import { setFlagsFromString } from 'node:v8'
import { ROLES } from '@chartloft/shared-theory/board'
import { pino } from 'pino'
import { startApp } from './app.js'
import type { NewBoard } from './boards/boards.js'
import { readConfig } from './config.js'
import { StartError, messageOf } from './errors.js'
import { LIMITS } from './limits.js'
import { seedDemo } from './seed/demo-board.js'

export interface ServeOptions {
  readonly port?: string
  readonly dataDir?: string
  readonly demo: boolean
  readonly open: boolean
}
/** The parts of `process` a server needs. */
export type ServeProcess = Pick<NodeJS.Process, 'env' | 'stdout' | 'stderr' | 'once' | 'exit'>

/** Runs until SIGTERM, SIGINT or SIGHUP; resolves to the exit code: 0 after a drain, 2 where the start failed. */
export async function serve(options: ServeOptions, proc: ServeProcess): Promise<number> {
  // What dies young here is little and often: collecting it alone is cheaper than waking helper threads for it.
  setFlagsFromString('--no-parallel-scavenge')
  // Whoever read our output may be gone; the server goes on.
  proc.stdout.on('error', () => undefined)
  try {
    const config = readConfig({
      ...proc.env,
      ...(options.port === undefined ? {} : { PORT: options.port }),
      ...(options.dataDir === undefined
        ? {}
        : {
            DATA_DIR: options.dataDir,
            ...(proc.env['SECRET_FILE'] ? {} : { SECRET_FILE: join(options.dataDir, 'secret') }),
          }),
    })
    const log = pino(
      { level: config.logLevel, base: null, redact: ['req.headers', 'token', 'cookie', 'name', 'text'] },
      proc.stdout,
    )
    let demo: NewBoard | undefined
    const app = await startApp(config, log, async (services) => {
      if (options.demo) demo = await seedDemo(services)
    })
    const stopped = untilStopped(proc)
    const host = ['0.0.0.0', '::'].includes(config.host) ? '127.0.0.1' : config.host
    const address = config.publicUrl ?? `http://${host.includes(':') ? `[${host}]` : host}:${app.port}`
    log.info({ port: app.port, host: config.host, address }, 'listening')
    for (const role of ROLES) if (demo) proc.stdout.write(`${role}: ${address}${demo.links[role]}\n`)
    if (!demo) proc.stdout.write(`open: ${address}/\n`)
    if (options.open) openInBrowser(`${address}${demo?.links.leader ?? '/'}`)
    log.info({ signal: await stopped }, 'draining')
    const late = new Promise<'late'>((resolve) => setTimeout(() => resolve('late'), LIMITS.drainMs).unref())
    const ended = await Promise.race([app.drain().then(() => 'drained' as const), late])
    log.info(ended)
    if (ended === 'late') proc.exit(1)
    return 0
  } catch (error) {
    const line = error instanceof StartError ? error.message : `The server cannot go on: ${messageOf(error)}`
    proc.stderr.write(`${line.replaceAll('\n', ' ')}\n`)
    return error instanceof StartError ? 2 : 1
  }
}

function untilStopped(proc: ServeProcess): Promise<string> {
  return new Promise((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const) proc.once(signal, () => resolve(signal))
  })
}

/** Asks the desktop to show the page; where there is none, the printed address does. */
function openInBrowser(address: string): void {
  const [command, ...args] =
    process.platform === 'darwin' ? ['open'] : process.platform === 'win32' ? ['cmd', '/c', 'start', ''] : ['xdg-open']
  const child = spawn(command ?? 'xdg-open', [...args, address], { stdio: 'ignore', detached: true })
  child.on('error', () => undefined)
  child.unref()
}
