import { describe, expect, it } from 'vitest'
import { type Kept, SavedTracker } from './saved.js'

describe('[SY2] saved, saving, offline', () => {
  const tracked = () => {
    const told: Kept[] = []
    return { told, tracker: new SavedTracker((kept) => told.push(kept)) }
  }

  it('is saved only once the server counted every message of this socket', () => {
    const { tracker } = tracked()
    tracker.opened()
    tracker.sent(true)
    tracker.sent(false)
    expect(tracker.kept).toEqual({ state: 'saving', waiting: 2 })
    tracker.saved(1)
    expect(tracker.kept).toEqual({ state: 'saving', waiting: 1 })
    tracker.saved(2)
    expect(tracker.kept).toEqual({ state: 'saved' })
  })

  it('keeps unacknowledged and offline edits waiting over a broken socket', () => {
    const { tracker } = tracked()
    tracker.opened()
    tracker.sent(true)
    tracker.saved(1)
    tracker.sent(false)
    tracker.closed()
    tracker.editedOffline()
    expect(tracker.kept).toEqual({ state: 'offline', waiting: 2 })
    tracker.opened()
    expect(tracker.kept).toEqual({ state: 'saving', waiting: 2 })
    tracker.sent(true)
    expect(tracker.kept).toEqual({ state: 'saving', waiting: 1 })
    tracker.saved(1)
    expect(tracker.kept).toEqual({ state: 'saved' })
  })

  it('counts no edit where a line breaks before anybody wrote, and none twice where it breaks again', () => {
    const { tracker } = tracked()
    tracker.opened()
    tracker.sent(true)
    tracker.closed()
    expect(tracker.kept).toEqual({ state: 'offline', waiting: 0 })
    tracker.editedOffline()
    tracker.opened()
    tracker.sent(true)
    tracker.closed()
    expect(tracker.kept).toEqual({ state: 'offline', waiting: 1 })
  })

  it('does not go back when an older count arrives late', () => {
    const { tracker, told } = tracked()
    tracker.opened()
    tracker.sent(true)
    tracker.saved(1)
    tracker.saved(0)
    expect(tracker.kept).toEqual({ state: 'saved' })
    expect(told.at(-1)).toEqual({ state: 'saved' })
  })

  it('edits of before a reload wait on, go with the first answer, and wait again where it was lost', () => {
    const told: Kept[] = []
    const tracker = new SavedTracker((kept) => told.push(kept), 2)
    tracker.editedOffline()
    expect(told.at(-1)).toEqual({ state: 'offline', waiting: 3 })
    tracker.opened()
    tracker.sent(true)
    tracker.closed()
    expect(told.at(-1)).toEqual({ state: 'offline', waiting: 3 })
    tracker.opened()
    tracker.sent(true)
    tracker.saved(1)
    expect(told.at(-1)).toEqual({ state: 'saved' })
  })
})
