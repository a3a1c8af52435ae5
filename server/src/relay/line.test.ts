import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { LIMITS } from '../limits.js'
import { type Entry, compareIds, entryFields, entryOf } from './entry.js'
import { StreamLine } from './line.js'
import type { Message } from './relay.js'

beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})

const UPDATE: Message = { kind: 'update', bytes: Uint8Array.of(1, 2) }

/** A line with what it said, what it heard and where it trimmed; its stream is made by hand. */
function lineOf(others: readonly string[] = ['b.1']) {
  const added: Entry[] = []
  const trimmed: string[] = []
  const heard: string[] = []
  let now = 0
  const line = new StreamLine(
    'a.1',
    { add: (entry) => added.push(entry), trim: (before) => trimmed.push(before), closed: () => undefined },
    () => now,
  )
  line.start({
    hear: (message, from, entry) => heard.push(`${from}:${entry} ${message.kind}`),
    hearOwn: (message) => heard.push(`own ${message.kind}`),
    missed: (from, entry) => heard.push(`${from} missed to ${entry}`),
    resumed: () => Promise.resolve(),
    gone: (from) => {
      heard.push(`${from} gone`)
      return Promise.resolve()
    },
  })
  line.greet(others)
  const flush = () => vi.advanceTimersByTime(LIMITS.relayTogetherMs)
  const from = (speaker: string, count: number, id: string, ...messages: Message[]) =>
    line.take(id, { speaker, count, messages })
  flush()
  line.take('1000-0', added[0])
  return {
    line,
    added,
    trimmed,
    heard,
    flush,
    from,
    wait: (ms: number) => {
      now += ms
    },
  }
}

describe('[RL9] a line', () => {
  it('says what comes together in one entry, counted, and comes through text whole', () => {
    const { line, added, flush } = lineOf()
    expect(line.mark()).toBe(1)
    line.tell(UPDATE)
    line.tell({ kind: 'ledger', seq: 3 })
    flush()
    expect(line.mark()).toBe(2)
    expect(added.map(({ count, messages }) => [count, messages.length])).toEqual([
      [1, 1],
      [2, 2],
    ])
    const entry = added[1] as Entry
    expect(entryOf(entryFields(entry), 'b.1')).toEqual(entry)
    expect(entryOf(['s', 'b.1', 'n', '1', 'm', '{broken'], 'a.1')).toBeUndefined()
  })

  it('never gathers what is told after a mark with what was told before it: of one entry all is stored or nothing', () => {
    const { line, added, flush } = lineOf()
    line.tell(UPDATE)
    expect(line.mark()).toBe(2)
    line.tell(UPDATE)
    line.tell({ kind: 'stored', through: 2, id: 7 })
    flush()
    expect(added.map(({ count, messages }) => [count, messages.map(({ kind }) => kind)])).toEqual([
      [1, ['hello']],
      [2, ['update']],
      [3, ['update', 'stored']],
    ])
  })

  it('hears each entry once, in order, and says where one is missing', () => {
    const { from, heard } = lineOf()
    heard.length = 0
    from('b.1', 1, '1001-0', UPDATE)
    from('b.1', 1, '1002-0', UPDATE)
    from('b.1', 4, '1003-0', UPDATE)
    from('b.1', 3, '1004-0', UPDATE)
    from('', 0, '1005-0', { kind: 'ledger', seq: 2 })
    expect(heard).toEqual(['b.1:1 update', 'b.1 missed to 3', 'b.1:4 update', ':0 ledger'])
  })

  it('trims behind the first entry of anybody’s that is not known to be stored, and keeps the last seconds', () => {
    const { line, from, flush, added, trimmed, wait } = lineOf()
    const stored = (through: number): Message => ({ kind: 'stored', through, id: 1 })
    const say = (id: string, message: Message) => {
      line.tell(message)
      flush()
      line.take(id, added.at(-1))
    }
    say('2000-0', UPDATE)
    from('b.1', 1, '3000-5', UPDATE)
    // Its own is stored, the other's is not.
    say('60000-0', stored(2))
    expect(trimmed).toEqual(['3000-5'])
    from('b.1', 2, '61000-0', stored(1))
    wait(LIMITS.relayTrimMs)
    say('70000-0', stored(2))
    expect(trimmed.at(-1)).toBe(`${70_000 - LIMITS.relayKeepMs}-0`)
    // Not at every commit.
    say('70001-0', stored(2))
    expect(trimmed).toHaveLength(2)
  })

  it('forgets who has left only when nothing of theirs is needed, and then says nothing to nobody', async () => {
    const { line, from, flush, heard, added } = lineOf()
    from('b.1', 1, '1001-0', UPDATE, { kind: 'state', to: 'a.1' })
    expect(line.isAlone).toBe(false)
    expect(line.tell(UPDATE)).toBe(true)
    from('b.1', 2, '1002-0', { kind: 'gone' })
    await vi.runAllTimersAsync()
    expect(heard.at(-1)).toBe('b.1 gone')
    expect(line.isAlone).toBe(true)
    const said = added.length
    expect(line.tell(UPDATE)).toBe(false)
    flush()
    expect(added).toHaveLength(said)
    from('c.1', 1, '1003-0', { kind: 'hello' })
    expect(line.tell(UPDATE)).toBe(true)
  })

  it('is ready when everybody there has told what they have, or after a while without them', async () => {
    const readyOf = async (line: StreamLine) => {
      let isReady = false
      void line.ready.then(() => (isReady = true))
      await Promise.resolve()
      await Promise.resolve()
      return isReady
    }
    const { line, from } = lineOf(['b.1', 'c.1'])
    from('b.1', 1, '1001-0', { kind: 'state', to: 'a.1' })
    expect(await readyOf(line)).toBe(false)
    from('c.1', 1, '1002-0', { kind: 'state', to: 'somebody else' })
    expect(await readyOf(line)).toBe(false)
    line.lose('c.1')
    expect(await readyOf(line)).toBe(true)
    expect(await readyOf(lineOf([]).line)).toBe(true)
    const silent = lineOf(['b.1']).line
    vi.advanceTimersByTime(LIMITS.relayReadyMs)
    expect(await readyOf(silent)).toBe(true)
  })

  it('ids are ordered by time, then by number', () => {
    expect(['10-0', '9-5', '9-10', '10-1'].toSorted(compareIds)).toEqual(['9-5', '9-10', '10-0', '10-1'])
  })
})
