import { readdirSync, readFileSync } from 'node:fs'
import { Worker } from 'node:worker_threads'
import { describe, expect, it } from 'vitest'

/** Field 19 of /proc/…/stat (proc(5)): the nice value. */
const niceness = (thread: string): number => {
  const fields = readFileSync(`/proc/self/task/${thread}/stat`, 'utf8').split(') ')[1]?.split(' ') ?? []
  return Number(fields[16])
}

describe('[AB5] heavy threads', () => {
  it.runIf(process.platform === 'linux')(
    'stand behind the others, and leave those where they were',
    async () => {
      const own = niceness(String(process.pid))
      const before = new Set(readdirSync('/proc/self/task'))
      const worker = new Worker(
        `import(${JSON.stringify(new URL('../../dist/workers/step-back.js', import.meta.url).href)})
        .then(({ stepBack }) => { stepBack(); require('node:worker_threads').parentPort.postMessage('ready') })`,
        { eval: true },
      )
      try {
        await new Promise((resolve, reject) => worker.once('message', resolve).once('error', reject))
        const fresh = readdirSync('/proc/self/task').filter((thread) => !before.has(thread))
        expect(fresh.map(niceness)).toContain(Math.min(19, own + 5))
        expect(niceness(String(process.pid))).toBe(own)
      } finally {
        await worker.terminate()
      }
    },
    30_000,
  )
})
