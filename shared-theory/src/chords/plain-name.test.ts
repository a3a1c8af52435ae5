import { describe, expect, it } from 'vitest'
import { chord } from './parse-chord.js'
import { plainOver } from './plain-name.js'

describe('[CH18] plain names for print', () => {
  it('a double flat is never printed', () => {
    expect(plainOver('Ebb', undefined)).toBe('D')
    expect(plainOver('Bbb', chord('B7'))).toBe('A')
  })
  it('F♭ and C♭ give way to the letter of the chord they are heard over', () => {
    expect(plainOver('Fb', chord('E9'))).toBe('E')
    expect(plainOver('Cb', chord('E7'))).toBe('B')
    expect(plainOver('Fb', chord('Dbm6'))).toBe('Fb')
    expect(plainOver('Cb', chord('Cbmaj7'))).toBe('Cb')
  })
  it('a leading note keeps its sharps', () => {
    expect(plainOver('F##', chord('D#7'))).toBe('F##')
    expect(plainOver('E#', chord('C#7'))).toBe('E#')
  })
})
