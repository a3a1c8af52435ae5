import { describe, expect, it } from 'vitest'
import { leadsAfter, rememberedLatency, rememberLatency } from './device.js'

describe('[AU5] how late a device sounds', () => {
  it('is kept by the device, and taken as nothing where it keeps nothing or nonsense', () => {
    const held = new Map<string, string>()
    const store = {
      getItem: (key: string) => held.get(key) ?? null,
      setItem: (key: string, value: string) => void held.set(key, value),
      removeItem: (key: string) => void held.delete(key),
    }
    rememberLatency(store, 185)
    expect(rememberedLatency(store)).toBe(185)
    held.set([...held.keys()][0] as string, 'late')
    expect(rememberedLatency(store)).toBe(0)
    expect(rememberedLatency(undefined)).toBe(0)
  })
})

describe('[AU6] when whoever started the music leaves', () => {
  it('exactly one of those still here brings changes in', () => {
    const here = ['u3', 'u1', 'u2']
    expect(here.filter((me) => leadsAfter('u9', me, here))).toEqual(['u1'])
    expect(here.filter((me) => leadsAfter('u2', me, here))).toEqual([])
    expect(leadsAfter(undefined, 'u1', here)).toBe(false)
  })
})
