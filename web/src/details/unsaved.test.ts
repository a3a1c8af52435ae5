import { describe, expect, it } from 'vitest'
import { Unsaved, unsavedOf } from './unsaved.js'

describe('[UI44] edits not saved yet', () => {
  it('remember what they began from, and notice when something else was saved since', () => {
    const mine = new Unsaved<string, readonly string[]>()
    expect(mine.isOvertaken(['any'])).toBe(false)
    mine.edit('one', ['a'], 7)
    mine.edit('two', ['b'], 9)
    expect(mine.baseSeq).toBe(7)
    expect(mine.isOvertaken(['a'])).toBe(false)
    expect(mine.isOvertaken(['b'])).toBe(true)
    mine.keepOver(['b'], 9)
    expect([mine.isOvertaken(['b']), mine.baseSeq, mine.value.value]).toEqual([false, 9, 'two'])
    mine.drop()
    expect([mine.isOvertaken(['c']), mine.value.value]).toEqual([false, undefined])
  })

  it('change along with what one saved oneself, without a word', () => {
    const mine = new Unsaved<string, readonly string[]>()
    mine.follow((text) => `${text}!`, { saved: ['b'], seq: 8 })
    expect(mine.value.value).toBeUndefined()
    mine.edit('one', ['a'], 7)
    mine.follow((text) => `${text}!`, { saved: ['b'], seq: 8 })
    expect([mine.value.value, mine.isOvertaken(['b']), mine.baseSeq]).toEqual(['one!', false, 8])
  })

  it('outlive the page that shows them', () => {
    const room = {}
    unsavedOf(room).lineup.edit([], [], 1)
    expect(unsavedOf(room).lineup.value.value).toEqual([])
    expect(unsavedOf({}).lineup.value.value).toBeUndefined()
  })
})
