import { describe, expect, it, vi } from 'vitest'
import * as Y from 'yjs'
import { StoreError } from '../errors.js'
import { BadFrame } from '../socket/frames.js'
import { Draft } from './draft.js'
import { decodeAwareness, encodeAwareness } from './presence.js'
import { Saver } from './saver.js'
import { boundTransport } from './transport.js'

const EMPTY = { updates: [], throughId: 0, authors: [] }

function updatesOf(change: (doc: Y.Doc) => void, clientID = 7): Uint8Array[] {
  const doc = new Y.Doc()
  doc.clientID = clientID
  const updates: Uint8Array[] = []
  doc.on('update', (update: Uint8Array) => updates.push(update))
  change(doc)
  return updates
}

describe('[CO3] the draft’s guard', () => {
  it('an update that builds on a missing one leaves nothing pending, and goes in once the other has come', () => {
    const heard: Uint8Array[] = []
    const draft = new Draft(EMPTY, (update) => heard.push(update))
    const [first, second] = updatesOf((doc) => {
      doc.getText('notes').insert(0, 'a')
      doc.getText('notes').insert(1, 'b')
    })
    expect(draft.apply(second, undefined)).toBe('missing')
    expect(draft.clockOf(7)).toBe(0)
    expect(draft.apply(first, undefined)).toBe('applied')
    expect(draft.clockOf(7)).toBe(1)
    expect(draft.apply(second, undefined)).toBe('applied')
    expect(draft.clockOf(7)).toBe(2)
    expect(heard).toHaveLength(2)
  })
  it('says whose clocks an update moves on, and refuses what does not decode', () => {
    const draft = new Draft(EMPTY, () => undefined)
    const [update] = updatesOf((doc) => doc.getMap('meta').set('schema', 1))
    expect(draft.advancedBy(update)).toEqual([7])
    draft.apply(update, undefined)
    expect(draft.advancedBy(update)).toEqual([])
    for (const bytes of [[], [1], [1, 1], [255, 255, 255, 255], [1, 1, 1, 0, 31, 1]])
      expect(() => draft.advancedBy(Uint8Array.from(bytes)), bytes.join(' ')).toThrow(BadFrame)
    expect(() => draft.since(Uint8Array.of(200))).toThrow(BadFrame)
  })
  it('a large one is put together once for all who ask, and anew after a change', () => {
    const draft = new Draft(EMPTY, () => undefined)
    const set = (key: string) => {
      for (const update of updatesOf((doc) => doc.getMap('cards').set(key, 'x'.repeat(70_000)), key.length + 7))
        draft.apply(update, undefined)
    }
    set('a')
    const first = draft.since()
    expect(draft.since(Uint8Array.of(0))).toBe(first)
    expect(draft.since(draft.stateVector()).length).toBeLessThan(10)
    set('bb')
    const doc = new Y.Doc()
    Y.applyUpdate(doc, draft.since())
    expect([...doc.getMap('cards').keys()].sort()).toEqual(['a', 'bb'])
  })
  it('what is stored and read again is the same document', () => {
    const pieces: Uint8Array[] = []
    const draft = new Draft(EMPTY, (update) => pieces.push(update))
    for (const update of updatesOf((doc) => {
      for (let count = 0; count < 20; count++) doc.getText('notes').insert(0, String(count))
      doc.getText('notes').delete(3, 5)
    }))
      draft.apply(update, undefined)
    const again = new Draft({ ...EMPTY, updates: pieces }, () => undefined)
    expect(again.since()).toEqual(draft.since())
    const others = updatesOf((doc) => doc.getMap('meta').set('a', 1), 4_000_000_000)
    for (const update of others) draft.apply(update, undefined)
    const doc = new Y.Doc()
    Y.applyUpdate(doc, draft.since())
    expect(Uint8Array.from(draft.stateVectorOf([7, 8, 4_000_000_000]))).toEqual(Y.encodeStateVector(doc))
    expect([...draft.stateVectorOf([8])]).toEqual([0])
    expect(draft.fits(10, 20)).toBe(false)
    expect(draft.fits(10, 100_000)).toBe(true)
  })
})

describe('[DU1] group commit', () => {
  it('one transaction for what comes together; who waits is told after it, with what stood before it', async () => {
    const batches: number[] = []
    const saver = new Saver(
      { appendUpdates: async (updates) => (batches.push(updates.length), { b: 9 }) },
      5,
      { saved: () => undefined, failed: () => undefined, recovered: () => undefined },
      () => 0,
    )
    const told: string[] = []
    for (let count = 0; count < 10; count++) saver.add({ boardId: 'b', bytes: Uint8Array.of(count) })
    saver.tellWhenSaved({ mark: () => (told.push('marked'), () => told.push('told')) })
    expect(told).toEqual([])
    await saver.flush()
    expect(batches).toEqual([10])
    expect(told).toEqual(['marked', 'told'])
  })
  it('in a stream of edits commits begin five pauses apart, however long the disk takes, and never sooner than one pause after it', async () => {
    vi.useFakeTimers()
    const begun: number[] = []
    let diskMs = 10
    const saver = new Saver(
      {
        appendUpdates: async () => {
          begun.push(Date.now())
          await new Promise((resolve) => setTimeout(resolve, diskMs))
          return {}
        },
      },
      8,
      { saved: () => undefined, failed: () => undefined, recovered: () => undefined },
      () => Date.now(),
    )
    const stream = setInterval(() => saver.add({ boardId: 'b', bytes: Uint8Array.of(1) }), 1)
    try {
      await vi.advanceTimersByTimeAsync(500)
      const gaps = () => begun.slice(1).map((at, index) => at - (begun[index] ?? 0))
      expect(new Set(gaps().slice(1))).toEqual(new Set([40]))
      diskMs = 100
      begun.length = 0
      await vi.advanceTimersByTimeAsync(1000)
      expect(new Set(gaps().slice(1))).toEqual(new Set([108]))
    } finally {
      clearInterval(stream)
      vi.useRealTimers()
    }
  })
  it('a store that refuses keeps everything, tells nobody, and all goes in later in order', async () => {
    let isFull = true
    const stored: number[] = []
    const events: string[] = []
    const saver = new Saver(
      {
        appendUpdates: async (updates) => {
          if (isFull) throw new StoreError('disk', 'full')
          stored.push(...updates.map((update) => update.bytes[0] ?? -1))
          return {}
        },
      },
      5,
      {
        saved: () => events.push('saved'),
        failed: () => events.push('failed'),
        recovered: () => events.push('recovered'),
      },
      () => 0,
    )
    saver.add({ boardId: 'b', bytes: Uint8Array.of(1) })
    saver.tellWhenSaved({ mark: () => () => events.push('told') })
    await saver.flush()
    expect(saver.isFailing).toBe(true)
    saver.add({ boardId: 'b', bytes: Uint8Array.of(2) })
    await saver.flush()
    expect(events).toEqual(['failed'])
    isFull = false
    await saver.flush()
    expect(stored).toEqual([1, 2])
    expect(events).toEqual(['failed', 'recovered', 'saved', 'told'])
  })
})

describe('[CL2] presence on the wire', () => {
  it('entries come back as they went; anything else is refused', () => {
    const entries = [
      { clientId: 5, clock: 3, state: '{"name":"Tove"}' },
      { clientId: 6, clock: 1, state: 'null' },
    ]
    expect(decodeAwareness(encodeAwareness(entries))).toEqual(entries)
    for (const state of ['{', '7', '"x"', JSON.stringify({ x: 'x'.repeat(5000) })])
      expect(() => decodeAwareness(encodeAwareness([{ clientId: 1, clock: 1, state }])), state.slice(0, 9)).toThrow(
        BadFrame,
      )
  })
})

describe('[CL1] the transport’s bounds', () => {
  const good = { playing: true, startsAt: 1500, fromTick: 20_160, tempoScale: 0.8, planHash: 'abc' }
  it('good messages pass, numbers are bounded, strangers dropped', () => {
    expect(
      boundTransport({ ...good, slot: 'lift@chorus-last/B1', optionId: 'x', loop: [0, 5040], by: 'me' }, 1000),
    ).toEqual({ ...good, slot: 'lift@chorus-last/B1', optionId: 'x', loop: [0, 5040] })
    expect(
      boundTransport({ ...good, startsAt: -1e9, fromTick: 1.4, tempoScale: 1e9, loop: [9, 9], slot: '<b>' }, 1000),
    ).toEqual({ playing: true, startsAt: 1000, fromTick: 1, tempoScale: 2, planHash: 'abc' })
  })
  it('wrong shapes are refused', () => {
    for (const wrong of [
      null,
      [],
      {},
      { ...good, playing: 1 },
      { ...good, startsAt: Number.NaN },
      { ...good, loop: [1] },
      { ...good, planHash: 'x'.repeat(65) },
    ])
      expect(() => boundTransport(wrong, 0)).toThrow(BadFrame)
  })
})
