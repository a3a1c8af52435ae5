import { afterEach, describe, expect, it, vi } from 'vitest'
import { Theory, type WorkerLike } from './theory.js'
import type { Ask, Told } from './theory-protocol.js'

class FakeWorker implements WorkerLike {
  onmessage: ((event: MessageEvent<Told>) => void) | null = null
  onerror: ((event: ErrorEvent) => void) | null = null
  asked: Ask[] = []
  isEnded = false
  terminate(): void {
    this.isEnded = true
  }
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

  it('what is not wanted any more ends with its worker; the next question starts another', async () => {
    const workers: FakeWorker[] = []
    const theory = new Theory(() => {
      const worker = new FakeWorker()
      workers.push(worker)
      return worker
    })
    const left = theory.ask('chord', 'Am7')
    theory.abandon()
    await expect(left).rejects.toThrow('it was left')
    expect(workers[0]?.isEnded).toBe(true)
    const next = theory.ask('chord', 'G7')
    workers[1]?.tell({ id: 2, ok: true, value: 'read' })
    expect(await next).toBe('read')
  })

  afterEach(() => vi.useRealTimers())

  function several() {
    vi.useFakeTimers()
    const workers: FakeWorker[] = []
    const theory = new Theory(() => {
      const worker = new FakeWorker()
      workers.push(worker)
      return worker
    })
    return { workers, theory }
  }

  it('one that never comes up is started anew, with more time, and is asked all that waits', async () => {
    const { workers, theory } = several()
    const answers = Promise.all([theory.ask('chord', 'a'), theory.ask('chord', 'b')])
    vi.advanceTimersByTime(8000)
    expect(workers.map(({ isEnded }) => isEnded)).toEqual([true, false])
    vi.advanceTimersByTime(15_999)
    expect(workers).toHaveLength(2)
    vi.advanceTimersByTime(1)
    expect(workers).toHaveLength(3)
    const last = workers[2] as FakeWorker
    expect(last.asked.map(({ id }) => id)).toEqual([1, 2])
    last.tell({ id: 0, ok: true, value: undefined })
    last.tell({ id: 1, ok: true, value: 'one' })
    last.tell({ id: 2, ok: true, value: 'two' })
    expect(await answers).toEqual(['one', 'two'])
    vi.advanceTimersByTime(3_600_000)
    expect(workers).toHaveLength(3)
  })

  it('one that cannot be loaded is tried three times; then the question fails, and the next one tries again', async () => {
    const { workers, theory } = several()
    const failed = theory.ask('chord', 'a')
    const told = expect(failed).rejects.toThrow('it stopped')
    for (let time = 0; time < 3; time++) {
      workers.at(-1)?.onerror?.({} as ErrorEvent)
      vi.advanceTimersByTime(500)
    }
    await told
    expect(workers).toHaveLength(3)
    const again = theory.ask('chord', 'a')
    expect(workers).toHaveLength(4)
    workers[3]?.tell({ id: 2, ok: true, value: 'at last' })
    expect(await again).toBe('at last')
  })

  it('one that works is not started anew by a question that takes long', () => {
    const { workers, theory } = several()
    void theory.ask('chord', 'a')
    workers[0]?.tell({ id: 0, ok: true, value: undefined })
    vi.advanceTimersByTime(60_000)
    expect(workers).toHaveLength(1)
  })
})
