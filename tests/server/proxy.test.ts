/** The whole set as deployed: two processes behind the proxy of server/deploy, over TLS, each restarted in turn while people edit. */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { freePort, sayMissing } from './databases.js'
import { ROOT, type RunningServer, cleanUp, freshFolder, newBoard, personAt, until } from './harness.js'
import { draftOf } from './kills.js'
import { Editor, type Machines, keepEditing, startMachines, untilSame } from './machines.js'

const hasCaddy = spawnSync('caddy', ['version']).status === 0
const isThere = sayMissing('two processes behind the deployed proxy, restarted in turn', {
  postgres: true,
  redis: true,
  others: hasCaddy ? [] : ['caddy'],
})

describe.skipIf(!isThere)('[OP7] behind the proxy', () => {
  let machines: Machines
  let proxy: ChildProcess
  let url = ''
  const ports: number[] = []
  const servers: RunningServer[] = []
  const start = (index: number) => machines.start({ PORT: String(ports[index]), PUBLIC_URL: url, TRUST_PROXY: '1' })
  beforeAll(async () => {
    // The proxy's certificate is its own.
    process.env['NODE_TLS_REJECT_UNAUTHORIZED'] = '0'
    machines = await startMachines()
    const [httpsPort, httpPort] = [await freePort(), await freePort()]
    ports.push(await freePort(), await freePort())
    url = `https://localhost:${httpsPort}`
    servers.push(await start(0), await start(1))
    const folder = freshFolder()
    const options = `{\n  http_port ${httpPort}\n  https_port ${httpsPort}\n  skip_install_trust\n  admin off\n}\n`
    writeFileSync(join(folder, 'Caddyfile'), options + readFileSync(join(ROOT, 'server/deploy/Caddyfile'), 'utf8'))
    proxy = spawn('caddy', ['run', '--config', join(folder, 'Caddyfile'), '--adapter', 'caddyfile'], {
      stdio: 'ignore',
      env: {
        PATH: process.env['PATH'] ?? '',
        HOME: folder,
        XDG_DATA_HOME: folder,
        DOMAIN: 'localhost',
        UPSTREAMS: ports.map((port) => `127.0.0.1:${port}`).join(' '),
      },
    })
    await until(
      async () => (await fetch(`${url}/healthz`).catch(() => undefined))?.ok === true,
      'the proxy answers',
      30_000,
    )
  })
  afterAll(async () => {
    proxy?.kill('SIGKILL')
    cleanUp()
    await machines?.stop()
    delete process.env['NODE_TLS_REJECT_UNAUTHORIZED']
  })

  it('people edit on while each process is restarted in turn; nothing saved is lost, and figures stay inside', async () => {
    expect((await fetch(`${url}/metrics`)).status).toBe(404)
    expect((await fetch(`${url}/readyz`)).status).toBe(200)
    const board = await newBoard({ url }, 'Rolling')
    const people = await Promise.all(Array.from({ length: 4 }, () => personAt({ url }, board.links.member)))
    const editors = people.map((person) => new Editor(person))
    await Promise.all(editors.map((editor) => editor.synced()))
    const load = editors.map((editor, index) => keepEditing(editor, `p${index}`, 15))
    let isOver = false
    const codes: number[] = []
    const comingBack = editors.map(async (editor, index) => {
      while (!isOver) {
        codes.push((await editor.wire.closed).code)
        if (isOver) return
        for (let tries = 0; tries < 50; tries++) {
          await new Promise((resolve) => setTimeout(resolve, 100))
          if (
            await editor.move(people[index] as (typeof people)[0]).then(
              () => true,
              () => false,
            )
          )
            break
        }
      }
    })
    for (const index of [0, 1]) {
      const before = editors.map(({ saved }) => saved.size)
      expect(await servers[index]?.stop()).toBe(0)
      await until(
        () => editors.every(({ saved }, at) => saved.size > (before[at] ?? 0) + 20),
        `everybody saves while process ${index + 1} is away`,
        40_000,
      )
      servers[index] = await start(index)
      await new Promise((resolve) => setTimeout(resolve, 3000))
    }
    for (const one of load) one.stop()
    await untilSame(editors, 'all alike')
    const wanted = editors.flatMap((editor) => [...editor.saved].filter((key) => key !== ''))
    isOver = true
    for (const { wire } of editors) wire.socket.close()
    await Promise.all(comingBack)
    const fresh = await machines.start({ REDIS_URL: '' })
    const reader = people[0]?.at(fresh)
    const cards = (await draftOf(reader as NonNullable<typeof reader>)).getMap('cards')
    expect(wanted.filter((key) => !cards.has(key))).toEqual([])
    // A board's sockets were together on one process: those of the process that ended heard 1013.
    expect(codes).toContain(1013)
    console.log(`two restarts behind the proxy: ${wanted.length} saved edits, none lost`)
    await fresh.stop()
  }, 240_000)
})
