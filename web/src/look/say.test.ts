import { keySignature, keySignatureOf } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { beatOf, sayKey, sayKeyShort, sayTime } from './say.js'

describe('[UI10] small facts in words', () => {
  it('keys with real signs, modes by name', () => {
    expect(sayKey(keySignatureOf('Ab major'))).toBe('A♭ major')
    expect(sayKey(keySignature('D', 'dorian') as never)).toBe('D dorian')
    expect(sayKeyShort(keySignatureOf('F# minor'))).toBe('F♯m')
  })
  it('times and beats', () => {
    expect(sayTime(75_400)).toBe('1:15')
    expect(sayTime(59_600)).toBe('1:00')
    expect(beatOf({ metre: { beats: 4, beatType: 4 } }, 10080)).toBe(3)
    expect(beatOf({ metre: { beats: 6, beatType: 8 } }, 7560)).toBe(4)
  })
})
