import { describe, expect, it } from 'vitest'
import { OwnNotes } from './own-notes.js'

const shelf = () => {
  const held = new Map<string, string>()
  return {
    held,
    getItem: (key: string) => held.get(key) ?? null,
    setItem: (key: string, value: string) => void held.set(key, value),
    removeItem: (key: string) => void held.delete(key),
  }
}

describe('[OF2] what a browser notes of one’s own work', () => {
  it('counts edits that wait over reloads and over several pages, until a server has them', () => {
    const store = shelf()
    const [one, two] = [new OwnNotes(store, 'b1', 'p1'), new OwnNotes(store, 'b1', 'p2')]
    expect(one.takeWaiting()).toBe(0)
    one.setWaiting(2)
    two.setWaiting(1)
    const later = new OwnNotes(store, 'b1', 'p3')
    expect(later.takeWaiting()).toBe(3)
    later.setWaiting(0)
    expect(new OwnNotes(store, 'b1', 'p4').takeWaiting()).toBe(0)
    expect(new OwnNotes(store, 'b2', 'p4').takeWaiting()).toBe(0)
  })

  it('knows the ids its earlier pages wrote under', () => {
    const store = shelf()
    new OwnNotes(store, 'b1', 'p1').clientIds(7)
    expect([...new OwnNotes(store, 'b1', 'p2').clientIds(8)]).toEqual([7, 8])
  })

  it('forgets everything of a board and nothing of another, and notes nothing afterwards', () => {
    const store = shelf()
    const [gone, stays] = [new OwnNotes(store, 'b1', 'p'), new OwnNotes(store, 'b2', 'p')]
    for (const notes of [gone, stays]) {
      notes.setWaiting(2)
      notes.clientIds(1)
      notes.write('steps', { undo: [] })
      notes.write('rewritten', [])
    }
    gone.forget()
    gone.setWaiting(5)
    expect([...store.held.keys()].filter((key) => key.includes('b1'))).toEqual([])
    expect([...store.held.keys()].filter((key) => key.includes('b2'))).toHaveLength(4)
  })

  it('does without storage, and reads nothing from nonsense', () => {
    expect(new OwnNotes(undefined, 'b1', 'p').takeWaiting()).toBe(0)
    const store = shelf()
    store.held.set('chartloft:b1:ids', '7')
    store.held.set('chartloft:b1:waiting', '{"x":"y"}')
    const notes = new OwnNotes(store, 'b1', 'p')
    expect([...notes.clientIds(3)]).toEqual([3])
    expect(notes.takeWaiting()).toBe(0)
  })
})
