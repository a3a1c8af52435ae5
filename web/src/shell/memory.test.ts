import { describe, expect, it } from 'vitest'
import { idMaker } from './ids.js'
import { remember, remembered } from './memory.js'

describe('[UI14] what a browser remembers', () => {
  const storage = () => {
    const held = new Map<string, string>()
    return {
      getItem: (key: string) => held.get(key) ?? null,
      setItem: (key: string, value: string) => void held.set(key, value),
    }
  }

  it('keeps name and instrument', () => {
    const kept = storage()
    remember(kept, { name: 'Tove', plays: 'tenor sax' })
    expect(remembered(kept)).toEqual({ name: 'Tove', plays: 'tenor sax' })
  })

  it('starts without a name where nothing, nonsense or no storage is there', () => {
    const kept = storage()
    kept.setItem('chartloft:me', '{"name": 3')
    expect(remembered(kept)).toEqual({ name: '' })
    expect(remembered(undefined)).toEqual({ name: '' })
    const full = {
      setItem: () => {
        throw new Error('quota')
      },
    }
    expect(() => remember(full, { name: 'Tove' })).not.toThrow()
  })

  it('makes ids the server takes, each byte a letter', () => {
    const makeId = idMaker((size) => Uint8Array.from({ length: size }, (_, index) => index * 13))
    expect(makeId()).toMatch(/^[a-z0-9]{20}$/)
  })
})
