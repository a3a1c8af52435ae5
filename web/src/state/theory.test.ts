import { describe, expect, it } from 'vitest'
import { Theory, type WorkerLike } from './theory.js'
import type { Ask, Told } from './theory-protocol.js'

class FakeWorker implements WorkerLike {
  onmessage: ((event: MessageEvent<Told>) => void) | null = null
  onerror: ((event: ErrorEvent) => void) | null = null
  asked: Ask[] = []
  postMessage(ask: Ask): void {
    this.asked.push(ask)
  }
  tell(told: Told): void {
    this.onmessage?.({ data: told } as MessageEvent<Told>)
  }
}

describe('[UI2] the music worker', () => {
  it('starts with the first question and answers each by its own id, in any order', async () => {
    const worker = new FakeWorker()
    let started = 0
    const theory = new Theory(() => {
      started++
      return worker
    })
    expect(started).toBe(0)
    const first = theory.ask('chord', 'Am7')
    const second = theory.ask('chord', 'H9')
    worker.tell({ id: 2, ok: true, value: 'second' })
    worker.tell({ id: 1, ok: true, value: 'first' })
    expect(await Promise.all([first, second])).toEqual(['first', 'second'])
    expect(started).toBe(1)
  })

  it('turns failures into errors that name the question', async () => {
    const worker = new FakeWorker()
    const theory = new Theory(() => worker)
    const failed = theory.ask('chord', 'x')
    worker.tell({ id: 1, ok: false, message: 'no' })
    await expect(failed).rejects.toThrow("could not do 'chord': no")
    const stopped = theory.ask('chord', 'y')
    worker.onerror?.({ message: 'out of memory' } as ErrorEvent)
    await expect(stopped).rejects.toThrow('out of memory')
  })
})
