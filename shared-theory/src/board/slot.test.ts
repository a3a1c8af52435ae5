import { describe, expect, it } from 'vitest'
import type { Slot } from '../contract/index.js'
import { parseSlotKey, placeKey, slotKey } from './slot.js'

describe('[BD2] slot keys', () => {
  const slots: readonly (readonly [Slot, string])[] = [
    [{ decision: 'groove' }, 'groove'],
    [{ decision: 'lift', at: { passId: 'chorus-last', sectionId: 'B2' } }, 'lift@chorus-last/B2'],
    [
      { decision: 'harmony', at: { passId: 'chorus-1', sectionId: 'A3', fromBar: 0, bars: 8 } },
      'harmony@chorus-1/A3:0+8',
    ],
    [
      { decision: 'harmony', at: { passId: 'solo-1#2', sectionId: 'A1', fromBar: 4, bars: 4 } },
      'harmony@solo-1#2/A1:4+4',
    ],
    [{ decision: 'harmony', at: { passId: 'chorus-1' } }, 'harmony@chorus-1'],
  ]
  for (const [slot, key] of slots) {
    it(key, () => {
      expect(slotKey(slot)).toBe(key)
      expect(parseSlotKey(key)).toEqual(slot)
    })
  }
  it('texts that are none are none', () => {
    for (const text of ['', 'colour', 'lift@', 'lift@a/b/c', 'lift@a:x+2', '__proto__', `lift@${'x'.repeat(200)}`])
      expect(parseSlotKey(text)).toBeUndefined()
  })
  it('places alone', () => {
    expect(placeKey({ passId: 'chorus-1', sectionId: 'A1', fromBar: 2 })).toBe('chorus-1/A1:2+0')
    expect(parseSlotKey('harmony@chorus-1/A1:2+0')).toEqual({
      decision: 'harmony',
      at: { passId: 'chorus-1', sectionId: 'A1', fromBar: 2 },
    })
  })
})
