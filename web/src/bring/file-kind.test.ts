import { describe, expect, it } from 'vitest'
import { bringWords } from '../words-bring.js'
import { kindOf, MOST_BYTES } from './file-kind.js'

const bytes = (text: string) => new TextEncoder().encode(text)

describe('[UI13] bringing a file', () => {
  it('goes by content before name', () => {
    expect(kindOf('tune.txt', bytes('X:1\nT:Lantern\nK:F\nFGA|\n'))).toBe('abc')
    expect(kindOf('tune.abc', bytes('MThd\0\0\0\x06'))).toBe('midi')
    expect(kindOf('tune', bytes('\ufeff<?xml version="1.0"?><score-partwise/>'))).toBe('musicxml')
    expect(kindOf('tune.mxl', bytes('PK\x03\x04'))).toBe('musicxml')
    expect(kindOf('letter.pdf', bytes('%PDF-1.7 T: no'))).toBeUndefined()
  })

  it('[UI60] each kind has its own size limit, and the words name it', () => {
    const told = (format: 'abc' | 'musicxml' | 'midi') =>
      bringWords.tooLarge('tide.mid', 9 * 1024 * 1024, format, MOST_BYTES[format])
    expect(told('midi')).toMatch(/^tide\.mid has 9 MB; a MIDI file may have 1 MB\./)
    expect(told('musicxml')).toMatch(/a MusicXML file may have 8 MB\./)
    expect(told('abc')).toMatch(/an ABC file may have 8 MB\./)
  })
})
